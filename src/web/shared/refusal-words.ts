/** Why something that happened was not taken, as a problem and a sentence: one row a refusal, for every edge alike. */
import { CHANGE_REFUSAL_WORDS } from './change-words.ts';
import type { ProblemKind } from './problem.ts';

export type RefusalWords = { readonly problem: ProblemKind; readonly detail: string };

const mended = (detail: string): RefusalWords => ({ problem: 'cannot-be-done', detail });

/** A plan changed by hand. */
const CHANGE_WORDS: { readonly [kind: string]: RefusalWords } = {
  ...Object.fromEntries(Object.entries(CHANGE_REFUSAL_WORDS).map(([kind, words]) => [kind, mended(words)])),
  'no-such-plan': { problem: 'no-such-plan', detail: 'There is no such plan. It may have been dropped.' },
  'plan-replaced': {
    problem: 'out-of-date',
    detail: 'Another plan was published in the place of this one. newest_id is the one on show now.',
  },
  'plan-over': mended('All days of this plan are over. Plan the week again.'),
  'changed-meanwhile': {
    problem: 'out-of-date',
    detail:
      'The week was changed meanwhile: newest_id is the plan on show now, differences what is different in it. Make your change there.',
  },
  'not-feasible': mended('It cannot be driven: obstacles says why.'),
  'breaks-promises': mended(
    'It would break promises; broken_promises names them. Talk to the donors, then send break_promises.',
  ),
  'no-room-to-make': mended(
    'Whoever else moves, it does not fit, or a promise would be broken; unkept says which and what would mend it.',
  ),
  'nothing-to-take-back': mended(
    'This plan is not a draft that was changed by hand, or the plan before it is gone.',
  ),
};

export const REFUSAL_WORDS: { readonly [kind: string]: RefusalWords } = {
  ...CHANGE_WORDS,
  'surge-not-found': { problem: 'not-found', detail: 'There is no such surge.' },
  'surge-called-off': {
    problem: 'out-of-date',
    detail: 'The surge was called off. Announce a new one.',
  },
  'surge-of-booking': {
    problem: 'cannot-be-done',
    detail: 'This surge came with a booking. Change or cancel the booking.',
  },
  'ends-before-start': {
    problem: 'cannot-be-done',
    detail: 'The event ends before it begins. Give an end that is later.',
  },
  'no-bags-expected': {
    problem: 'cannot-be-done',
    detail: 'No bags are expected. Give their number, or call the surge off.',
  },
  'van-not-found': { problem: 'not-found', detail: 'There is no such van.' },
  'already-off-road': {
    problem: 'out-of-date',
    detail: 'The van is off the road already, from another time. Put it back first.',
  },
  'shift-not-found': { problem: 'not-found', detail: 'There is no such shift.' },
  'shift-over': { problem: 'cannot-be-done', detail: 'The shift is over. Name one that is still to end.' },
  'shift-taken': {
    problem: 'out-of-date',
    detail: 'The van or the driver has another shift at that time by now.',
  },
  'driver-not-found': { problem: 'not-found', detail: 'There is no such driver.' },
  'name-taken': {
    problem: 'cannot-be-done',
    detail: 'Another one has this name already. Choose a name that tells them apart.',
  },
  'ends-before-it-starts': {
    problem: 'cannot-be-done',
    detail: 'The shift ends before it begins. One that goes over midnight is written as two.',
  },
  'no-days': { problem: 'cannot-be-done', detail: 'No day is chosen.' },
  'day-over': {
    problem: 'cannot-be-done',
    detail: 'These hours are over. Choose a day that is still to come.',
  },
  'shift-in-the-way': {
    problem: 'out-of-date',
    detail: 'The van or the driver has another shift at that time.',
  },
  'round-on-the-road': {
    problem: 'cannot-be-done',
    detail: 'The round of this shift is on the road. Change what is still to come once it is back.',
  },
  'round-not-found': { problem: 'no-such-round', detail: 'There is no such round, or it is not yours.' },
  'round-not-published': {
    problem: 'cannot-be-done',
    detail: 'The round belongs to a draft, which nobody drives. Publish the plan first.',
  },
  'out-of-turn': {
    problem: 'out-of-date',
    detail: 'A round starts once, is paused while it runs, goes on when it is paused, and is finished once.',
  },
  'product-not-found': { problem: 'not-found', detail: 'There is no such product.' },
  'already-pressed': {
    problem: 'out-of-date',
    detail: 'That day’s units have been pressed and taken from stock. Correct the stock instead.',
  },
  'nothing-pressed': {
    problem: 'cannot-be-done',
    detail:
      'Nothing leaves the store for 0 units. To take the run out of the plan, change the day to 0 units.',
  },
  'not-enough-film': {
    problem: 'cannot-be-done',
    detail:
      'By the ledger there is less film than these units need. Look at the figure again, or count the stock of their grades first.',
  },
  'grade-not-kept': {
    problem: 'cannot-be-done',
    detail: 'The workshop does not keep this grade. Name one that it keeps.',
  },
  'no-mass': { problem: 'cannot-be-done', detail: 'There is no mass in it. Give a mass above 0 kg.' },
  'reason-missing': { problem: 'cannot-be-done', detail: 'Say why the stock is corrected.' },
  'stock-agrees': { problem: 'cannot-be-done', detail: 'The ledger says the same already.' },
  'below-nothing': {
    problem: 'cannot-be-done',
    detail: 'There would be less than nothing left of this grade. Look at the figure again.',
  },
  'no-stops-in-load': {
    problem: 'cannot-be-done',
    detail:
      'No stop of this round waits for a share of a load. Hand in the stops first, by bags or found full.',
  },
  'less-than-its-stops': {
    problem: 'cannot-be-done',
    detail: 'The stops that were weighed come to more than the whole load. Look at the figures again.',
  },
  'no-such-waiting-entry': { problem: 'not-found', detail: 'Nothing of that kind waits any more.' },
  'no-such-parked-mail': { problem: 'not-found', detail: 'No such mail waits for another try.' },
  'no-such-choice': { problem: 'not-found', detail: 'This link belongs to no address.' },
  'site-not-found': { problem: 'no-such-site', detail: 'There is no such site, or it is not yours.' },
  'stop-not-found': {
    problem: 'no-such-stop',
    detail: 'There is no such stop, or it is not on your rounds.',
  },
  'still-to-come': {
    problem: 'cannot-be-done',
    detail:
      'The time lies in the future, more than 15 minutes ahead of our clock. Send the time it happened.',
  },
  'already-weighed': {
    problem: 'stop-already-closed',
    detail: 'There is a weigh-in for this stop. To correct it, name it in replaces_id.',
  },
  'already-missed': {
    problem: 'stop-already-closed',
    detail: 'The stop was reported as not collected before.',
  },
  'fact-differs': {
    problem: 'cannot-be-done',
    detail: 'This key was used before with other content. Send a fresh key for a new fact.',
  },
};
