/**
 * Swaps two visits of different routes and puts each back where it is cheapest, not only in the other's place (the
 * SWAP* neighbourhood of Vidal 2022, Computers & OR 140, section 3.2): the three cheapest places of every visit in every
 * route are kept, so that one of them, or the place set free, is the best one in almost constant time.
 *
 * Departure: routes are tried in pairs if some visit of one is among the nearest of a visit of the other, where the
 * paper compares sectors of a circle; a matrix of legs has no coordinates.
 */
import type { LocalSearch } from './local-search.ts';

const CLOSE = 5;
const NONE = 2 ** 30;

/** A function that makes such swaps until none improves; true if it made one. */
export function createFreeSwaps(search: LocalSearch): () => boolean {
  const { model, fleet, near, next, prev, route, row, at, size, routeA, routeB, price, changedAt, mid } =
    search;
  const { n, cost, loadA, loadB, timed } = model;
  const K = near.length / n;
  const close = Math.min(CLOSE, K);
  const placeCost = new Int32Array(n * fleet * 3);
  const placeAfter = new Int32Array(n * fleet * 3);
  const placesAt = new Int32Array(n * fleet);
  const visit = new Int32Array(n);
  const freed = new Int32Array(n);
  const before = new Int32Array(n);
  const rowBefore = new Int32Array(n);
  const atAfter = new Int32Array(n);
  const gapLeg = new Int32Array(n);
  const pairTestedAt = new Int32Array(fleet * fleet);
  const isClose = new Uint8Array(fleet);
  let insertAfter = 0;

  /** The three cheapest places of u in route s. */
  function fillPlaces(u: number, s: number): void {
    const key = u * fleet + s;
    if (placesAt[key]! > changedAt[s]!) return;
    placesAt[key] = search.moves() + 1;
    const depot = n + s;
    let c0 = NONE;
    let c1 = NONE;
    let c2 = NONE;
    let a0 = -1;
    let a1 = -1;
    let a2 = -1;
    let p = depot;
    const rowU = row[u]!;
    do {
      const q = next[p]!;
      const c = cost[row[p]! + u]! + cost[rowU + at[q]!]! - cost[row[p]! + at[q]!]!;
      if (c < c2) {
        if (c < c0) {
          c2 = c1;
          a2 = a1;
          c1 = c0;
          a1 = a0;
          c0 = c;
          a0 = p;
        } else if (c < c1) {
          c2 = c1;
          a2 = a1;
          c1 = c;
          a1 = p;
        } else {
          c2 = c;
          a2 = p;
        }
      }
      p = q;
    } while (p !== depot);
    const base = key * 3;
    placeCost[base] = c0;
    placeCost[base + 1] = c1;
    placeCost[base + 2] = c2;
    placeAfter[base] = a0;
    placeAfter[base + 1] = a1;
    placeAfter[base + 2] = a2;
  }

  /** Copies what is needed of a route's visits to flat arrays, from `base` on, with their places in `other`. */
  function gather(r: number, other: number, base: number): number {
    let k = base;
    let p = n + r;
    for (let u = next[p]!; u < n; u = next[u]!) {
      fillPlaces(u, other);
      const q = next[u]!;
      visit[k] = u;
      freed[k] = cost[row[p]! + at[q]!]! - cost[row[p]! + u]! - cost[row[u]! + at[q]!]!;
      before[k] = p;
      rowBefore[k] = row[p]!;
      atAfter[k] = at[q]!;
      gapLeg[k] = cost[row[p]! + at[q]!]!;
      k++;
      p = u;
    }
    return k;
  }

  /** Cheapest insertion of u into the route of entry j once that has left; `insertAfter` is its visit for its own place. */
  function cheapestWithout(u: number, s: number, j: number): number {
    const base = (u * fleet + s) * 3;
    const v = visit[j]!;
    const p = before[j]!;
    let least = cost[rowBefore[j]! + u]! + cost[row[u]! + atAfter[j]!]! - gapLeg[j]!;
    insertAfter = v;
    let k = base;
    let after = placeAfter[k]!;
    if (after === v || after === p) {
      after = placeAfter[++k]!;
      if (after === v || after === p) after = placeAfter[++k]!;
    }
    if (after >= 0 && placeCost[k]! < least) {
      least = placeCost[k]!;
      insertAfter = after;
    }
    return least;
  }

  /** Price of lateness of the route of `out` with `into` put after `after` instead (`out` itself: in its place). */
  function lateWithout(out: number, into: number, after: number): number {
    const p = prev[out]!;
    const q = next[out]!;
    let k = 0;
    if (after === out) {
      mid[0] = into;
      return search.latePrice(p, 1, q);
    }
    if (after < n ? comesBefore(after, out) : true) {
      mid[k++] = into;
      for (let w = next[after]!; w !== out; w = next[w]!) mid[k++] = w;
      return search.latePrice(after, k, q);
    }
    for (let w = q; ; w = next[w]!) {
      mid[k++] = w;
      if (w === after) break;
    }
    mid[k++] = into;
    return search.latePrice(p, k, next[after]!);
  }

  const comesBefore = (u: number, v: number): boolean => search.pos[u]! < search.pos[v]!;

  function bestOfPair(r: number, s: number): boolean {
    const endU = gather(r, s, 0);
    const endV = gather(s, r, endU);
    const now = price[r]! + price[s]!;
    let best = 0;
    let bestU = -1;
    let bestV = -1;
    let afterU = -1;
    let afterV = -1;
    for (let i = 0; i < endU; i++) {
      const u = visit[i]!;
      for (let j = endU; j < endV; j++) {
        let delta = freed[i]! + freed[j]! - now;
        if (delta >= best) continue;
        const v = visit[j]!;
        const a = loadA[u]! - loadA[v]!;
        const b = loadB[u]! - loadB[v]!;
        delta +=
          search.loadPrice(routeA[r]! - a, routeB[r]! - b) + search.loadPrice(routeA[s]! + a, routeB[s]! + b);
        if (delta >= best) continue;
        delta += cheapestWithout(u, s, j);
        if (delta >= best) continue;
        const putU = insertAfter;
        delta += cheapestWithout(v, r, i);
        if (delta >= best) continue;
        const putV = insertAfter;
        if (timed) {
          delta += lateWithout(v, u, putU);
          if (delta >= best) continue;
          delta += lateWithout(u, v, putV);
          if (delta >= best) continue;
        }
        best = delta;
        bestU = u;
        bestV = v;
        afterU = putU;
        afterV = putV;
      }
    }
    if (bestU < 0) return false;
    const placeU = afterU === bestV ? prev[bestV]! : afterU;
    const placeV = afterV === bestU ? prev[bestU]! : afterV;
    search.unlink(bestU);
    search.unlink(bestV);
    search.linkAfter(bestU, placeU);
    search.linkAfter(bestV, placeV);
    return search.changed(r, s);
  }

  return () => {
    placesAt.fill(0);
    pairTestedAt.fill(-1);
    let improved = false;
    for (let r = 0; r < fleet; r++) {
      if (size[r] === 0) continue;
      isClose.fill(0);
      for (let u = next[n + r]!; u < n; u = next[u]!)
        for (let k = 0; k < close; k++) isClose[route[near[u * K + k]!]!] = 1;
      for (let s = 0; s < fleet; s++) {
        if (s === r || !isClose[s] || size[s] === 0) continue;
        const pair = r < s ? r * fleet + s : s * fleet + r;
        if (Math.max(changedAt[r]!, changedAt[s]!) <= pairTestedAt[pair]!) continue;
        pairTestedAt[pair] = search.moves();
        if (bestOfPair(r, s)) improved = true;
      }
    }
    return improved;
  };
}
