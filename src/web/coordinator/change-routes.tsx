/** Changing a plan by hand: choices at a stop, what would follow, keeping it, taking it back, two plans compared. */
import { type Context, Hono } from 'hono';
import type { Change, ChangeRefusal } from '../../core/planning/changes.ts';
import type { Result } from '../../core/quantity/result.ts';
import type { KeepRefusal, KeepRequest, TakeBackRefusal } from '../../usecases/change-plan.ts';
import { CHANGE_REFUSAL_WORDS } from '../shared/change-words.ts';
import { readTyped } from '../shared/form.ts';
import { refusePage } from '../shared/html-error.tsx';
import { idParam } from '../shared/ids.ts';
import type { Names } from '../shared/names.ts';
import type { Notice } from '../shared/page.tsx';
import type { ProblemKind } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import { AnswerPage } from './change-answer-page.tsx';
import { ComparePage } from './change-compare-page.tsx';
import type { CompareView } from './change-compare-view.ts';
import { DriversPage } from './change-drivers-page.tsx';
import type { DriversView } from './change-drivers-view.ts';
import { MeanwhilePage } from './change-meanwhile-page.tsx';
import { ChangePage } from './change-page.tsx';
import { changeOfQuery } from './change-query.ts';
import type { AnswerView, ChoicesView, ViewRefusal } from './change-view.ts';

export type ChangeDeps = {
  newId(): string;
  readNames(): Names;
  readChoices(asked: {
    readonly planId?: string | undefined;
    readonly siteId: string;
    readonly day?: string | undefined;
    readonly isMore: boolean;
  }): Result<ChoicesView, ViewRefusal>;
  readAnswer(planId: string, change: Change): Result<AnswerView, ViewRefusal>;
  readDriverChoices(planId: string, shiftId: string): Result<DriversView, ViewRefusal>;
  readComparison(planId: string, otherId: string): Result<CompareView, ViewRefusal>;
  keepChanges(request: KeepRequest): Result<{ readonly planId: string }, KeepRefusal>;
  takeBackChange(request: {
    readonly planId: string;
    readonly actor: string;
  }): Result<{ readonly planId: string }, TakeBackRefusal>;
};

type C = Context<SessionEnv>;
const BACK = { path: '/week', label: 'To the week sheet' };
const actorOf = (c: C): string => c.var.session?.label || 'coordinator';

