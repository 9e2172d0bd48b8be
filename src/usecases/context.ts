/** What every use case is given: where data lives, what time it is, and fresh ids. */
import type { Money, Plan } from '../core/planning/plan.ts';
import type { PlanningBudget, PlanningProblem } from '../core/planning/problem.ts';
import type { Mending } from '../core/planning/replan.ts';
import type { Instant, Metres, Micros, Seconds } from '../core/quantity/units.ts';
import type { Store } from '../store/db.ts';

export type Context = {
  readonly store: Store;
  readonly now: () => Instant;
  /** Opaque, URL-safe, never twice. */
  readonly newId: () => string;
};

export type PlanningProgress = {
  readonly iteration: number;
  /** Of the budget, 0 to 1: iterations or the clock, whichever is further on. */
  readonly share: number;
  readonly forS: Seconds;
  /** The best week so far; the parts add up to `costMicros`. */
  readonly costMicros: Micros;
  readonly money: Money;
  readonly distanceM: Metres;
};

export type PlannerHooks = {
  readonly onProgress?: (progress: PlanningProgress) => void;
  /** Asks the search to stop and answer its best so far. */
  readonly signal?: AbortSignal;
  /** Ends the search at once and rejects with the signal's reason: nothing is kept. */
  readonly drop?: AbortSignal;
  /** Mends what was told where the news touches it, instead of planning anew. */
  readonly mend?: Mending;
  /** Wall-clock bound. With one the plan depends on the machine; without, only on the seed. */
  readonly seconds?: Seconds;
};

/** Runs the search somewhere: in a thread of its own for the server, in place for tests. */
export type Planner = (
  problem: PlanningProblem,
  budget: PlanningBudget,
  hooks: PlannerHooks,
) => Promise<Plan>;
