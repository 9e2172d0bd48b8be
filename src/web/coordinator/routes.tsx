/** The coordinator's pages. Mount behind `defaultDeny`; each handler reads a view and shows it. */
import { Hono } from 'hono';
import { refusePage } from '../shared/html-error.tsx';
import { idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import type { CoordinatorDeps } from './coordinator-deps.ts';
import { WeekSheetPage } from './week-sheet.tsx';

const BACK_TO_WEEK = { path: '/week', label: 'To the week sheet' };

/** What has just been done, told after the redirect. */
const DONE: { readonly [did: string]: Notice } = {
  planned: { kind: 'done', text: 'Planned on the facts of today. It is a draft until you publish it.' },
  published: { kind: 'done', text: 'Published. Drivers see it on their run sheets, donors on their pages.' },
};

const actorOf = (session: SessionEnv['Variables']['session'] | undefined): string =>
  session?.label || 'coordinator';

export const coordinatorPages = (deps: CoordinatorDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .get('/', (c) => c.redirect('/week', 302))
    .get('/week', (c) => {
      const view = deps.readWeekSheet(c.req.query('plan'));
      if (!view) return refusePage(c, 'no-such-plan', { role: 'coordinator', back: BACK_TO_WEEK });
      return c.html(<WeekSheetPage view={view} notice={DONE[c.req.query('did') ?? '']} />);
    })
    .post('/week/plan', async (c) => {
      const planned = await deps.planAgain({ actor: actorOf(c.var.session) });
      if (planned.ok) return c.redirect(`/week?plan=${planned.value.planId}&did=planned`, 303);
      const { kind, detail } = planned.refusal;
      return refusePage(c, kind, { detail, role: 'coordinator', back: BACK_TO_WEEK });
    })
    .post('/plans/:id/publish', (c) => {
      const planId = idParam(c);
      if (planId === undefined) return refusePage(c, 'no-such-plan', { role: 'coordinator' });
      const published = deps.publishPlan({ planId, actor: actorOf(c.var.session) });
      if (published.ok) return c.redirect('/week?did=published', 303);
      return refusePage(c, published.refusal.kind, { role: 'coordinator', back: BACK_TO_WEEK });
    });
