/**
 * The quick search for alike vehicles: first strings are taken out and put back under annealing, which is the better of
 * the two in the first second; then its result and random solutions breed. With time windows breeding does it all.
 */
import { createEvolution } from './evolution.ts';
import { type AlikeModel, fewestVehicles } from './model.ts';
import { searchByStrings } from './string-search.ts';

export type AlikeOptions = {
  readonly seed: number;
  /** In iterations of the string search; a child counts for as many as take about its time. */
  readonly iterations: number;
  /** Share of the budget that is spent, 0 to 1. */
  readonly spent?: () => number;
  /** `routes` reads the solution off; only until the listener returns. */
  readonly onBest?: (cost: number, iteration: number, routes: () => number[][]) => void;
  /** Routes to start from; visits that do not fit are put elsewhere. */
  readonly start: readonly (readonly number[])[];
};

export type AlikeResult = {
  /** Undefined if no solution that serves everybody was found. */
  readonly routes: readonly (readonly number[])[] | undefined;
  readonly iterations: number;
};

const PROBE_SHARE = 0.02;
const STRING_SHARE = 0.3;
const FEW_CHILDREN = 400;
const MANY_CHILDREN = 2500;
/** Random solutions that a population begins with. */
const SEEDS = 40;
/** Children without a better one before the population is begun anew. */
const PATIENCE = 8000;

export function searchAlike(model: AlikeModel, options: AlikeOptions): AlikeResult {
  const { n } = model;
  const spent = (iteration: number): number =>
    Math.max(iteration / options.iterations, options.spent?.() ?? 0);
  let done = 0;
  let routes: readonly (readonly number[])[] | undefined;
  let bestCost = Number.POSITIVE_INFINITY;
  const heard = (cost: number, iteration: number, routesNow: () => number[][]): void => {
    if (cost >= bestCost) return;
    bestCost = cost;
    options.onBest?.(cost, iteration, routesNow);
  };

  const childWeight = Math.max(1, Math.round((n * n) / 60));
  let start = options.start;
  if (!model.timed && model.symmetric) {
    /** Strings until `until` of the budget is spent; false if somebody found no room. */
    const strings = (until: number): boolean => {
      const from = spent(done);
      if (from >= until) return start.flat().length === n;
      const before = done;
      const found = searchByStrings(model, {
        seed: options.seed,
        iterations: Math.max(1, Math.ceil(options.iterations * (until - from))),
        start,
        onBest: (cost, iteration, routesNow) => heard(cost, before + iteration, routesNow),
        ...(options.spent ? { spent: () => (options.spent!() - from) / (until - from) } : {}),
      });
      done += found.iterations;
      if (routes === undefined || found.cost <= bestCost) {
        bestCost = found.cost;
        routes = found.routes;
        start = found.routes;
      }
      return found.left === 0;
    };
    // A first look tells how many children the budget allows; too few are not worth having.
    strings(PROBE_SHARE);
    const total = Math.min(options.iterations, done / Math.max(spent(done), 1e-9));
    const children = total / childWeight;
    const share = children < FEW_CHILDREN ? 1 : children < MANY_CHILDREN ? STRING_SHARE : PROBE_SHARE;
    // Too much for the fleet: breeding would find no whole solution either.
    if (!strings(share)) return { routes, iterations: done };
  }

  const fleet = model.timed
    ? model.fleet
    : Math.max(Math.min(model.fleet, Math.ceil(1.3 * fewestVehicles(model)) + 3), start.length);
  const evolution = createEvolution(model, fleet, options.seed);
  const isWhole = start.length > 0 && start.length <= fleet && start.flat().length === n;
  let idle = 0;
  const counted = (isBest: boolean): void => {
    done += childWeight;
    idle++;
    if (isBest && evolution.bestCost() < bestCost) {
      idle = 0;
      routes = evolution.bestRoutes();
      heard(evolution.bestCost(), done, evolution.bestRoutes);
    }
  };
  if (isWhole && spent(done) < 1) counted(evolution.seedWith(start));
  let seeds = 0;
  while (spent(done) < 1) {
    if (seeds < SEEDS) {
      seeds++;
      counted(evolution.seedRandom());
    } else counted(evolution.breed());
    if (idle >= PATIENCE) {
      evolution.population.clear();
      seeds = 0;
      idle = 0;
    }
    // Nobody else can tell whether all can be served; the general search then says who cannot.
    if (routes === undefined && spent(done) > 0.5) break;
  }
  return { routes, iterations: done };
}
