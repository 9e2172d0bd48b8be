/** The page of the workshop itself: the first step on an empty database, and where it is changed later. */
import { Hono } from 'hono';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { readTyped } from '../shared/form.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import {
  NEW_GRADES,
  readWorkshopForm,
  typedWorkshop,
  type WorkshopFacts,
  type WorkshopNow,
} from './workshop-form.ts';
import { WorkshopPage } from './workshop-page.tsx';

export type WorkshopDeps = {
  readWorkshop(): WorkshopNow | undefined;
  keepWorkshop(facts: WorkshopFacts, actor: string): void;
};

const KEPT: Notice = { kind: 'done', text: 'Kept. The next plan counts with it.' };
const WRONG: Notice = {
  kind: 'warning',
  text: 'Nothing was kept yet: see the fields that need another look.',
};

export const workshopPages = (deps: WorkshopDeps): Hono<SessionEnv> => {
  const page = (now: WorkshopNow | undefined, typed: Typed, errors?: FieldErrors, notice?: Notice) => (
    <WorkshopPage
      name={now?.workshop.name}
      zones={Intl.supportedValuesOf('timeZone')}
      typed={typed}
      kept={now?.grades.length ?? 0}
      rows={(now?.grades.length ?? 0) + NEW_GRADES}
      {...(errors ? { errors } : {})}
      notice={notice}
    />
  );
  return new Hono<SessionEnv>()
    .get('/workshop', (c) => {
      const now = deps.readWorkshop();
      return c.html(
        page(now, typedWorkshop(now), undefined, c.req.query('did') === 'kept' ? KEPT : undefined),
      );
    })
    .post('/workshop', async (c) => {
      const typed = await readTyped(c);
      const now = deps.readWorkshop();
      // What is kept cannot be left out by a form that somebody made by hand: film of it lies in the store.
      const kept = Object.fromEntries((now?.grades ?? []).map(({ grade }, i) => [`grade${i}`, grade]));
      const sent = { ...typed, ...kept };
      const read = readWorkshopForm(sent, (now?.grades.length ?? 0) + NEW_GRADES);
      if (!read.ok) return c.html(page(now, sent, read.errors, WRONG), 422);
      deps.keepWorkshop(read.facts, c.var.session.label || 'coordinator');
      return c.redirect(now ? '/workshop?did=kept' : '/import', 303);
    });
};
