/**
 * The fast path: vehicles all alike, cost by distance only, no windows, shifts, breaks or trips that bind.
 *
 * Slack induction by string removals (Christiaens & Vanden Berghe 2020, Transportation Science 54(2)): ruin strings of
 * nearby routes, recreate greedily with blinks, accept by annealing. Departures: insertion looks only next to near
 * visits, and the whole state is one `Int32Array`, so that undo is one `.set`.
 */
import { fastRandom } from './fast-random.ts';
import type { AlikeModel } from './model.ts';

export type StringSearchOptions = {
  readonly seed: number;
  readonly iterations: number;
  /** Share of this search that is spent, 0 to 1, asked every 128 iterations. */
  readonly spent?: () => number;
  readonly onBest?: (cost: number, iteration: number, routes: () => number[][]) => void;
  readonly start: readonly (readonly number[])[];
};

export type StringSearchResult = {
  readonly routes: readonly (readonly number[])[];
  /** Visits that found no room. */
  readonly left: number;
  readonly cost: number;
  readonly iterations: number;
};

const NEAR = 16;
const MEAN_REMOVED = 10;
const LONGEST_STRING = 10;
const BLINK = 0.01;

/** Searches routes of least cost. Needs a symmetric model without times. */
export function searchByStrings(model: AlikeModel, options: StringSearchOptions): StringSearchResult {
  const { n, fleet, stride, cost: dist, order, two } = model;
  const capacity = model.capacityA;
  const capacityB = model.capacityB;
  const demand = model.loadA;
  const demandB = model.loadB;
  const penalty = 4 * dist.reduce((most, leg) => Math.max(most, leg), 1);
  const K = Math.min(NEAR, n - 1);
  const near = new Int32Array(n * K);
  const nearM = new Int32Array(n * K);
  for (let v = 0; v < n; v++)
    for (let k = 0; k < K; k++) {
      near[v * K + k] = order[v * (n - 1) + k]!;
      nearM[v * K + k] = dist[v * stride + order[v * (n - 1) + k]!]!;
    }

  // State: visits 0 … n − 1, and n + r stands for the depot in route r.
  const nodes = n + fleet;
  const state = new Int32Array(5 * nodes + 4 * fleet + 2);
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
  const free = take(fleet); // stack of empty routes
  const scalars = take(2); // [0] cost, [1] empty routes
  const kept = new Int32Array(state.length);
  const best = new Int32Array(state.length);

  const absent = new Int32Array(n);
  const key = new Float64Array(n);
  const touched = new Int32Array(fleet);
  let stamp = 0;
  const { unit } = fastRandom(options.seed);

  for (let r = 0; r < fleet; r++) {
    next[n + r] = n + r;
    prev[n + r] = n + r;
    route[n + r] = r;
  }
  route.fill(-1, 0, n);
  scalars[0] = n * penalty;
  options.start.slice(0, fleet).forEach((visits, r) => {
    let p = n + r;
    for (const v of visits) {
      // What does not fit, or is there twice, is put back wherever it does.
      if (route[v]! >= 0 || load[r]! + demand[v]! > capacity || loadB[r]! + demandB[v]! > capacityB) continue;
      place1(v, p, r);
      p = v;
    }
  });
  for (let r = fleet - 1; r >= 0; r--) if (size[r] === 0) free[scalars[1]!++] = r;
  let absentCount = 0;
  for (let v = 0; v < n; v++) if (route[v]! < 0) absent[absentCount++] = v;

  function place1(v: number, p: number, r: number): void {
    const q = next[p]!;
    const row = v * stride;
    const before = dist[row + (p < n ? p : n)]!;
    const after = dist[row + (q < n ? q : n)]!;
    scalars[0]! += before + after - (p === q ? 0 : toNext[p]!) - penalty;
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

  /** Takes `count` visits from `first` on, skipping `skip` visits after `lead`. */
  function takeString(first: number, count: number, lead: number, skip: number): void {
    const r = route[first]!;
    let v = first;
    for (let i = 0; i < count; i++) {
      if (i === lead) for (let s = 0; s < skip; s++) v = next[v]!;
      const p = prev[v]!;
      const q = next[v]!;
      const leg = p === q ? 0 : dist[(p < n ? p : n) * stride + (q < n ? q : n)]!;
      scalars[0]! += leg - toPrev[v]! - toNext[v]! + penalty;
      next[p] = q;
      prev[q] = p;
      toNext[p] = leg;
      toPrev[q] = leg;
      route[v] = -1;
      load[r]! -= demand[v]!;
      loadB[r]! -= demandB[v]!;
      size[r]!--;
      absent[absentCount++] = v;
      v = q;
    }
    if (size[r] === 0) free[scalars[1]!++] = r;
  }

  function ruin(): void {
    const used = fleet - scalars[1]!;
    const meanSize = (n - absentCount) / Math.max(1, used);
    const longest = Math.min(LONGEST_STRING, meanSize);
    const most = (4 * MEAN_REMOVED) / (1 + longest) - 1;
    let strings = Math.floor(unit() * most + 1);
    const seed = Math.floor(unit() * n);
    stamp++;
    const row = seed * (n - 1);
    for (let k = -1; k < n - 1 && strings > 0; k++) {
      const c = k < 0 ? seed : order[row + k]!;
      const r = route[c]!;
      if (r < 0 || touched[r] === stamp) continue;
      touched[r] = stamp;
      strings--;
      const count = Math.floor(unit() * Math.min(size[r]!, longest) + 1);
      let span = count;
      if (count > 1 && count < size[r]! && unit() < 0.5) {
        span++;
        while (span < size[r]! && unit() < 0.01) span++;
      }
      let back = 0;
      let p = prev[c]!;
      while (back < span - 1 && p < n) {
        back++;
        p = prev[p]!;
      }
      let ahead = 0;
      let q = next[c]!;
      while (ahead < span - 1 && q < n) {
        ahead++;
        q = next[q]!;
      }
      const least = Math.max(0, span - 1 - ahead);
      let offset = least + Math.floor(unit() * (back - least + 1));
      let first = c;
      while (offset-- > 0) first = prev[first]!;
      const lead = span > count ? 1 + Math.floor(unit() * (count - 1)) : count;
      takeString(first, count, lead, span - count);
    }
  }

  function sortAbsent(): void {
    const how = unit() * 11;
    for (let i = 0; i < absentCount; i++) {
      const v = absent[i]!;
      key[i] =
        how < 4 ? unit() : how < 8 ? -demand[v]! : how < 10 ? -dist[v * stride + n]! : dist[v * stride + n]!;
    }
    for (let i = 1; i < absentCount; i++) {
      const k = key[i]!;
      const v = absent[i]!;
      let j = i - 1;
      while (j >= 0 && key[j]! > k) {
        key[j + 1] = key[j]!;
        absent[j + 1] = absent[j]!;
        j--;
      }
      key[j + 1] = k;
      absent[j + 1] = v;
    }
  }

  function recreate(): void {
    let left = 0;
    for (let i = 0; i < absentCount; i++) {
      const v = absent[i]!;
      const room = capacity - demand[v]!;
      const roomB = capacityB - demandB[v]!;
      const row = v * stride;
      const toDepot = dist[row + n]!;
      let least = 2147483647;
      let at = -1;
      if (scalars[1]! > 0) {
        least = toDepot + toDepot;
        at = n + free[scalars[1]! - 1]!;
      }
      const base = v * K;
      for (let k = 0; k < K; k++) {
        const u = near[base + k]!;
        const r = route[u]!;
        if (r < 0 || load[r]! > room || (two && loadB[r]! > roomB)) continue;
        const m = nearM[base + k]!;
        // A neighbour of u that is nearer than u had its turn; one farther away makes it at least 2 m − leg. The depot
        // is nobody's near visit, so it is always looked at.
        const out = toNext[u]!;
        const q = next[u]!;
        if (((q >= n && m + toDepot - out < least) || m + m - out < least) && unit() >= BLINK) {
          const cost = m + dist[row + (q < n ? q : n)]! - out;
          if (cost < least) {
            least = cost;
            at = u;
          }
        }
        const into = toPrev[u]!;
        const p = prev[u]!;
        if (((p >= n && m + toDepot - into < least) || m + m - into < least) && unit() >= BLINK) {
          const cost = m + dist[row + (p < n ? p : n)]! - into;
          if (cost < least) {
            least = cost;
            at = p;
          }
        }
      }
      if (at < 0 || (at >= n + 0 && size[at - n] === 0)) at = scan(v, room, roomB, at, least);
      if (at < 0) {
        absent[left++] = v;
        continue;
      }
      const r = at < n ? route[at]! : at - n;
      if (size[r] === 0) scalars[1]!--;
      place1(v, at, r);
    }
    absentCount = left;
  }

  /** Cheapest of all positions, −1 if no route has room. */
  function scan(v: number, room: number, roomB: number, fresh: number, freshM: number): number {
    let least = freshM;
    let at = fresh;
    const row = v * stride;
    for (let r = 0; r < fleet; r++) {
      if (size[r] === 0 || load[r]! > room || loadB[r]! > roomB) continue;
      let p = n + r;
      do {
        const q = next[p]!;
        const cost = dist[row + (p < n ? p : n)]! + dist[row + (q < n ? q : n)]! - toNext[p]!;
        if (cost < least) {
          least = cost;
          at = p;
        }
        p = q;
      } while (p < n);
    }
    return at;
  }

  function routesNow(): number[][] {
    const routes: number[][] = [];
    for (let r = 0; r < fleet; r++) {
      const visits: number[] = [];
      for (let v = next[n + r]!; v < n; v = next[v]!) visits.push(v);
      if (visits.length > 0) routes.push(visits);
    }
    return routes;
  }

  sortAbsent();
  recreate();
  kept.set(state);
  best.set(state);
  let current = scalars[0]!;
  let bestCost = current;
  const meanLeg = current / (n + fleet - scalars[1]!);
  const hot = meanLeg;
  const cold = 0.01 * meanLeg;
  let temperature = hot;
  let iteration = 0;
  for (; iteration < options.iterations; iteration++) {
    if ((iteration & 127) === 0) {
      const share = Math.max(iteration / options.iterations, options.spent?.() ?? 0);
      if (share >= 1) break;
      temperature = hot * (cold / hot) ** share;
    }
    ruin();
    sortAbsent();
    recreate();
    const cost = scalars[0]!;
    if (cost < current - temperature * Math.log(unit())) {
      current = cost;
      kept.set(state);
      if (cost < bestCost) {
        bestCost = cost;
        best.set(state);
        options.onBest?.(cost, iteration, routesNow);
      }
    } else {
      state.set(kept);
      absentCount = 0;
      if (current >= penalty) for (let v = 0; v < n; v++) if (route[v]! < 0) absent[absentCount++] = v;
    }
  }
  state.set(best);
  const routes = routesNow();
  const served = routes.reduce((sum, visits) => sum + visits.length, 0);
  return { routes, left: n - served, cost: bestCost, iterations: iteration };
}
