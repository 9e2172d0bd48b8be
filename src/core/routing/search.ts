/**
 * The search. Problems of alike vehicles go to `alike/`; for all others plans breed (`mixed/`) where there are few enough
 * visits, and the rest of the budget goes to strings (`annealing.ts`).
 *
 * Deterministic for (problem, seed, iterations): no clock here. `spent` lets a caller end it by one, and then sets
 * the temperature too.
 */

import { alikeModel } from './alike/model.ts';
import { anneal, type Budget, startRounds } from './annealing.ts';
import { searchByLikes } from './by-likes.ts';
import { createBreeding } from './mixed/breeding.ts';
import { buildRoutingProblem, type RoutingProblem } from './problem.ts';
import { copyRounds, createRounds, type Rounds, totalCost } from './rounds.ts';
import type { RoundPlan } from './schedule.ts';
import { type RoutingSolution, solutionOf } from './solution.ts';
import { createWork, type Work } from './work.ts';

export type SearchOptions = {
  readonly seed: number;
  readonly iterations: number;
  /** Share of the budget that is spent, 0 to 1 and more; asked now and then. Ends the search at 1. */
  readonly spent?: () => number;
  /**
   * Told of every better solution; `solution` reads it off, only until the listener returns. `cost` has
   * `problem.penalty` in it for each mandatory visit left out (from alike vehicles: at least as much).
   */
  readonly onBest?: (cost: number, iteration: number, solution: () => RoutingSolution) => void;
  /** Rounds to start from. */
  readonly start?: readonly RoundPlan[];
  /** Visits that stay where `start` has them. */
  readonly fixed?: ReadonlySet<number>;
};

export type SearchResult = { readonly solution: RoutingSolution; readonly iterations: number };

/** Plans breed up to so many visits and vehicles, for so much of the budget. */
const MOST_VISITS = 100;
const MOST_VEHICLES = 16;
const BRED_SHARE = 0.92;
/** Up to so many visits half of the budget goes to strings that begin anew so often: there they are the surer. */
const TINY = 12;
const BEGINNINGS = 8;
/** Random plans that a population begins with. */
const SEEDS = 8;
/** A child takes about as long as so many iterations, and as this times the square of the visits on top. */
const CHILD_LEAST = 8;
const CHILD_WEIGHT = 1 / 40;

/**
 * Searches rounds of least cost. Rounds of `start` that cannot be driven or are too full are mended: what does not fit is
 * put elsewhere. Throws `RangeError` if that concerns a fixed visit.
 */
export function searchRouting(problem: RoutingProblem, options: SearchOptions): SearchResult {
  const model = options.fixed?.size ? undefined : alikeModel(problem);
  const alike = model && searchByLikes(problem, model, options);
  if (alike) return alike;
  const empty = createRounds(problem);
  if (problem.visits === 0) return { solution: solutionOf(empty, empty), iterations: 0 };
  const fixed = options.fixed ?? new Set<number>();
  const work = createWork(problem, options.seed, fixed);
  const best = createRounds(problem);
  let bestCost = Number.POSITIVE_INFINITY;
  const budget: Budget = {
    done: 0,
    share: () => Math.max(budget.done / options.iterations, options.spent?.() ?? 0),
    keep: (from, cost) => {
      if (cost >= bestCost) return;
      bestCost = cost;
      copyRounds(best, from);
      options.onBest?.(cost, budget.done, () => solutionOf(best, empty));
    },
  };
  const first = startRounds(problem, options.start ?? [], fixed, work);
  budget.keep(first, totalCost(first));
  const breeds = fixed.size === 0 && problem.visits <= MOST_VISITS && problem.vehicles <= MOST_VEHICLES;
  if (breeds) breed(first, work, budget, problem.visits > TINY ? BRED_SHARE : 0.5);
  if (breeds && problem.visits <= TINY)
    for (let k = 1; k <= BEGINNINGS; k++) {
      const again = startRounds(problem, options.start ?? [], fixed, work);
      anneal(again, work, budget, 0.5 + (0.5 * k) / BEGINNINGS, false);
    }
  else anneal(breeds ? best : first, work, budget, 1, breeds);
  return { solution: solutionOf(best, empty), iterations: budget.done };
}

/** Breeds plans until so much of the budget is spent. */
function breed(first: Rounds, work: Work, budget: Budget, until: number): void {
  const { visits } = first.problem;
  const weight = Math.round(CHILD_LEAST + visits * visits * CHILD_WEIGHT);
  const trial = createRounds(first.problem);
  const breeding = createBreeding(trial, work, (cost) => budget.keep(trial, cost));
  for (let born = -1; budget.share() < until; born++) {
    if (born < 0) breeding.adopt(first);
    else if (born < SEEDS) breeding.seed();
    else breeding.breed();
    budget.done += weight;
  }
}

/** Builds the problem and searches it. */
export const solveRouting = (
  input: Parameters<typeof buildRoutingProblem>[0],
  options: SearchOptions,
): SearchResult => searchRouting(buildRoutingProblem(input), options);
