/** The page of simulated years: look, start, stop. Mounted with the coordinator's other pages. */
import { Hono } from 'hono';
import type { Result } from '../../core/quantity/result.ts';
import type { SizeRefusal } from '../../usecases/own-workshop.ts';
import { type FieldErrors, readForm, type Typed } from '../shared/form.ts';
import { refusePage } from '../shared/html-error.tsx';
import { Id } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { WorthForm } from './worth-form.ts';
import { WorthPage } from './worth-page.tsx';
import type { WorthView } from './worth-view.ts';

export type WorthDeps = {
  /** Nothing for a run that does not exist. */
  readWorth(runId?: string): WorthView | undefined;
  startWorth(request: {
    readonly worlds: number;
    readonly weeks: number;
    readonly actor: string;
  }): Result<{ readonly runId: string }, SizeRefusal | { readonly kind: 'already-running' }>;
  /** False where nothing runs. */
  stopWorth(): boolean;
};

const DONE: { readonly [did: string]: Notice } = {
  started: { kind: 'done', text: 'Started. Everything else works meanwhile; the page may be closed.' },
  stopping: { kind: 'done', text: 'It ends after the week it is in. Worlds that are whole are kept.' },
  over: { kind: 'done', text: 'Nothing was running any more.' },
};
const BACK = { path: '/worth', label: 'To the newest run' };

export const worthPages = (deps: WorthDeps, actorOf: (label: string | undefined) => string) =>
  new Hono<SessionEnv>()
    .get('/worth', (c) => {
      const runId = Id.safeParse(c.req.query('run')).data;
      const view = deps.readWorth(runId);
      if (!view)
        return refusePage(c, 'not-found', {
          detail: 'There is no such run of simulated years.',
          role: 'coordinator',
          back: BACK,
        });
      return c.html(
        <WorthPage
          view={view}
          notice={DONE[c.req.query('did') ?? '']}
          refreshes={c.req.query('refresh') !== 'no'}
        />,
      );
    })
    .post('/worth', async (c) => {
      const form = await readForm(c, WorthForm);
      const again = (typed: Typed, errors: FieldErrors, status: 409 | 422, notice?: Notice) =>
        c.html(
          <WorthPage view={deps.readWorth()!} form={{ typed, errors }} notice={notice} refreshes={false} />,
          status,
        );
      if (!form.ok) return again(form.typed, form.errors, 422);
      const started = deps.startWorth({ ...form.value, actor: actorOf(c.var.session?.label) });
      if (started.ok) return c.redirect('/worth?did=started', 303);
      // The page itself says what runs, or what is missing.
      return again(form.typed, {}, 409);
    })
    .post('/worth/stop', (c) =>
      c.redirect(deps.stopWorth() ? '/worth?did=stopping' : '/worth?did=over', 303),
    );
