/**
 * Hybrid genetic search: solutions are crossed as giant tours, cut into routes, improved by local search that may pass
 * through overload and lateness at a price, and kept by cost and by how different they are. Vidal, Crainic, Gendreau,
 * Lahrichi & Rei (2012), Operations Research 60(3); Vidal (2022), Computers & OR 140.
 */
import { createOrderCrossover } from './crossover.ts';
import { type FastRandom, fastRandom } from './fast-random.ts';
import { createLocalSearch } from './local-search.ts';
import type { AlikeModel } from './model.ts';
import { planeOf } from './plane.ts';
import { createPopulation, type Individual } from './population.ts';
import { createSplit } from './split.ts';
import { createFreeSwaps } from './swap-free.ts';

const SIZES = { least: 25, born: 40, elite: 4, close: 5 };
const NEAR = 20;

export type Evolution = ReturnType<typeof createEvolution>;

export function createEvolution(model: AlikeModel, fleet: number, seed: number) {
  const { n, loadA, loadB, cost, stride } = model;
  const random: FastRandom = fastRandom(seed);
  const search = createLocalSearch(model, fleet, nearFor(model), random);
  const freeSwaps = createFreeSwaps(search);
  const split = createSplit(model, fleet);
  const cross = createOrderCrossover(n, random);
  const population = createPopulation(n, fleet, SIZES, random);
  const { x, y } = planeOf(model);
  const { prices } = search;
  const angle = new Float64Array(fleet);
  const rank: number[] = [];
  const tour = Int32Array.from({ length: n }, (_, v) => v);
  let bestCost = Number.POSITIVE_INFINITY;
  const bestOrder = new Int32Array(n);
  const bestStarts = new Int32Array(fleet + 1);
  let bestRoutes = 0;
  const recentLoad: number[] = [];
  const recentLate: number[] = [];

  let dearest = 0;
  let largestA = 1;
  let largestB = 1;
  for (let v = 0; v < n; v++) {
    largestA = Math.max(largestA, loadA[v]!);
    largestB = Math.max(largestB, loadB[v]!);
    for (let u = 0; u <= n; u++) dearest = Math.max(dearest, cost[u * stride + v]!);
  }
  // Sixty-fourths, so that every sum of prices stays exact.
  const exact = (price: number): number => Math.max(1, Math.round(price * 64)) / 64;
  prices.a = exact(dearest / largestA);
  prices.b = exact(dearest / largestB);
  prices.s = exact(1);

  function educate(factor: number): void {
    const { a, b, s } = prices;
    prices.a = a * factor;
    prices.b = b * factor;
    prices.s = s * factor;
    if (factor !== 1) for (let r = 0; r < fleet; r++) search.changed(r, r);
    search.descend(false);
    while (freeSwaps()) search.descend(true);
    prices.a = a;
    prices.b = b;
    prices.s = s;
  }

  function store(): Individual {
    const one = population.fresh();
    rank.length = 0;
    one.cost = 0;
    one.overA = 0;
    one.overB = 0;
    one.lateS = 0;
    for (let r = 0; r < fleet; r++) {
      if (search.size[r] === 0) continue;
      let sx = 0;
      let sy = 0;
      for (let u = search.next[n + r]!; u < n; u = search.next[u]!) {
        sx += x[u]!;
        sy += y[u]!;
      }
      angle[r] = Math.atan2(sy, sx);
      rank.push(r);
      one.cost += search.legs[r]!;
      one.overA += Math.max(0, search.routeA[r]! - model.capacityA);
      one.overB += Math.max(0, search.routeB[r]! - model.capacityB);
      one.lateS += search.lateS[r]!;
    }
    rank.sort((r, s) => angle[r]! - angle[s]! || r - s);
    one.routes = rank.length;
    let i = 0;
    rank.forEach((r, k) => {
      one.starts[k] = i;
      for (let u = search.next[n + r]!; u < n; u = search.next[u]!) {
        one.order[i++] = u;
        one.next[u] = Math.min(n, search.next[u]!);
        one.prev[u] = Math.min(n, search.prev[u]!);
      }
    });
    one.starts[one.routes] = i;
    one.feasible = one.overA === 0 && one.overB === 0 && one.lateS === 0;
    one.penalised = penalised(one);
    return one;
  }

  const penalised = (one: Individual): number =>
    one.cost + one.overA * prices.a + one.overB * prices.b + one.lateS * prices.s;

  /** Puts what the local search holds into the population; true if it is the best so far. */
  function keep(): boolean {
    const one = store();
    let isBest = false;
    if (one.feasible && one.cost < bestCost) {
      bestCost = one.cost;
      bestOrder.set(one.order);
      bestStarts.set(one.starts);
      bestRoutes = one.routes;
      isBest = true;
    }
    population.add(one);
    return isBest;
  }

  /** Improves a giant tour or routes and keeps the result; tries to mend one in two that is not feasible. */
  function improveAndKeep(order: Int32Array, starts: Int32Array, routes: number): boolean {
    search.load(order, starts, routes);
    educate(1);
    let overA = 0;
    let lateS = 0;
    for (let r = 0; r < fleet; r++) {
      overA += Math.max(0, search.routeA[r]! - model.capacityA, search.routeB[r]! - model.capacityB);
      lateS += search.lateS[r]!;
    }
    note(recentLoad, overA === 0 ? 1 : 0);
    note(recentLate, lateS === 0 ? 1 : 0);
    let isBest = keep();
    if ((overA > 0 || lateS > 0) && random.unit() < 0.5) {
      educate(10);
      let ok = true;
      for (let r = 0; r < fleet; r++)
        if (
          search.routeA[r]! > model.capacityA ||
          search.routeB[r]! > model.capacityB ||
          search.lateS[r]! > 0
        )
          ok = false;
      if (ok && keep()) isBest = true;
    }
    return isBest;
  }

  function note(list: number[], value: number): void {
    list.push(value);
    if (list.length > 100) list.shift();
  }

  function adapt(): void {
    const share = (list: number[]): number =>
      list.reduce((sum, value) => sum + value, 0) / Math.max(1, list.length);
    const turn = (price: number, found: number): number =>
      found < 0.15
        ? exact(Math.min(price * 1.2 + 1 / 64, 1e6))
        : found > 0.25
          ? exact(Math.max(price * 0.85, 1 / 64))
          : price;
    prices.a = turn(prices.a, share(recentLoad));
    prices.b = turn(prices.b, share(recentLoad));
    if (model.timed) prices.s = turn(prices.s, share(recentLate));
    population.reprice(penalised);
  }

  let children = 0;
  return {
    population,
    /** Adds a random solution. */
    seedRandom(): boolean {
      search.shuffle(tour);
      return improveAndKeep(tour, split.starts, split.cut(tour, prices));
    },
    /** Adds a solution found elsewhere. */
    seedWith(routes: readonly (readonly number[])[]): boolean {
      const order = Int32Array.from(routes.flat());
      const starts = new Int32Array(fleet + 1);
      routes.forEach((visits, r) => {
        starts[r + 1] = starts[r]! + visits.length;
      });
      search.load(order, starts, routes.length);
      const isBest = keep();
      return improveAndKeep(order, starts, routes.length) || isBest;
    },
    /** Breeds one child. */
    breed(): boolean {
      const first = population.pick();
      let second = population.pick();
      for (let k = 0; k < 5 && second === first; k++) second = population.pick();
      cross(first.order, second.order, tour);
      const isBest = improveAndKeep(tour, split.starts, split.cut(tour, prices));
      if (++children % 100 === 0) adapt();
      return isBest;
    },
    bestCost: (): number => bestCost,
    bestRoutes: (): number[][] =>
      Array.from({ length: bestRoutes }, (_, r) =>
        Array.from(bestOrder.subarray(bestStarts[r]!, bestStarts[r + 1]!)),
      ),
  };
}

