/**
 * The search: ruin and recreate with annealing over whole rounds. Strings of near stops leave their rounds and come
 * back one by one into the cheapest place, which now and then is overlooked ("blink").
 *
 * Christiaens & Vanden Berghe (2020), "Slack induction by string removals for vehicle routing problems",
 * Transportation Science 54(2):417-433. Departures: insertion prices of `rounds.ts` are exact with windows, breaks
 * and unloadings, so nothing infeasible is ever visited; vehicles that are alike are tried once while empty.
 *
 * Deterministic for (problem, seed, iterations): no clock here. `spent` lets a caller end it by one, and then sets
 * the temperature too. A problem of alike vehicles that only loads bind goes to `capacity-search.ts`.
 */

import { type FastRandom, fastRandom } from './alike/fast-random.ts';
import { type AlikeModel, alikeModel } from './alike/model.ts';
import { searchAlike } from './alike/search.ts';
import { insert, insertionCost } from './insertion.ts';
import { buildRoutingProblem, type RoutingProblem } from './problem.ts';
import { setRound } from './round-plan.ts';
import {
  clearRound,
  copyRounds,
  createRounds,
  mendRound,
  overloadA,
  overloadB,
  type Rounds,
  totalCost,
  unlink,
} from './rounds.ts';
import { savingsRoutes } from './savings.ts';
import type { RoundPlan } from './schedule.ts';
import { type RoutingSolution, solutionOf } from './solution.ts';

export type SearchOptions = {
  readonly seed: number;
  readonly iterations: number;
  /** Share of the budget that is spent, 0 to 1 and more; asked now and then. Ends the search at 1. */
  readonly spent?: () => number;
  readonly onBest?: (cost: number, iteration: number) => void;
  /** Rounds to start from. */
  readonly start?: readonly RoundPlan[];
  /** Visits that stay where `start` has them. */
  readonly fixed?: ReadonlySet<number>;
};

export type SearchResult = { readonly solution: RoutingSolution; readonly iterations: number };

const MEAN_REMOVED = 10;
const LONGEST_STRING = 10;
const BLINK = 0.01;
const ASKED_EVERY = 64;
/** Temperatures in mean costs of a stop. */
const HOT = 0.5;
const COLD = 0.005;
/** A visit is tried next to this many of its nearest; only if none will do, everywhere. */
const TRIED_NEAR = 30;
/** Optional visits left out that an iteration looks at, besides those it took out itself. */
const MOST_LEFT_LOOKED_AT = 30;

/**
 * Searches rounds of least cost. Rounds of `start` that cannot be driven or are too full are mended: what does not fit is
 * put elsewhere. Throws `RangeError` if that concerns a fixed visit.
 */