export const changePages = (deps: ChangeDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .get('/sites/:id/visit', (c) => showChoices(c, deps, undefined, idParam(c)))
    .get('/plans/:id/sites/:site/change', (c) => showChoices(c, deps, idParam(c), idParam(c, 'site')))
    .get('/plans/:id/what-if', (c) => {
      const change = changeOfQuery(c.req.query());
      return change ? showAnswer(c, deps, idParam(c) ?? '', change) : unreadable(c);
    })
    .get('/plans/:id/drivers/:shift', (c) => {
      const read = deps.readDriverChoices(idParam(c) ?? '', idParam(c, 'shift') ?? '');
      return read.ok ? c.html(<DriversPage view={read.value} />) : refuse(c, read.refusal);
    })
    .get('/plans/beside', (c) =>
      c.redirect(`/plans/${c.req.query('one')}/against/${c.req.query('other')}`, 302),
    )
    .get('/plans/:id/against/:other', (c) => {
      const read = deps.readComparison(idParam(c) ?? '', idParam(c, 'other') ?? '');
      return read.ok ? c.html(<ComparePage view={read.value} />) : refuse(c, read.refusal);
    })
    .post('/plans/:id/changes', async (c) => {
      const { factId = '', breaks, ...query } = await readTyped(c);
      const change = changeOfQuery(query);
      if (!change || !/^[A-Za-z0-9_-]{1,64}$/.test(factId)) return unreadable(c);
      const planId = idParam(c) ?? '';
      const breaksPromises = breaks === 'yes';
      const request = { factId, planId, changes: [change], breaksPromises, actor: actorOf(c) };
      const kept = deps.keepChanges(request);
      if (kept.ok) return c.redirect(`/week?plan=${kept.value.planId}&did=changed`, 303);
      const { refusal } = kept;
      if (refusal.kind === 'changed-meanwhile')
        return c.html(<MeanwhilePage view={{ names: deps.readNames(), meanwhile: refusal, change }} />, 409);
      if (refusal.kind === 'not-feasible' || refusal.kind === 'breaks-promises')
        return showAnswer(c, deps, planId, change, DIFFERENT_NOW);
      return refuse(c, refusal);
    })
    .post('/plans/:id/take-back', (c) => {
      const taken = deps.takeBackChange({ planId: idParam(c) ?? '', actor: actorOf(c) });
      if (taken.ok) return c.redirect(`/week?plan=${taken.value.planId}&did=taken-back`, 303);
      const { refusal } = taken;
      if (refusal.kind !== 'changed-meanwhile') return refuse(c, refusal);
      return c.html(<MeanwhilePage view={{ names: deps.readNames(), meanwhile: refusal }} />, 409);
    });

const DIFFERENT_NOW: Notice = {
  kind: 'warning',
  text: 'Nothing was kept: the facts have changed since you looked. This is how it stands now.',
};

function showChoices(c: C, deps: ChangeDeps, planId: string | undefined, siteId = '') {
  const { day, more } = c.req.query();
  const read = deps.readChoices({ planId, siteId, day, isMore: more === 'yes' });
  return read.ok ? c.html(<ChangePage view={read.value} newId={deps.newId()} />) : refuse(c, read.refusal);
}

function showAnswer(c: C, deps: ChangeDeps, planId: string, change: Change, notice?: Notice) {
  const read = deps.readAnswer(planId, change);
  if (!read.ok) return refuse(c, read.refusal);
  return c.html(<AnswerPage view={read.value} notice={notice} newId={deps.newId()} />, notice ? 422 : 200);
}

const unreadable = (c: C) =>
  refusePage(c, 'malformed', {
    detail: 'The change could not be read. Start from the stop on the week sheet or the round.',
    role: 'coordinator',
    back: BACK,
  });

type PageRefusal =
  | Exclude<ViewRefusal, ChangeRefusal>
  | { readonly kind: 'fact-differs' | 'nothing-to-take-back' };
const WORDS: {
  readonly [kind in PageRefusal['kind']]: { readonly problem: ProblemKind; readonly detail: string };
} = {
  'no-such-plan': {
    problem: 'no-such-plan',
    detail: 'There is no such plan: it was dropped or taken back, or the week was never planned.',
  },
  'plan-replaced': {
    problem: 'out-of-date',
    detail: 'Another plan was published in the place of this one. Make the change on the week sheet of now.',
  },
  'plan-over': { problem: 'cannot-be-done', detail: 'All days of this plan are over. Plan the week again.' },
  'site-not-found': { problem: 'no-such-site', detail: 'There is no such site.' },
  'fact-differs': {
    problem: 'out-of-date',
    detail: 'This form was sent before with another change. Open the stop again.',
  },
  'nothing-to-take-back': {
    problem: 'out-of-date',
    detail: 'There is nothing to take back: the plan was published, or the one before it is gone.',
  },
};

function refuse(c: C, refusal: ViewRefusal | Exclude<PageRefusal, { kind: 'no-such-plan' }>) {
  const isPage = (kind: string): kind is PageRefusal['kind'] => Object.hasOwn(WORDS, kind);
  const { kind } = refusal;
  const { problem, detail } = isPage(kind)
    ? WORDS[kind]
    : { problem: 'cannot-be-done' as const, detail: CHANGE_REFUSAL_WORDS[kind] };
  return refusePage(c, problem, { detail, role: 'coordinator', back: BACK });
}
