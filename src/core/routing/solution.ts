/** What a search hands over: rounds with times, what was left out and why. Plain data. */
import { bestInsertion } from './best-insertion.ts';
import { planOf } from './round-plan.ts';
import type { Rounds } from './rounds.ts';
import { type RoundPlan, type ScheduledRound, scheduleRound } from './schedule.ts';

export type LeftOutWhy =
  | 'barred' // every vehicle is barred or on the road outside the visit's windows
  | 'too-large' // more than any vehicle that may serve it carries
  | 'too-far' // cannot be reached in time even by an empty vehicle
  | 'no-room' // loads or time of the others leave no place for it
  | 'not-worth'; // optional, and dearer than its prize

export type LeftOut = {
  readonly visit: number;
  readonly mandatory: boolean;
  readonly why: LeftOutWhy;
  /** For `not-worth`: how much dearer the cheapest insertion is than leaving it out. */
  readonly addsCost?: number;
  /** The vehicle of that insertion. */
  readonly vehicle?: number;
};

export type RoutingSolution = {
  /** Rounds and prizes of optional visits left out; mandatory ones left out are named, not priced. */
  readonly cost: number;
  readonly distanceM: number;
  readonly plans: readonly RoundPlan[];
  readonly rounds: readonly ScheduledRound[];
  readonly leftOut: readonly LeftOut[];
};

/** Reads a solution off the state. `empty` must be a fresh state of the same problem, for asking what fits alone. */
export function solutionOf(rounds: Rounds, empty: Rounds): RoutingSolution {
  const { problem } = rounds;
  const plans: RoundPlan[] = [];
  const scheduled: ScheduledRound[] = [];
  let distanceM = 0;
  for (let r = 0; r < problem.vehicles; r++) {
    if (rounds.count[r] === 0) continue;
    const plan = planOf(rounds, r);
    const answer = scheduleRound(problem, plan);
    if (!answer.ok)
      throw new Error(`round of vehicle ${r} comes too late at step ${answer.step}: ${answer.arriveS}`);
    plans.push(plan);
    scheduled.push(answer.round);
    distanceM += rounds.distanceM[r]!;
  }
  const leftOut: LeftOut[] = [];
  let cost = rounds.totals[0]!;
  for (let v = 0; v < problem.visits; v++) {
    if (rounds.round[v]! >= 0) continue;
    leftOut.push(whyLeftOut(rounds, empty, v));
    if (problem.mandatory[v]) cost -= problem.penalty;
  }
  return { cost, distanceM, plans, rounds: scheduled, leftOut };
}

export function whyLeftOut(rounds: Rounds, empty: Rounds, visit: number): LeftOut {
  const { problem } = rounds;
  const mandatory = problem.mandatory[visit] === 1;
  let isOpen = false;
  let isCarried = false;
  let isReached = false;
  let least = Number.POSITIVE_INFINITY;
  let vehicle = -1;
  for (let r = 0; r < problem.vehicles; r++) {
    const key = visit * problem.vehicles + r;
    if (problem.windowLo[key]! >= problem.windowHi[key]!) continue;
    isOpen = true;
    if (rounds.loadA[visit]! > problem.capacityA[r]! || rounds.loadB[visit]! > problem.capacityB[r]!)
      continue;
    isCarried = true;
    isReached ||= bestInsertion(empty, visit, r) < Number.POSITIVE_INFINITY;
    const cost = bestInsertion(rounds, visit, r, least);
    if (cost < least) {
      least = cost;
      vehicle = r;
    }
  }
  if (least < Number.POSITIVE_INFINITY)
    return { visit, mandatory, why: 'not-worth', addsCost: least, vehicle };
  if (!isOpen) return { visit, mandatory, why: 'barred' };
  if (!isCarried) return { visit, mandatory, why: 'too-large' };
  return { visit, mandatory, why: isReached ? 'no-room' : 'too-far' };
}
