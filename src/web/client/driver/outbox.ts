/**
 * The outbox, pure: which fact goes next, and what an answer makes of it. A fact only ever moves from waiting to handed
 * in or refused, and from refused to set aside; none is dropped while anybody could still need it.
 */
import type { Instant, Seconds } from '../../../core/quantity/units.ts';
import type { Fact, Refusal } from './fact.ts';

/** What came back for a fact. */
export type Answer =
  | { readonly kind: 'taken' }
  | { readonly kind: 'refused'; readonly refusal: Refusal }
  /** The server is there and cannot now: this fact is passed by until the next run. */
  | { readonly kind: 'later' }
  /** Nobody there, or somebody else (a hotel's login page): the run is over. */
  | { readonly kind: 'no-signal' }
  | { readonly kind: 'signed-out' };

/**
 * The first fact that may go. What was said of one stop goes in order; the weight of a load and the marks of a round go
 * after everything of that round that was said before, for the server reads them against it.
 *
 * @param passedBy ids that could not go in this run
 */
export function nextToHandIn(
  facts: readonly Fact[],
  driverId: string,
  passedBy: ReadonlySet<string>,
): Fact | undefined {
  const waiting = inOrder(facts).filter((fact) => fact.state === 'waiting' && fact.driverId === driverId);
  return waiting.find(
    (fact, i) => !passedBy.has(fact.id) && !waiting.slice(0, i).some((earlier) => holdsBack(earlier, fact)),
  );
}

function holdsBack({ said: earlier }: Fact, { said }: Fact): boolean {
  if (earlier.roundId !== said.roundId) return false;
  if (said.kind === 'load' || said.kind === 'mark') return true;
  // A correction after the load was weighed must find the load's shares.
  if (earlier.kind === 'load') return true;
  return 'stopId' in said && 'stopId' in earlier && said.stopId === earlier.stopId;
}

/** @param serverAt the server's clock */
export function afterAnswer(fact: Fact, answer: Answer, serverAt: Instant): Fact {
  if (fact.state !== 'waiting') return fact;
  if (answer.kind === 'taken') return { ...fact, state: 'handed-in', handedInAt: serverAt };
  if (answer.kind === 'refused') return { ...fact, state: 'refused', refusal: answer.refusal };
  return fact;
}

/** Somebody looked at a refused fact and left it: it is kept, and asks no more. */
export const setAside = (fact: Fact): Fact =>
  fact.state === 'refused' ? { ...fact, state: 'set-aside' } : fact;

export type Counts = {
  readonly waiting: number;
  readonly handedIn: number;
  readonly refused: number;
  /** Of another driver, on the same phone. */
  readonly others: number;
};

export function countsOf(facts: readonly Fact[], driverId: string): Counts {
  const own = facts.filter((fact) => fact.driverId === driverId);
  const count = (state: Fact['state']) => own.filter((fact) => fact.state === state).length;
  const others = facts.filter((fact) => fact.driverId !== driverId && fact.state === 'waiting').length;
  return { waiting: count('waiting'), handedIn: count('handed-in'), refused: count('refused'), others };
}

/** Handed in, and older than this: the server has it, the phone need not. */
const KEPT_S: Seconds = 3 * 86_400;

/** What may leave the phone: first what is old, and when room is short everything that the server has. */
export const mayLeave = (facts: readonly Fact[], nowAt: Instant, isShort: boolean): readonly Fact[] =>
  facts.filter(
    ({ state, handedInAt = nowAt }) => state === 'handed-in' && (isShort || handedInAt < nowAt - KEPT_S),
  );

const FIRST_S: Seconds = 5;
const LONGEST_S: Seconds = 300;
/** The pause before the next run after `failures` runs without success; `chance` from 0 to 1 spreads phones apart. */
export const backOffS = (failures: number, chance: number): Seconds =>
  Math.min(LONGEST_S, FIRST_S * 2 ** Math.min(failures, 16)) * (0.75 + chance / 2);

export const inOrder = (facts: readonly Fact[]): Fact[] => [...facts].sort((a, b) => a.seq - b.seq);
