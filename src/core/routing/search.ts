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
import { type Random, seededRandom } from '../quantity/random.ts';
import { type AlikeModel, alikeModel } from './alike/model.ts';
import { searchAlike } from './alike/search.ts';
import { bestInsertion, insert, insertionCost } from './insertion.ts';
import { buildRoutingProblem, type RoutingProblem } from './problem.ts';
import { setRound } from './round-plan.ts';
import { copyRounds, createRounds, type Rounds, remove, totalCost } from './rounds.ts';
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

export function searchRouting(problem: RoutingProblem, options: SearchOptions): SearchResult {
  const model = options.fixed?.size ? undefined : alikeModel(problem);
  const alike = model && searchByLikes(problem, model, options);
  if (alike) return alike;
  const { visits: n } = problem;
  const random = seededRandom(options.seed);
  const empty = createRounds(problem);
  const current = createRounds(problem);
  const isFixed = Uint8Array.from({ length: n }, (_, v) => (options.fixed?.has(v) ? 1 : 0));
  for (const plan of options.start ?? []) setRound(current, plan);
  const near = nearVisits(problem);
  const absent: number[] = [];
  for (let v = 0; v < n; v++) if (current.round[v]! < 0) absent.push(v);
  const far = Float64Array.from({ length: n }, (_, v) => legFromStart(problem, v));
  sortAbsent(problem, absent, far, random);
  recreate(current, absent, random);

  const trial = createRounds(problem);
  const best = createRounds(problem);
  copyRounds(best, current);
  let currentCost = totalCost(current);
  let bestCost = currentCost;
  const unit = Math.max(1, roundsCost(current) / Math.max(1, n));
  let iteration = 0;
  let temperature = HOT * unit;
  for (; iteration < options.iterations && n > 0; iteration++) {
    if (iteration % ASKED_EVERY === 0) {
      const share = Math.max(iteration / options.iterations, options.spent?.() ?? 0);
      if (share >= 1) break;
      temperature = HOT * unit * (COLD / HOT) ** share;
    }
    copyRounds(trial, current);
    ruin(trial, near, isFixed, random);
    absent.length = 0;
    for (let v = 0; v < n; v++) if (trial.round[v]! < 0) absent.push(v);
    sortAbsent(problem, absent, far, random);
    recreate(trial, absent, random);
    const cost = totalCost(trial);
    if (cost >= currentCost - temperature * Math.log(1 - random.next())) continue;
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

/** All other visits of each visit, nearest first (there and back), at most `MOST_NEAR`. */
const MOST_NEAR = 100;
function nearVisits(problem: RoutingProblem): Int32Array[] {
  const { visits: n, place, places, legM } = problem;
  const between = (u: number, v: number): number =>
    legM[place[u]! * places + place[v]!]! + legM[place[v]! * places + place[u]!]!;
  return Array.from({ length: n }, (_, v) => {
    const others = Array.from({ length: n }, (_, u) => u).filter((u) => u !== v);
    others.sort((a, b) => between(v, a) - between(v, b) || a - b);
    return Int32Array.from(others.slice(0, MOST_NEAR));
  });
}

const legFromStart = ({ place, places, legM, startNode, vehicles }: RoutingProblem, visit: number): number =>
  vehicles === 0 ? 0 : legM[place[startNode[0]!]! * places + place[visit]!]!;

/** Takes a string of stops around a seed out of its round and of the rounds of its nearest visits. */
function ruin(rounds: Rounds, near: readonly Int32Array[], isFixed: Uint8Array, random: Random): void {
  const { problem, count, round } = rounds;
  let used = 0;
  let served = 0;
  for (let r = 0; r < problem.vehicles; r++) {
    if (count[r]! > 0) used++;
    served += count[r]!;
  }
  if (used === 0) return;
  const longest = Math.min(LONGEST_STRING, served / used);
  const most = (4 * MEAN_REMOVED) / (1 + longest) - 1;
  let strings = Math.floor(random.next() * most + 1);
  const seed = random.below(problem.visits);
  const done = new Set<number>();
  for (let k = -1; k < near[seed]!.length && strings > 0; k++) {
    const visit = k < 0 ? seed : near[seed]![k]!;
    const r = round[visit]!;
    if (r < 0 || done.has(r)) continue;
    done.add(r);
    strings--;
    const stops = visitsOf(rounds, r);
    const at = stops.indexOf(visit);
    const length = Math.floor(random.next() * Math.min(stops.length, longest) + 1);
    const first = Math.max(0, at - length + 1);
    const last = Math.min(at, stops.length - length);
    const from = first + random.below(last - first + 1);
    // Half the strings keep a few stops in the middle (split string).
    const kept = length > 1 && random.next() < 0.5 ? from + random.below(length) : -1;
    for (let i = from; i < from + length; i++)
      if (i !== kept && !isFixed[stops[i]!]) remove(rounds, stops[i]!);
  }
}

function visitsOf(rounds: Rounds, vehicle: number): number[] {
  const { problem, next } = rounds;
  const visits: number[] = [];
  for (let u = next[problem.startNode[vehicle]!]!; u !== problem.endNode[vehicle]; u = next[u]!)
    if (u < problem.visits) visits.push(u);
  return visits;
}

function sortAbsent(problem: RoutingProblem, absent: number[], far: Float64Array, random: Random): void {
  const draw = random.next();
  const span = (v: number): number => {
    let total = 0;
    for (let w = problem.windowLo[v * problem.vehicles]!; w < problem.windowHi[v * problem.vehicles]!; w++)
      total += problem.windowUntilS[w]! - problem.windowFromS[w]!;
    return total;
  };
  const keys = new Map<number, number>();
  for (const v of absent)
    keys.set(
      v,
      draw < 0.4
        ? random.next()
        : draw < 0.6
          ? -problem.loadA[v]!
          : draw < 0.75
            ? -far[v]!
            : draw < 0.85
              ? far[v]!
              : span(v),
    );
  const must = (v: number): number => (problem.mandatory[v] ? 0 : 1);
  absent.sort((a, b) => must(a) - must(b) || keys.get(a)! - keys.get(b)! || a - b);
}

/** Greedy insertion in the order given; what fits nowhere, or is not worth its place, stays out. */
function recreate(rounds: Rounds, absent: readonly number[], random: Random): void {
  const { problem, count, next } = rounds;
  const triedKinds = new Set<number>();
  for (const visit of absent) {
    let least = 0; // worth inserting only if it lowers the cost: insertion prices include the prize
    let vehicle = -1;
    let after = -1;
    triedKinds.clear();
    for (let r = 0; r < problem.vehicles; r++) {
      const key = visit * problem.vehicles + r;
      if (problem.windowLo[key]! >= problem.windowHi[key]!) continue;
      if (count[r] === 0) {
        if (triedKinds.has(problem.kind[r]!)) continue;
        triedKinds.add(problem.kind[r]!);
        const cost = bestInsertion(rounds, visit, r, least);
        if (cost < least) {
          least = cost;
          vehicle = r;
          after = rounds.best.after;
        }
        continue;
      }
      const end = problem.endNode[r]!;
      for (let u = problem.startNode[r]!; u !== end; u = next[u]!) {
        if (random.next() < BLINK) continue;
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

function searchByLikes(problem: RoutingProblem, model: AlikeModel, options: SearchOptions): SearchResult | undefined {
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
