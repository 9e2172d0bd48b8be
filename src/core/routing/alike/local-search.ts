/**
 * Local search that may pass through overloaded or late routes at a price: relocations and swaps of one or two visits,
 * reversals and exchanged tails between each visit and its near ones, then swaps that put each visit back where it is
 * cheapest (`swap-free.ts`). Vidal, Crainic, Gendreau, Lahrichi & Rei (2012), Operations Research 60(3):611-624; Vidal et
 * al. (2013) for time warp; Vidal (2022), Computers & OR 140 for the pruning: a route's price for overload and lateness
 * is never below 0, so a move is looked at closely only if its legs save more than they could at most.
 *
 * Nodes: visits 0 … n − 1, and n + r for the depot of route r, which is both its ends. Routes are circular lists.
 */
import type { FastRandom } from './fast-random.ts';
import type { AlikeModel } from './model.ts';

export type Prices = {
  /** Per unit of load above capacity, per second of lateness. */
  a: number;
  b: number;
  s: number;
};

export type LocalSearch = ReturnType<typeof createLocalSearch>;

export function createLocalSearch(model: AlikeModel, fleet: number, near: Int32Array, random: FastRandom) {
  const {
    n,
    stride,
    symmetric,
    cost,
    loadA,
    loadB,
    capacityA,
    capacityB,
    timed,
    timeS,
    serviceS,
    fromS,
    untilS,
  } = model;
  const K = near.length / n;
  const nodes = n + fleet;
  const next = new Int32Array(nodes);
  const prev = new Int32Array(nodes);
  const route = new Int32Array(nodes);
  const pos = new Int32Array(nodes);
  const at = Int32Array.from({ length: nodes }, (_, u) => Math.min(u, n));
  const row = Int32Array.from({ length: nodes }, (_, u) => Math.min(u, n) * stride);
  const sumA = new Int32Array(nodes);
  const sumB = new Int32Array(nodes);
  /** Cost of the legs up to a node driven the other way, less their cost as they are. */
  const turned = new Int32Array(nodes);
  // Segments up to a node (head) and from it on (tail): earliest and latest start, duration, lateness.
  const cells = timed ? nodes : 0;
  const headE = new Int32Array(cells);
  const headL = new Int32Array(cells);
  const headD = new Int32Array(cells);
  const headW = new Int32Array(cells);
  const tailE = new Int32Array(cells);
  const tailL = new Int32Array(cells);
  const tailD = new Int32Array(cells);
  const tailW = new Int32Array(cells);
  const mid = new Int32Array(nodes);
  // Per route.
  const routeA = new Int32Array(fleet);
  const routeB = new Int32Array(fleet);
  const size = new Int32Array(fleet);
  const lateS = new Int32Array(fleet);
  const price = new Float64Array(fleet);
  const legs = new Float64Array(fleet);
  const changedAt = new Int32Array(fleet);
  const testedAt = new Int32Array(n);
  const visitOrder = Int32Array.from({ length: n }, (_, v) => v);
  const prices: Prices = { a: 1, b: 1, s: 1 };
  let moves = 0;

  for (let r = 0; r < fleet; r++) route[n + r] = r;

  const loadPrice = (a: number, b: number): number =>
    (a > capacityA ? (a - capacityA) * prices.a : 0) + (b > capacityB ? (b - capacityB) * prices.b : 0);

  /** Price of lateness of: head of `p`, then `mid[0 … count − 1]`, then tail of `t`. */
  function latePrice(p: number, count: number, t: number): number {
    let e = headE[p]!;
    let l = headL[p]!;
    let d = headD[p]!;
    let w = headW[p]!;
    let from = row[p]!;
    for (let i = 0; i < count; i++) {
      const v = at[mid[i]!]!;
      const dt = d - w + timeS[from + v]!;
      const fe = fromS[v]! - dt;
      const ul = untilS[v]! - dt;
      const wait = fe > l ? fe - l : 0;
      const warp = e > ul ? e - ul : 0;
      d += serviceS[v]! + timeS[from + v]! + wait;
      w += warp;
      e = (fe > e ? fe : e) - wait;
      l = (ul < l ? ul : l) + warp;
      from = v * stride;
    }
    const dt = d - w + timeS[from + at[t]!]!;
    const ul = tailL[t]! - dt;
    return (w + tailW[t]! + (e > ul ? e - ul : 0)) * prices.s;
  }

  /** Recomputes all that is derived from the order of one route. */
  function refresh(r: number): void {
    const depot = n + r;
    let a = 0;
    let b = 0;
    let back = 0;
    let length = 0;
    let count = 0;
    let u = depot;
    pos[depot] = 0;
    sumA[depot] = 0;
    sumB[depot] = 0;
    turned[depot] = 0;
    for (;;) {
      const v = next[u]!;
      const leg = cost[row[u]! + at[v]!]!;
      length += leg;
      back += cost[row[v]! + at[u]!]! - leg;
      if (v === depot) break;
      a += loadA[v]!;
      b += loadB[v]!;
      count++;
      pos[v] = count;
      sumA[v] = a;
      sumB[v] = b;
      turned[v] = back;
      route[v] = r;
      u = v;
    }
    routeA[r] = a;
    routeB[r] = b;
    size[r] = count;
    legs[r] = count > 0 ? length : 0;
    price[r] = loadPrice(a, b);
    changedAt[r] = moves;
    if (!timed) return;
    headE[depot] = tailE[depot] = fromS[n]!;
    headL[depot] = tailL[depot] = untilS[n]!;
    headD[depot] = headW[depot] = tailD[depot] = tailW[depot] = 0;
    u = depot;
    let v = next[depot]!;
    while (v !== depot) {
      const leg = timeS[row[u]! + v]!;
      const dt = headD[u]! - headW[u]! + leg;
      const fe = fromS[v]! - dt;
      const ul = untilS[v]! - dt;
      const e = headE[u]!;
      const l = headL[u]!;
      const wait = fe > l ? fe - l : 0;
      const warp = e > ul ? e - ul : 0;
      headD[v] = headD[u]! + serviceS[v]! + leg + wait;
      headW[v] = headW[u]! + warp;
      headE[v] = (fe > e ? fe : e) - wait;
      headL[v] = (ul < l ? ul : l) + warp;
      u = v;
      v = next[v]!;
    }
    let t = depot;
    v = prev[depot]!;
    while (v !== depot) {
      const dt = serviceS[v]! + timeS[row[v]! + at[t]!]!;
      const fe = tailE[t]! - dt;
      const ul = tailL[t]! - dt;
      const e = fromS[v]!;
      const l = untilS[v]!;
      const wait = fe > l ? fe - l : 0;
      const warp = e > ul ? e - ul : 0;
      tailD[v] = dt + tailD[t]! + wait;
      tailW[v] = tailW[t]! + warp;
      tailE[v] = (fe > e ? fe : e) - wait;
      tailL[v] = (ul < l ? ul : l) + warp;
      t = v;
      v = prev[v]!;
    }
    lateS[r] = count > 0 ? latePrice(prev[depot]!, 0, depot) / prices.s : 0;
    price[r]! += lateS[r]! * prices.s;
  }

  function unlink(u: number): void {
    const p = prev[u]!;
    const q = next[u]!;
    next[p] = q;
    prev[q] = p;
  }

  function linkAfter(u: number, p: number): void {
    const q = next[p]!;
    next[p] = u;
    prev[u] = p;
    next[u] = q;
    prev[q] = u;
  }

  function changed(r: number, s: number): true {
    moves++;
    refresh(r);
    if (s !== r) refresh(s);
    return true;
  }

  /** Copies the nodes from `u` to `v`, both included, to `mid` from index `i` on; the new length. */
  function copyTo(i: number, u: number, v: number): number {
    let k = i;
    for (let w = u; ; w = next[w]!) {
      mid[k++] = w;
      if (w === v) return k;
    }
  }

  function copyBack(i: number, u: number, v: number): number {
    let k = i;
    for (let w = u; ; w = prev[w]!) {
      mid[k++] = w;
      if (w === v) return k;
    }
  }

  /** `first … last` (one or two visits in a row), turned round or not, goes after `v`, which is not one of them. */
  function relocate(first: number, last: number, turn: boolean, v: number): boolean {
    const p = prev[first]!;
    if (v === p) return false;
    const x = next[last]!;
    const y = next[v]!;
    const r = route[first]!;
    const s = route[v]!;
    const head = turn ? last : first;
    const foot = turn ? first : last;
    const out =
      cost[row[p]! + at[x]!]! -
      cost[row[p]! + at[first]!]! -
      cost[row[last]! + at[x]!]! +
      (turn ? cost[row[last]! + at[first]!]! - cost[row[first]! + at[last]!]! : 0);
    const into = cost[row[v]! + at[head]!]! + cost[row[foot]! + at[y]!]! - cost[row[v]! + at[y]!]!;
    const delta = out + into;
    if (r === s) {
      if (delta >= price[r]!) return false;
      if (!timed) {
        if (delta >= 0) return false;
      } else {
        let k: number;
        let from: number;
        let to: number;
        if (pos[v]! > pos[first]!) {
          k = copyTo(0, x, v);
          k = turn ? copyBack(k, last, first) : copyTo(k, first, last);
          from = p;
          to = y;
        } else {
          k = turn ? copyBack(0, last, first) : copyTo(0, first, last);
          k = copyTo(k, y, p);
          from = v;
          to = x;
        }
        if (delta + latePrice(from, k, to) + loadPrice(routeA[r]!, routeB[r]!) >= price[r]!) return false;
      }
    } else {
      const now = price[r]! + price[s]!;
      if (delta >= now) return false;
      let a = loadA[first]!;
      let b = loadB[first]!;
      if (first !== last) {
        a += loadA[last]!;
        b += loadB[last]!;
      }
      let then = loadPrice(routeA[r]! - a, routeB[r]! - b) + loadPrice(routeA[s]! + a, routeB[s]! + b);
      if (delta + then >= now) return false;
      if (timed) {
        then += latePrice(p, 0, x);
        if (delta + then >= now) return false;
        mid[0] = head;
        mid[1] = foot;
        then += latePrice(v, first === last ? 1 : 2, y);
        if (delta + then >= now) return false;
      }
    }
    unlink(first);
    if (last !== first) unlink(last);
    linkAfter(head, v);
    if (last !== first) linkAfter(foot, head);
    return changed(r, s);
  }

  /** `u … x` (one or two in a row) and `v … y` (one or two in a row) change places; they do not overlap or touch. */
  function swap(u: number, x: number, v: number, y: number): boolean {
    const p = prev[u]!;
    const q = next[x]!;
    const o = prev[v]!;
    const z = next[y]!;
    if (u === o || x === o || q === v || y === p) return false;
    const r = route[u]!;
    const s = route[v]!;
    const delta =
      cost[row[p]! + at[v]!]! +
      cost[row[y]! + at[q]!]! -
      cost[row[p]! + at[u]!]! -
      cost[row[x]! + at[q]!]! +
      cost[row[o]! + at[u]!]! +
      cost[row[x]! + at[z]!]! -
      cost[row[o]! + at[v]!]! -
      cost[row[y]! + at[z]!]!;
    if (r === s) {
      if (delta >= price[r]!) return false;
      if (!timed) {
        if (delta >= 0) return false;
      } else {
        let k: number;
        if (pos[u]! < pos[v]!) {
          k = copyTo(0, v, y);
          k = copyTo(k, q, o);
          k = copyTo(k, u, x);
          if (delta + latePrice(p, k, z) + loadPrice(routeA[r]!, routeB[r]!) >= price[r]!) return false;
        } else {
          k = copyTo(0, u, x);
          k = copyTo(k, z, p);
          k = copyTo(k, v, y);
          if (delta + latePrice(o, k, q) + loadPrice(routeA[r]!, routeB[r]!) >= price[r]!) return false;
        }
      }
    } else {
      const now = price[r]! + price[s]!;
      if (delta >= now) return false;
      const a = loadA[u]! + (x === u ? 0 : loadA[x]!) - loadA[v]! - (y === v ? 0 : loadA[y]!);
      const b = loadB[u]! + (x === u ? 0 : loadB[x]!) - loadB[v]! - (y === v ? 0 : loadB[y]!);
      let then = loadPrice(routeA[r]! - a, routeB[r]! - b) + loadPrice(routeA[s]! + a, routeB[s]! + b);
      if (delta + then >= now) return false;
      if (timed) {
        mid[0] = v;
        mid[1] = y;
        then += latePrice(p, v === y ? 1 : 2, q);
        if (delta + then >= now) return false;
        mid[0] = u;
        mid[1] = x;
        then += latePrice(o, u === x ? 1 : 2, z);
        if (delta + then >= now) return false;
      }
    }
    unlink(u);
    if (x !== u) unlink(x);
    unlink(v);
    if (y !== v) unlink(y);
    linkAfter(v, p);
    if (y !== v) linkAfter(y, v);
    linkAfter(u, o);
    if (x !== u) linkAfter(x, u);
    return changed(r, s);
  }

  /** Turns `next[u] … v` round within their route; u comes before v. */
  function reverse(u: number, v: number): boolean {
    if (pos[u]! >= pos[v]! && u < n) return false;
    const x = next[u]!;
    if (x === v) return false;
    const y = next[v]!;
    const r = route[v]!;
    const delta =
      cost[row[u]! + at[v]!]! +
      cost[row[x]! + at[y]!]! -
      cost[row[u]! + at[x]!]! -
      cost[row[v]! + at[y]!]! +
      turned[v]! -
      turned[x]!;
    if (delta >= price[r]!) return false;
    if (!timed) {
      if (delta >= 0) return false;
    } else {
      const k = copyBack(0, v, x);
      if (delta + latePrice(u, k, y) + loadPrice(routeA[r]!, routeB[r]!) >= price[r]!) return false;
    }
    let w = x;
    while (w !== y) {
      const after = next[w]!;
      next[w] = prev[w]!;
      prev[w] = after;
      w = after;
    }
    next[u] = v;
    prev[v] = u;
    next[x] = y;
    prev[y] = x;
    return changed(r, r);
  }

  /** The tails of two routes change places: u goes on to next[v], v to next[u]. */
  function crossTails(u: number, v: number): boolean {
    const x = next[u]!;
    const y = next[v]!;
    const r = route[u]!;
    const s = route[v]!;
    const delta =
      cost[row[u]! + at[y]!]! + cost[row[v]! + at[x]!]! - cost[row[u]! + at[x]!]! - cost[row[v]! + at[y]!]!;
    const now = price[r]! + price[s]!;
    if (delta >= now) return false;
    const a = sumA[u]! + routeA[s]! - sumA[v]!;
    const b = sumB[u]! + routeB[s]! - sumB[v]!;
    let then = loadPrice(a, b) + loadPrice(routeA[r]! + routeA[s]! - a, routeB[r]! + routeB[s]! - b);
    if (delta + then >= now) return false;
    const depotR = n + r;
    const depotS = n + s;
    if (timed) {
      // The tail of either depot is the same, so the first node of an empty tail may be either.
      then += latePrice(u, 0, y);
      if (delta + then >= now) return false;
      then += latePrice(v, 0, x);
      if (delta + then >= now) return false;
    }
    const lastR = prev[depotR]!;
    const lastS = prev[depotS]!;
    if (y === depotS) join2(u, depotR);
    else {
      join2(u, y);
      join2(lastS, depotR);
    }
    if (x === depotR) join2(v, depotS);
    else {
      join2(v, x);
      join2(lastR, depotS);
    }
    return changed(r, s);
  }

  function join2(u: number, v: number): void {
    next[u] = v;
    prev[v] = u;
  }

  /** Heads of two routes are joined, and so are their tails: … u v …, and … next[u] next[v] …. */
  function joinHeads(u: number, v: number): boolean {
    const x = next[u]!;
    const y = next[v]!;
    const r = route[u]!;
    const s = route[v]!;
    const depotR = n + r;
    const depotS = n + s;
    const lastR = prev[depotR]!;
    const delta =
      cost[row[u]! + at[v]!]! +
      cost[row[x]! + at[y]!]! -
      cost[row[u]! + at[x]!]! -
      cost[row[v]! + at[y]!]! +
      turned[v]! +
      (lastR === depotR || x === depotR
        ? 0
        : turned[lastR]! - turned[x]! + cost[row[depotR]! + at[lastR]!]! - cost[row[lastR]! + at[depotR]!]!) +
      0;
    const now = price[r]! + price[s]!;
    if (delta >= now) return false;
    const a = sumA[u]! + sumA[v]!;
    const b = sumB[u]! + sumB[v]!;
    let then = loadPrice(a, b) + loadPrice(routeA[r]! + routeA[s]! - a, routeB[r]! + routeB[s]! - b);
    if (delta + then >= now) return false;
    if (timed) {
      let k = v < n ? copyBack(0, v, next[depotS]!) : 0;
      then += latePrice(u, k, depotR);
      if (delta + then >= now) return false;
      k = x < n ? copyBack(0, lastR, x) : 0;
      then += latePrice(depotS, k, y);
      if (delta + then >= now) return false;
    }
    // Collect both new routes, then write them.
    let k = 0;
    for (let w = v; w !== depotS; w = prev[w]!) mid[k++] = w;
    const split = k;
    for (let w = lastR; w !== u && w !== depotR; w = prev[w]!) mid[k++] = w;
    let p = u;
    for (let i = 0; i < split; i++) {
      join2(p, mid[i]!);
      p = mid[i]!;
    }
    join2(p, depotR);
    p = depotS;
    for (let i = split; i < k; i++) {
      join2(p, mid[i]!);
      p = mid[i]!;
    }
    if (y === depotS) join2(p, depotS);
    else join2(p, y);
    return changed(r, s);
  }

  /**
   * All moves of u next to v; true if one was made. The change of the legs is worked out here for all of them at once;
   * only what beats `limit`, the most that overload and lateness could save, is looked at closely.
   */
  function tryPair(u: number, v: number): boolean {
    const p = prev[u]!;
    const x = next[u]!;
    const o = prev[v]!;
    const y = next[v]!;
    const r = route[u]!;
    const s = route[v]!;
    const limit = r === s ? price[r]! : price[r]! + price[s]!;
    const rowP = row[p]!;
    const rowU = row[u]!;
    const rowX = row[x]!;
    const rowV = row[v]!;
    const rowO = row[o]!;
    const atX = at[x]!;
    const atY = at[y]!;
    const pu = cost[rowP + u]!;
    const ux = cost[rowU + atX]!;
    const vu = cost[rowV + u]!;
    const uy = cost[rowU + atY]!;
    const vy = cost[rowV + atY]!;
    const vx = cost[rowV + atX]!;
    if (vu + uy - vy - pu - ux + cost[rowP + atX]! < limit && relocate(u, u, false, v)) return true;
    const swapOut = cost[rowP + v]! + cost[rowO + u]! - pu - cost[rowO + v]!;
    if (u < v && swapOut + vx - ux + uy - vy < limit && swap(u, u, v, v)) return true;
    if (x < n && x !== v) {
      const q = next[x]!;
      const atQ = at[q]!;
      const xq = cost[rowX + atQ]!;
      const xy = cost[rowX + atY]!;
      const out = cost[rowP + atQ]! - pu - xq;
      if (vu + xy - vy + out < limit && relocate(u, x, false, v)) return true;
      if (vx + uy - vy + out + cost[rowX + u]! - ux < limit && relocate(u, x, true, v)) return true;
      if (swapOut + cost[rowV + atQ]! - xq + xy - vy < limit && swap(u, x, v, v)) return true;
      if (u < v && y < n && y !== u) {
        const z = next[y]!;
        if (
          swapOut + cost[row[y]! + atQ]! - xq + cost[rowX + at[z]!]! - cost[row[y]! + at[z]!]! < limit &&
          swap(u, x, v, y)
        )
          return true;
      }
    }
    const joined = cost[rowU + v]! + cost[rowX + atY]! - ux - vy;
    if (r === s) return joined + turned[v]! - turned[x]! < limit && reverse(u, v);
    if ((joined < limit || !symmetric) && joinHeads(u, v)) return true;
    return uy + vx - ux - vy < limit && crossTails(u, v);
  }

  /** Moves of u next to the depot of v's route, at its start. */
  function tryStart(u: number, depot: number): boolean {
    const x = next[u]!;
    if (relocate(u, u, false, depot)) return true;
    if (x < n && (relocate(u, x, false, depot) || relocate(u, x, true, depot))) return true;
    if (route[u] === route[depot]) return reverse(depot, u);
    return joinHeads(u, depot) || crossTails(u, depot);
  }

  function shuffle(list: Int32Array): void {
    for (let i = list.length - 1; i > 0; i--) {
      const j = random.below(i + 1);
      const v = list[i]!;
      list[i] = list[j]!;
      list[j] = v;
    }
  }

  function emptyRoute(): number {
    for (let r = 0; r < fleet; r++) if (size[r] === 0) return r;
    return -1;
  }

  /** Descends until no move of a pair improves. `again`: only what has changed since the last descent. */
  function descend(again: boolean): void {
    if (!again) {
      shuffle(visitOrder);
      testedAt.fill(-1);
      changedAt.fill(0);
      moves = 0;
    }
    let improved = true;
    for (let loop = again ? 1 : 0; improved || loop < 2; loop++) {
      improved = false;
      for (let i = 0; i < n; i++) {
        const u = visitOrder[i]!;
        const since = testedAt[u]!;
        testedAt[u] = moves;
        const base = u * K;
        for (let k = 0; k < K; k++) {
          const v = near[base + k]!;
          const lastR = changedAt[route[u]!]!;
          const lastS = changedAt[route[v]!]!;
          if (loop > 0 && lastR <= since && lastS <= since) continue;
          if (tryPair(u, v)) {
            improved = true;
            continue;
          }
          const depot = prev[v]!;
          if (depot >= n && tryStart(u, depot)) improved = true;
        }
        if (loop === 0) continue;
        const r = emptyRoute();
        if (r < 0) continue;
        const depot = n + r;
        const x = next[u]!;
        if (
          relocate(u, u, false, depot) ||
          (x < n && (relocate(u, x, false, depot) || relocate(u, x, true, depot))) ||
          crossTails(u, depot)
        )
          improved = true;
      }
    }
  }

  /** Loads routes: visits in `order`, cut at `starts[0 … count]`. */
  function load(order: Int32Array, starts: Int32Array, count: number): void {
    moves = 0;
    for (let r = 0; r < fleet; r++) {
      let p = n + r;
      if (r < count)
        for (let i = starts[r]!; i < starts[r + 1]!; i++) {
          join2(p, order[i]!);
          p = order[i]!;
        }
      join2(p, n + r);
      refresh(r);
    }
  }

  return {
    model,
    fleet,
    near,
    next,
    prev,
    route,
    pos,
    row,
    at,
    size,
    routeA,
    routeB,
    lateS,
    price,
    legs,
    changedAt,
    mid,
    prices,
    loadPrice,
    latePrice,
    unlink,
    linkAfter,
    changed,
    shuffle,
    load,
    descend,
    moves: (): number => moves,
  };
}