export function searchRouting(problem: RoutingProblem, options: SearchOptions): SearchResult {
  const model = options.fixed?.size ? undefined : alikeModel(problem);
  const alike = model && searchByLikes(problem, model, options);
  if (alike) return alike;
  const { visits: n } = problem;
  const empty = createRounds(problem);
  const current = createRounds(problem);
  startFrom(current, options.start ?? [], options.fixed ?? new Set());
  const work = createWork(problem, options.seed, options.fixed ?? new Set());
  for (let v = 0; v < n; v++) if (current.round[v]! < 0) work.absent[work.count++] = v;
  sortAbsent(problem, work);
  recreate(current, work, 0);

  const trial = createRounds(problem);
  const best = createRounds(problem);
  copyRounds(best, current);
  let currentCost = totalCost(current);
  let bestCost = currentCost;
  // What a stop is worth: its share of the rounds, or of the prizes where driving costs next to nothing.
  const unit = Math.max(1, roundsCost(current) / Math.max(1, n), meanPrize(problem));
  let iteration = 0;
  let temperature = HOT * unit;
  for (; iteration < options.iterations && n > 0; iteration++) {
    if (iteration % ASKED_EVERY === 0) {
      const share = Math.max(iteration / options.iterations, options.spent?.() ?? 0);
      if (share >= 1) break;
      temperature = HOT * unit * (COLD / HOT) ** share;
    }
    copyRounds(trial, current);
    ruin(trial, work);
    sortAbsent(problem, work);
    // Now and then a visit may come in that does not pay alone; with others it may.
    const draw = work.random.unit();
    const slack = draw < 0.7 ? 0 : -Math.log(1 - work.random.unit()) * (draw < 0.9 ? temperature : 2 * unit);
    recreate(trial, work, slack);
    const cost = totalCost(trial);
    if (cost >= currentCost - temperature * Math.log(1 - work.random.unit())) continue;
    copyRounds(current, trial);
    currentCost = cost;
    if (cost < bestCost) {
      bestCost = cost;
      copyRounds(best, current);
      options.onBest?.(cost, iteration);
    }
  }
  return { solution: solutionOf(best, empty), iterations: iteration };
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

/** Sets the rounds of `plans` as far as they can be driven and carried; other visits stay out. */
function startFrom(rounds: Rounds, plans: readonly RoundPlan[], fixed: ReadonlySet<number>): void {
  const taken = new Set<number>();
  for (const plan of plans) {
    const { vehicle } = plan;
    const isLegal =
      vehicle >= 0 &&
      vehicle < rounds.problem.vehicles &&
      plan.steps.every(
        (step) => step.kind !== 'visit' || (step.visit >= 0 && step.visit < rounds.problem.visits),
      );
    if (!isLegal)
      throw new RangeError(
        `a round to start from names vehicle ${vehicle} or a visit that the problem has not`,
      );
    const visits = plan.steps.flatMap((step) => (step.kind === 'visit' ? [step.visit] : []));
    const isNew =
      !taken.has(-1 - vehicle) &&
      new Set(visits).size === visits.length &&
      visits.every((v) => !taken.has(v));
    taken.add(-1 - vehicle);
    const isWhole =
      isNew && setRound(rounds, plan) && overloadA(rounds, vehicle) === 0 && overloadB(rounds, vehicle) === 0;
    if (!isWhole) mend(rounds, vehicle, visits, fixed);
    for (const visit of visits) taken.add(visit);
  }
  for (const visit of fixed)
    if (visit < rounds.problem.visits && rounds.round[visit]! < 0)
      throw new RangeError(
        `visit ${visit} is fixed, but the rounds to start from do not hold it, or cannot hold it: too late or too full`,
      );
}

/** The round anew, in the order given and fixed visits first, without what does not fit. */
function mend(rounds: Rounds, vehicle: number, visits: readonly number[], fixed: ReadonlySet<number>): void {
  clearRound(rounds, vehicle);
  for (const isFixed of [true, false]) {
    let after = rounds.problem.startNode[vehicle]!;
    for (const visit of visits) {
      if (rounds.round[visit] === vehicle) after = visit;
      else if (
        fixed.has(visit) === isFixed &&
        rounds.round[visit]! < 0 &&
        insertionCost(rounds, visit, vehicle, after) < Number.POSITIVE_INFINITY
      ) {
        insert(rounds, visit, vehicle, after);
        after = visit;
      }
    }
  }
}

/** What iterations need besides the rounds; nothing else is allocated once they run. */
type Work = {
  readonly random: FastRandom;
  /** For each visit all others that count, nearest first; row length `nearCount`. */
  readonly near: Int32Array;
  readonly nearCount: number;
  readonly isFixed: Uint8Array;
  readonly far: Float64Array;
  readonly span: Float64Array;
  readonly absent: Int32Array;
  readonly key: Float64Array;
  readonly stops: Int32Array;
  readonly doneAt: Int32Array;
  readonly kindAt: Int32Array;
  count: number;
  stamp: number;
};

const MOST_NEAR = 100;

function createWork(problem: RoutingProblem, seed: number, fixed: ReadonlySet<number>): Work {
  const { visits: n, vehicles, place, places, legM, legS, startNode, windowLo, windowHi } = problem;
  const mean = (prices: Float64Array): number =>
    prices.reduce((sum, price) => sum + price, 0) / Math.max(1, vehicles);
  const perM = mean(problem.costPerM);
  // Where time costs nothing it still runs out, so it always counts a little.
  const perS = Math.max(mean(problem.costPerS), perM / 10, perM === 0 ? 1 : 0);
  const leg = (p: number, q: number): number => perM * legM[p * places + q]! + perS * legS[p * places + q]!;
  const nearCount = Math.max(0, Math.min(MOST_NEAR, n - 1));
  const near = new Int32Array(n * nearCount);
  for (let v = 0; v < n; v++) {
    const apart = Float64Array.from(
      { length: n },
      (_, u) => leg(place[u]!, place[v]!) + leg(place[v]!, place[u]!),
    );
    const others = Array.from({ length: n }, (_, u) => u).filter((u) => u !== v);
    others.sort((a, b) => apart[a]! - apart[b]! || a - b);
    near.set(others.slice(0, nearCount), v * nearCount);
  }
  const depot = vehicles === 0 ? 0 : place[startNode[0]!]!;
  return {
    random: fastRandom(seed),
    near,
    nearCount,
    isFixed: Uint8Array.from({ length: n }, (_, v) => (fixed.has(v) ? 1 : 0)),
    far: Float64Array.from({ length: n }, (_, v) => leg(depot, place[v]!)),
    span: Float64Array.from({ length: n }, (_, v) => {
      let total = 0;
      for (let w = windowLo[v * vehicles]!; w < windowHi[v * vehicles]!; w++)
        total += problem.windowUntilS[w]! - problem.windowFromS[w]!;
      return total;
    }),
    absent: new Int32Array(n),
    key: new Float64Array(n),
    stops: new Int32Array(n),
    doneAt: new Int32Array(vehicles),
    kindAt: new Int32Array(vehicles),
    count: 0,
    stamp: 0,
  };
}

/** Takes a string of stops around a seed out of its round and of the rounds of its nearest visits; fills `absent`. */
function ruin(rounds: Rounds, work: Work): void {
  const { problem, count, round } = rounds;
  const { random, near, nearCount, isFixed, stops, absent } = work;
  const { visits: n } = problem;
  work.count = 0;
  let used = 0;
  let served = 0;
  for (let r = 0; r < problem.vehicles; r++) {
    if (count[r]! > 0) used++;
    served += count[r]!;
  }
  const longest = Math.min(LONGEST_STRING, served / Math.max(1, used));
  const most = (4 * MEAN_REMOVED) / (1 + longest) - 1;
  let strings = Math.floor(random.unit() * most + 1);
  const seed = random.below(n);
  let looked = 0;
  work.stamp++;
  for (let k = -1; k < nearCount; k++) {
    const visit = k < 0 ? seed : near[seed * nearCount + k]!;
    const r = round[visit]!;
    if (r < 0) {
      // Others may have been taken out a moment ago; those are there already.
      if (!problem.mandatory[visit] && looked < MOST_LEFT_LOOKED_AT && !isIn(absent, work.count, visit)) {
        looked++;
        absent[work.count++] = visit;
      }
      continue;
    }
    if (strings === 0 || work.doneAt[r] === work.stamp) continue;
    work.doneAt[r] = work.stamp;
    strings--;
    let length = 0;
    let at = 0;
    for (let u = rounds.next[problem.startNode[r]!]!; u !== problem.endNode[r]; u = rounds.next[u]!) {
      if (u >= n) continue;
      if (u === visit) at = length;
      stops[length++] = u;
    }
    const taken = Math.floor(random.unit() * Math.min(length, longest) + 1);
    const first = Math.max(0, at - taken + 1);
    const last = Math.min(at, length - taken);
    const from = first + random.below(last - first + 1);
    // Half the strings keep a stop in the middle (split string).
    const kept = taken > 1 && random.unit() < 0.5 ? from + random.below(taken) : -1;
    let any = false;
    for (let i = from; i < from + taken; i++) {
      const u = stops[i]!;
      if (i === kept || isFixed[u]) continue;
      unlink(rounds, u);
      absent[work.count++] = u;
      any = true;
    }
    if (any) mendRound(rounds, r);
  }
  for (let v = 0; v < n; v++)
    if (problem.mandatory[v] && round[v]! < 0 && !isIn(absent, work.count, v)) absent[work.count++] = v;
}

function isIn(list: Int32Array, count: number, value: number): boolean {
  for (let i = 0; i < count; i++) if (list[i] === value) return true;
  return false;
}

/** Mostly mandatory visits first; within them at random, largest, farthest, nearest, narrowest windows or dearest first. */
function sortAbsent(problem: RoutingProblem, work: Work): void {
  const { absent, key, far, span, random, count } = work;
  const draw = random.unit();
  const mustFirst = random.unit() < 0.7;
  for (let i = 0; i < count; i++) {
    const v = absent[i]!;
    key[i] =
      draw < 0.4
        ? random.unit()
        : draw < 0.55
          ? -problem.loadA[v]!
          : draw < 0.65
            ? -far[v]!
            : draw < 0.75
              ? far[v]!
              : draw < 0.9
                ? span[v]!
                : -problem.skipCost[v]!;
  }
  for (let i = 1; i < count; i++) {
    const k = key[i]!;
    const v = absent[i]!;
    const must = mustFirst ? problem.mandatory[v]! : 0;
    let j = i - 1;
    while (j >= 0) {
      const other = mustFirst ? problem.mandatory[absent[j]!]! : 0;
      if (other > must || (other === must && key[j]! <= k)) break;
      key[j + 1] = key[j]!;
      absent[j + 1] = absent[j]!;
      j--;
    }
    key[j + 1] = k;
    absent[j + 1] = v;
  }
}

/** Greedy insertion in the order given; what fits nowhere, or is not worth its place, stays out. */
function recreate(rounds: Rounds, work: Work, slack: number): void {
  const { problem, count, round, next, prev } = rounds;
  const { random, near, nearCount, absent } = work;
  const tried = Math.min(TRIED_NEAR, nearCount);
  for (let i = 0; i < work.count; i++) {
    const visit = absent[i]!;
    let least = slack; // worth inserting only if it lowers the cost: insertion prices include the prize
    let vehicle = -1;
    let after = -1;
    for (let k = 0; k < tried; k++) {
      const u = near[visit * nearCount + k]!;
      const r = round[u]!;
      if (r < 0) continue;
      if (random.unit() >= BLINK) {
        const cost = insertionCost(rounds, visit, r, u, least);
        if (cost < least) {
          least = cost;
          vehicle = r;
          after = u;
        }
      }
      if (random.unit() >= BLINK) {
        const cost = insertionCost(rounds, visit, r, prev[u]!, least);
        if (cost < least) {
          least = cost;
          vehicle = r;
          after = prev[u]!;
        }
      }
    }
    // An empty vehicle stands for all of its kind.
    work.stamp++;
    const scanAll = vehicle < 0 && problem.mandatory[visit] === 1;
    for (let r = 0; r < problem.vehicles; r++) {
      const isEmpty = count[r] === 0;
      if (!isEmpty && !scanAll) continue;
      if (isEmpty) {
        if (work.kindAt[problem.kind[r]!] === work.stamp) continue;
        work.kindAt[problem.kind[r]!] = work.stamp;
      }
      const end = problem.endNode[r]!;
      for (let u = problem.startNode[r]!; u !== end; u = next[u]!) {
        const cost = insertionCost(rounds, visit, r, u, least);
        if (cost < least) {
          least = cost;
          vehicle = r;
          after = u;
        }
      }
    }
    if (vehicle >= 0) insert(rounds, visit, vehicle, after);
  }
}

// ---- alike vehicles -------------------------------------------------------------------------------------------

function searchByLikes(
  problem: RoutingProblem,
  model: AlikeModel,
  options: SearchOptions,
): SearchResult | undefined {
  const visitsOfPlan = (plan: RoundPlan): number[] =>
    plan.steps.flatMap((step) => (step.kind === 'visit' ? [step.visit] : []));
  const serviceCost = model.timed
    ? 0
    : problem.input.visits.reduce((sum, v) => sum + v.serviceS, 0) * problem.costPerS[0]!;
  const { onBest } = options;
  const { routes, iterations } = searchAlike(model, {
    seed: options.seed,
    iterations: options.iterations,
    start: options.start?.map(visitsOfPlan) ?? (model.timed ? [] : savingsRoutes(problem)),
    ...(options.spent ? { spent: options.spent } : {}),
    ...(onBest ? { onBest: (cost: number, i: number) => onBest(cost + serviceCost, i) } : {}),
  });
  if (!routes) return undefined;
  const rounds = createRounds(problem);
  routes.forEach((visits, vehicle) => {
    setRound(rounds, { vehicle, steps: visits.map((visit) => ({ kind: 'visit', visit })) });
  });
  return { solution: solutionOf(rounds, createRounds(problem)), iterations };
}

/** Builds the problem and searches it. */
export const solveRouting = (
  input: Parameters<typeof buildRoutingProblem>[0],
  options: SearchOptions,
): SearchResult => searchRouting(buildRoutingProblem(input), options);
