/**
 * The search: ruin and recreate with annealing over whole rounds. Strings of near stops leave their rounds and come
 * back one by one into the cheapest place, which now and then is overlooked ("blink").
 *
 * Christiaens & Vanden Berghe (2020), "Slack induction by string removals for vehicle routing problems",
 * Transportation Science 54(2):417-433. Departures: insertion prices of `rounds.ts` are exact with windows, breaks
 * and unloadings, so nothing infeasible is ever visited; vehicles that are alike are tried once while empty.
 *
 * Deterministic for (problem, seed, iterations): no clock here. `spent` lets a caller end it by one, and then sets
 * the temperature too. Problems of alike vehicles go to `alike/`.
 */

import { alikeModel } from './alike/model.ts';
import { searchByLikes } from './by-likes.ts';
import { buildRoutingProblem, type RoutingProblem } from './problem.ts';
import { recreate, sortAbsent } from './recreate.ts';
import { copyRounds, createRounds, type Rounds, totalCost } from './rounds.ts';
import { ruin } from './ruin.ts';
import type { RoundPlan } from './schedule.ts';
import { type RoutingSolution, solutionOf } from './solution.ts';
import { startFrom } from './start.ts';
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

const ASKED_EVERY = 64;
/** Temperatures in mean costs of a stop. */
/** Up to so many visits several chains share the budget; larger ones have no time for that. */
const SMALL = 100;
const CHAINS = 16;
/** Share of the budget after which half the chains are given up, and again. */
const PHASE = 0.2;
const HOT = 2;
const COLD = 0.02;
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
  const work = createWork(problem, options.seed, options.fixed ?? new Set());
  const count = problem.visits <= SMALL ? CHAINS : 1;
  const chains = Array.from({ length: count }, () => startChain(problem, options, work));
  const trial = createRounds(problem);
  const best = createRounds(problem);
  let bestCost = Number.POSITIVE_INFINITY;
  const keep = (from: Rounds, cost: number, iteration: number): void => {
    bestCost = cost;
    copyRounds(best, from);
    options.onBest?.(cost, iteration, () => solutionOf(best, empty));
  };
  for (const { current, cost } of chains) if (cost < bestCost) keep(current, cost, 0);
  // What a stop is worth: its share of the rounds, or of the prizes where driving costs next to nothing.
  const unit = Math.max(1, roundsCost(best) / problem.visits, meanPrize(problem));
  let iteration = 0;
  let chain = chains[0]!;
  let temperature = HOT * unit;
  for (; iteration < options.iterations; iteration++) {
    if (iteration % ASKED_EVERY === 0) {
      const share = Math.max(iteration / options.iterations, options.spent?.() ?? 0);
      if (share >= 1) break;
      temperature = HOT * unit * (COLD / HOT) ** share;
      dropWorst(chains, share);
      chain = chains[(iteration / ASKED_EVERY) % chains.length]!;
    }
    copyRounds(trial, chain.current);
    ruin(trial, work);
    sortAbsent(problem, work);
    // Now and then a visit may come in that does not pay alone; with others it may.
    const draw = work.random.unit();
    const slack = draw < 0.7 ? 0 : -Math.log(1 - work.random.unit()) * (draw < 0.9 ? temperature : 2 * unit);
    const limit = chain.cost - temperature * Math.log(1 - work.random.unit());
    recreate(trial, work, slack, limit);
    const cost = totalCost(trial);
    if (cost >= limit) continue;
    copyRounds(chain.current, trial);
    chain.cost = cost;
    chain.best = Math.min(chain.best, cost);
    if (cost < bestCost) keep(trial, cost, iteration);
  }
  return { solution: solutionOf(best, empty), iterations: iteration };
}

/** One of several searches that share the budget until it shows which is worth going on with. */
type Chain = { readonly current: Rounds; cost: number; best: number };

function startChain(problem: RoutingProblem, options: SearchOptions, work: Work): Chain {
  const current = createRounds(problem);
  startFrom(current, options.start ?? [], options.fixed ?? new Set());
  work.count = 0;
  for (let v = 0; v < problem.visits; v++) if (current.round[v]! < 0) work.absent[work.count++] = v;
  sortAbsent(problem, work);
  recreate(current, work, 0);
  const cost = totalCost(current);
  return { current, cost, best: cost };
}

/** Halves the chains as the budget goes: each halving at an equal share of it. */
function dropWorst(chains: Chain[], share: number): void {
  const most = Math.max(1, CHAINS >> Math.floor(share / PHASE));
  if (chains.length <= most) return;
  chains.sort((a, b) => a.best - b.best);
  chains.length = most;
}

const roundsCost = (rounds: Rounds): number => rounds.totals[0]! - rounds.totals[1]!;

function meanPrize({ visits, mandatory, skipCost }: RoutingProblem): number {
  let sum = 0;
  let count = 0;
  for (let v = 0; v < visits; v++)
    if (!mandatory[v]) {
      sum += skipCost[v]!;
      count++;
    }
  return count === 0 ? 0 : sum / count;
}

/** Builds the problem and searches it. */
export const solveRouting = (
  input: Parameters<typeof buildRoutingProblem>[0],
  options: SearchOptions,
): SearchResult => searchRouting(buildRoutingProblem(input), options);
