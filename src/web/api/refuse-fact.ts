/** What a use case refuses, as a problem document: one row a kind. */
import type { Context } from 'hono';
import { problem } from '../shared/problem.ts';
import { REFUSAL_WORDS, type RefusalWords } from '../shared/refusal-words.ts';
import { toJson } from './json.ts';

const REFUSALS: { readonly [kind: string]: RefusalWords } = {
  ...REFUSAL_WORDS,
  'booking-not-found': { problem: 'not-found', detail: 'There is no such booking, or it is not yours.' },
  'booking-closed': {
    problem: 'out-of-date',
    detail: 'The booking is over: collected or cancelled already.',
  },
  'quote-not-found': { problem: 'not-found', detail: 'There is no such quote, or it is not yours.' },
  'no-such-offer': {
    problem: 'cannot-be-done',
    detail: 'The quote has no offer that starts then. Send from_at of one of its slots.',
  },
  'quote-taken': {
    problem: 'out-of-date',
    detail: 'An offer of this quote was taken before; booking_id is what came of it. Ask for a new quote.',
  },
  'slot-taken': {
    problem: 'offer-gone',
    detail: 'Somebody else was quicker. quote holds what can be had now; take one of its slots.',
  },
  'quote-over': {
    problem: 'offer-gone',
    detail: 'The ten minutes of the quote are over. quote holds what can be had now; take one of its slots.',
  },
  'closed-all-window': {
    problem: 'cannot-be-done',
    detail: 'The site is closed during the whole window. Choose a window inside its opening hours.',
  },
  'window-over': { problem: 'cannot-be-done', detail: 'The window lies in the past. Choose a later one.' },
  'weigh-in-not-found': { problem: 'no-such-weigh-in', detail: 'There is no such weigh-in.' },
  'was-corrected': {
    problem: 'out-of-date',
    detail: 'This weigh-in was corrected meanwhile; weigh_in_id is the one that stands now.',
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
