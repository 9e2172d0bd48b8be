/** What a use case refuses, as a problem document: one row a kind. */
import type { Context } from 'hono';
import { type ProblemKind, problem } from '../shared/problem.ts';
import { toJson } from './json.ts';

const REFUSALS: { readonly [kind: string]: { readonly problem: ProblemKind; readonly detail: string } } = {
  'site-not-found': { problem: 'no-such-site', detail: 'There is no such site, or it is not yours.' },
  'stop-not-found': {
    problem: 'no-such-stop',
    detail: 'There is no such stop, or it is not on your rounds.',
  },
  'booking-not-found': { problem: 'not-found', detail: 'There is no such booking, or it is not yours.' },
  'booking-closed': {
    problem: 'out-of-date',
    detail: 'The booking is over: collected or cancelled already.',
  },
  'closed-all-window': {
    problem: 'cannot-be-done',
    detail: 'The site is closed during the whole window. Choose a window inside its opening hours.',
  },
  'window-over': { problem: 'cannot-be-done', detail: 'The window lies in the past. Choose a later one.' },
  'still-to-come': {
    problem: 'cannot-be-done',
    detail:
      'The time lies in the future, more than 15 minutes ahead of our clock. Send the time it happened.',
  },
  'weigh-in-not-found': { problem: 'no-such-weigh-in', detail: 'There is no such weigh-in.' },
  'was-corrected': {
    problem: 'out-of-date',
    detail: 'This weigh-in was corrected meanwhile; weigh_in_id is the one that stands now.',
  },
  'fact-differs': {
    problem: 'cannot-be-done',
    detail: 'This Idempotency-Key was used before with other content. Send a fresh key for a new fact.',
  },
  'already-weighed': {
    problem: 'stop-already-closed',
    detail: 'There is a weigh-in for this stop. To correct it, name it in replaces_id.',
  },
  'already-missed': {
    problem: 'stop-already-closed',
    detail: 'The stop was reported as not collected before.',
  },
  'not-the-latest': {
    problem: 'out-of-date',
    detail: 'The weigh-in to be replaced was corrected meanwhile, or belongs to another stop.',
  },
};

export function refuseFact(c: Context, refusal: { readonly kind: string }): Response {
  const { kind, ...facts } = refusal;
  const row = REFUSALS[kind];
  if (!row) throw new Error(`no problem is written for the refusal "${kind}"`);
  return problem(c, row.problem, { detail: row.detail, refusal: kind, ...(toJson(facts) as object) });
}
