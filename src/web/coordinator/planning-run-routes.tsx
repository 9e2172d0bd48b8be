/** Planning again: start, watch, end with the best so far or drop. Mounted with the coordinator's other pages. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import type { Result } from '../../core/quantity/result.ts';
import type { EndRefusal, PlanningRun, StartRefusal } from '../../usecases/planning-run.ts';
import { readForm } from '../shared/form.ts';
import { ago, dateTime } from '../shared/format.ts';
import { refusePage } from '../shared/html-error.tsx';
import { idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { PlanningRunPage } from './planning-run-page.tsx';
import type { PlanningRunView } from './planning-run-view.ts';

export type PlanningRunDeps = {
  /** Nothing for a run that is not remembered. */
  readRun(runId: string): PlanningRunView | undefined;
  /** `actor` goes into the journal. */
  startRun(request: { readonly actor: string }): Result<PlanningRun, StartRefusal>;
  endRun(runId: string, how: { readonly keep: boolean }): Result<PlanningRun, EndRefusal>;
};

const EndForm = z.strictObject({ how: z.enum(['keep', 'drop']) });
const BACK = { path: '/week', label: 'To the week sheet' };
const DONE: { readonly [did: string]: Notice } = {
  stopping: { kind: 'done', text: 'It ends now, and its best week becomes a draft.' },
  over: { kind: 'done', text: 'It was over already.' },
};

const noSuchRun = (c: Context<SessionEnv>) =>
  refusePage(c, 'no-such-planning-run', { role: 'coordinator', back: BACK });

export const planningRunPages = (deps: PlanningRunDeps, actorOf: (label: string | undefined) => string) =>
  new Hono<SessionEnv>()
    .post('/week/plan', (c) => {
      const started = deps.startRun({ actor: actorOf(c.var.session?.label) });
      if (started.ok) return c.redirect(`/planning/${started.value.id}`, 303);
      const { run } = started.refusal;
      const view = deps.readRun(run.id);
      const when =
        view && `${dateTime(run.startedAt, view.workshop.zone)}, ${ago(run.startedAt, view.nowAt)}`;
      return refusePage(c, 'already-planning', {
        detail: `${run.startedBy} started it${when ? ` (${when})` : ''}. Its plan will be on today’s facts as well: watch it, stop it early, or drop it and plan anew.`,
        role: 'coordinator',
        back: { path: `/planning/${run.id}`, label: 'Watch that one' },
      });
    })
    .get('/planning/:id', (c) => {
      const view = deps.readRun(idParam(c) ?? '');
      if (!view) return noSuchRun(c);
      const { planId, wasStopped } = view.run;
      if (planId !== undefined) {
        const did = wasStopped ? 'planned-early' : 'planned';
        return c.redirect(`/week?plan=${planId}&did=${did}`, 303);
      }
      const refreshes = c.req.query('refresh') !== 'no';
      const notice = DONE[c.req.query('did') ?? ''];
      return c.html(<PlanningRunPage view={view} refreshes={refreshes} notice={notice} />);
    })
    .post('/planning/:id/stop', async (c) => {
      const runId = idParam(c) ?? '';
      const form = await readForm(c, EndForm);
      if (!form.ok) return refusePage(c, 'malformed', { role: 'coordinator', back: BACK });
      const keep = form.value.how === 'keep';
      const ended = deps.endRun(runId, { keep });
      if (!ended.ok && ended.refusal.kind === 'no-such-planning-run') return noSuchRun(c);
      const did = ended.ok ? (keep ? '?did=stopping' : '') : '?did=over';
      return c.redirect(`/planning/${runId}${did}`, 303);
    });
