/**
 * Routes as circular lists for the string search: visits 0 … n − 1, and n + r stands for the depot in route r. All but the
 * cost lies in one `Int32Array`, so that a copy is one `.set`.
 */
import type { AlikeModel } from './model.ts';

export type StringRoutes = ReturnType<typeof createStringRoutes>;

/** All visits left out; each of them costs `penalty`. */
export function createStringRoutes(model: AlikeModel) {
  const { n, fleet, stride, cost: dist, loadA: demand, loadB: demandB } = model;
  const penalty = 4 * dist.reduce((most, leg) => Math.max(most, leg), 1);
  const nodes = n + fleet;
  const state = new Int32Array(5 * nodes + 4 * fleet + 1);
  let cell = 0;
  const take = (length: number): Int32Array => {
    cell += length;
    return state.subarray(cell - length, cell);
  };
  const next = take(nodes);
  const prev = take(nodes);
  const route = take(nodes);
  const toNext = take(nodes);
  const toPrev = take(nodes);
  const load = take(fleet);
  const loadB = take(fleet);
  const size = take(fleet);
  /** Stack of empty routes. */
  const free = take(fleet);
  /** [0] how many there are. */
  const empty = take(1);
  /** [0] the cost; it may be more than an `Int32Array` holds. */
  const total = new Float64Array(1);

  for (let r = 0; r < fleet; r++) {
    next[n + r] = n + r;
    prev[n + r] = n + r;
    route[n + r] = r;
  }
  route.fill(-1, 0, n);
  total[0] = n * penalty;

  function place(v: number, p: number, r: number): void {
    const q = next[p]!;
    const row = v * stride;
    const before = dist[row + (p < n ? p : n)]!;
    const after = dist[row + (q < n ? q : n)]!;
    total[0]! += before + after - (p === q ? 0 : toNext[p]!) - penalty;
    next[p] = v;
    prev[v] = p;
    next[v] = q;
    prev[q] = v;
    toNext[p] = before;
    toPrev[v] = before;
    toNext[v] = after;
    toPrev[q] = after;
    route[v] = r;
    load[r]! += demand[v]!;
    loadB[r]! += demandB[v]!;
    size[r]!++;
  }

  /** Takes a visit out; its route must be put on the stack by the caller if it is empty then. */
  function takeOut(v: number): void {
    const r = route[v]!;
    const p = prev[v]!;
    const q = next[v]!;
    const leg = p === q ? 0 : dist[(p < n ? p : n) * stride + (q < n ? q : n)]!;
    total[0]! += leg - toPrev[v]! - toNext[v]! + penalty;
    next[p] = q;
    prev[q] = p;
    toNext[p] = leg;
    toPrev[q] = leg;
    route[v] = -1;
    load[r]! -= demand[v]!;
    loadB[r]! -= demandB[v]!;
    size[r]!--;
  }

  /** Sets routes as far as they fit; what does not, or is there twice, stays out. */
  function start(routes: readonly (readonly number[])[]): void {
    const { capacityA, capacityB } = model;
    routes.slice(0, fleet).forEach((visits, r) => {
      let p = n + r;
      for (const v of visits) {
        if (route[v]! >= 0 || load[r]! + demand[v]! > capacityA || loadB[r]! + demandB[v]! > capacityB)
          continue;
        place(v, p, r);
        p = v;
      }
    });
    for (let r = fleet - 1; r >= 0; r--) if (size[r] === 0) free[empty[0]!++] = r;
  }

  /** The routes as lists. Allocates. */
  function lists(): number[][] {
    const routes: number[][] = [];
    for (let r = 0; r < fleet; r++) {
      const visits: number[] = [];
      for (let v = next[n + r]!; v < n; v = next[v]!) visits.push(v);
      if (visits.length > 0) routes.push(visits);
    }
    return routes;
  }

  return {
    penalty,
    state,
    next,
    prev,
    route,
    toNext,
    toPrev,
    load,
    loadB,
    size,
    free,
    empty,
    total,
    place,
    takeOut,
    start,
    lists,
  };
}