/** The near visits of each; with windows, near in time counts too (Vidal et al. 2013, section 4.5). */
function nearFor({
  n,
  stride,
  cost,
  order,
  windows,
  timeS,
  serviceS,
  fromS,
  untilS,
}: AlikeModel): Int32Array {
  const K = Math.min(NEAR, n - 1);
  const near = new Int32Array(n * K);
  if (!windows) {
    for (let v = 0; v < n; v++) for (let k = 0; k < K; k++) near[v * K + k] = order[v * (n - 1) + k]!;
    return near;
  }
  const apart = (u: number, v: number): number => {
    const legS = timeS[u * stride + v]!;
    const wait = Math.max(0, fromS[v]! - serviceS[u]! - legS - untilS[u]!);
    const late = Math.max(0, fromS[u]! + serviceS[u]! + legS - untilS[v]!);
    return cost[u * stride + v]! + 0.2 * wait + late;
  };
  for (let v = 0; v < n; v++) {
    const others = Array.from({ length: n }, (_, u) => u).filter((u) => u !== v);
    const gap = others.map((u) => Math.min(apart(u, v), apart(v, u)));
    const by = others.map((_, i) => i).sort((i, j) => gap[i]! - gap[j]! || i - j);
    for (let k = 0; k < K; k++) near[v * K + k] = others[by[k]!]!;
  }
  return near;
}
