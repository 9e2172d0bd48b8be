/**
 * The fast path: vehicles all alike, cost by distance only, no windows, shifts, breaks or trips that bind.
 *
 * Slack induction by string removals (Christiaens & Vanden Berghe 2020, Transportation Science 54(2)): ruin strings of
 * nearby routes, recreate greedily with blinks, accept by annealing. Departures: insertion looks only next to near
 * visits, and the whole state is one `Int32Array`, so that undo is one `.set`.
 */
import { fastRandom } from './fast-random.ts';
import type { AlikeModel } from './model.ts';
import { createStringRoutes } from './string-routes.ts';

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
  const K = Math.min(NEAR, n - 1);
  const near = new Int32Array(n * K);
  const nearM = new Int32Array(n * K);
  for (let v = 0; v < n; v++)
    for (let k = 0; k < K; k++) {
      near[v * K + k] = order[v * (n - 1) + k]!;
      nearM[v * K + k] = dist[v * stride + order[v * (n - 1) + k]!]!;
    }

  const routes = createStringRoutes(model);
  const { penalty, state, next, prev, route, toNext, toPrev, load, loadB, size, free, empty, total } = routes;
  const { place, takeOut } = routes;
  const kept = new Int32Array(state.length);
  const best = new Int32Array(state.length);

  const absent = new Int32Array(n);
  const key = new Float64Array(n);
  const touched = new Int32Array(fleet);
  let stamp = 0;
  const { unit } = fastRandom(options.seed);

  routes.start(options.start);
  let absentCount = 0;
  for (let v = 0; v < n; v++) if (route[v]! < 0) absent[absentCount++] = v;

  /** Takes `count` visits from `first` on, skipping `skip` visits after `lead`. */
  function takeString(first: number, count: number, lead: number, skip: number): void {
    const r = route[first]!;
    let v = first;
    for (let i = 0; i < count; i++) {
      if (i === lead) for (let s = 0; s < skip; s++) v = next[v]!;
      const q = next[v]!;
      takeOut(v);
      absent[absentCount++] = v;
      v = q;
    }
    if (size[r] === 0) free[empty[0]!++] = r;
  }

  function ruin(): void {
    const used = fleet - empty[0]!;
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
      if (empty[0]! > 0) {
        least = toDepot + toDepot;
        at = n + free[empty[0]! - 1]!;
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
      if (size[r] === 0) empty[0]!--;
      place(v, at, r);
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

  sortAbsent();
  recreate();
  kept.set(state);
  best.set(state);
  let current = total[0]!;
  let bestCost = current;
  const meanLeg = current / (n + fleet - empty[0]!);
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
    const cost = total[0]!;
    if (cost < current - temperature * Math.log(unit())) {
      current = cost;
      kept.set(state);
      if (cost < bestCost) {
        bestCost = cost;
        best.set(state);
        options.onBest?.(cost, iteration, routes.lists);
      }
    } else {
      state.set(kept);
      total[0] = current;
      absentCount = 0;
      if (current >= penalty) for (let v = 0; v < n; v++) if (route[v]! < 0) absent[absentCount++] = v;
    }
  }
  state.set(best);
  const found = routes.lists();
  const served = found.reduce((sum, visits) => sum + visits.length, 0);
  return { routes: found, left: n - served, cost: bestCost, iterations: iteration };
}
