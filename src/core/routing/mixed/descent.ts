/** Descends from any soft rounds to some that no move improves. */
import type { FastRandom } from '../alike/fast-random.ts';
import { createMoves } from './moves.ts';
import type { SoftRounds } from './soft-rounds.ts';

/** Far more than it takes; where a caller's costs are no whole numbers, rounding could feign gains for ever. */
const MOST_LOOPS = 200;

/** `near`: row by row the visits that each is tried next to. */
export function createDescent(soft: SoftRounds, near: Int32Array, random: FastRandom) {
  const { problem, n, m, places, next, prev, route, from, to, serviceS, trip, count, unloads } = soft;
  const { workS, slack, rigs, open, allowed, loadPrice, tripA, tripB, changedAt, clock, firstUnload } = soft;
  const { legS, costPerS, loadA, loadB, skipCost, mandatory } = problem;
  const K = n > 0 ? near.length / n : 0;
  const testedAt = new Int32Array(n);
  const order = Int32Array.from({ length: n }, (_, v) => v);
  const tested = new Int32Array(m);
  const { relocate, crossTails, tryPair } = createMoves(soft);
  const cheapest = { after: -1 };

  /** What `v`, which is in no round, would cost after `p`. */
  function entryCost(v: number, p: number): number {
    const r = route[p]!;
    if (!allowed[v * m + r]) return Number.POSITIVE_INFINITY;
    const rig = rigs[r]!;
    const q = next[p]!;
    const row = from[p]! * places;
    const rowV = from[v]! * places;
    const delta =
      rig[row + to[v]!]! +
      rig[rowV + to[q]!]! -
      rig[row + to[q]!]! +
      costPerS[r]! * serviceS[v]! +
      (count[r] === 0 ? open[r]! : 0);
    const work = workS[r]! + legS[row + to[v]!]! + legS[rowV + to[q]!]! - legS[row + to[q]!]! + serviceS[v]!;
    const t = trip[p]!;
    soft.mid[0] = v;
    return (
      delta +
      loadPrice[r]! -
      soft.overPrice(r, tripA[t]!, tripB[t]!) +
      soft.overPrice(r, tripA[t]! + loadA[v]!, tripB[t]! + loadB[v]!) +
      soft.timePrice(r, p, 1, q, work) -
      slack[r]!
    );
  }

  /** Cheapest place of all for a visit in no round; left in `cheapest.after`. */
  function cheapestEntry(v: number): number {
    let best = Number.POSITIVE_INFINITY;
    cheapest.after = -1;
    for (let r = 0; r < m; r++) {
      let p = n + r;
      do {
        const cost = entryCost(v, p);
        if (cost < best) {
          best = cost;
          cheapest.after = p;
        }
        p = next[p]!;
      } while (p !== n + r);
    }
    return best;
  }

  function enter(v: number, p: number): void {
    soft.linkAfter(v, p);
    soft.changed(route[p]!, route[p]!);
  }

  /** A visit left out comes in if that pays, or must be; an optional one goes if that pays. */
  function tryPrize(v: number): boolean {
    if (route[v]! < 0) {
      const cost = cheapestEntry(v);
      if (cheapest.after < 0 || (!mandatory[v] && cost >= skipCost[v]!)) return false;
      enter(v, cheapest.after);
      return true;
    }
    if (mandatory[v] || leaveGain(v) <= skipCost[v]! + 1e-6) return false;
    const r = route[v]!;
    soft.unlink(v);
    return soft.changed(r, r);
  }

  /** What its round gets cheaper by without `v`. */
  function leaveGain(v: number): number {
    const r = route[v]!;
    if (count[r] === 1) return costOf(r);
    const p = prev[v]!;
    const q = next[v]!;
    const rig = rigs[r]!;
    const there = from[p]! * places + to[v]!;
    const back = from[v]! * places + to[q]!;
    const past = from[p]! * places + to[q]!;
    const t = trip[v]!;
    const work = workS[r]! - serviceS[v]! - legS[there]! - legS[back]! + legS[past]!;
    const now = slack[r]! - loadPrice[r]! + soft.overPrice(r, tripA[t]!, tripB[t]!);
    const then =
      soft.overPrice(r, tripA[t]! - loadA[v]!, tripB[t]! - loadB[v]!) + soft.timePrice(r, p, 0, q, work);
    return rig[there]! + rig[back]! - rig[past]! + costPerS[r]! * serviceS[v]! + now - then;
  }

  const costOf = (r: number): number => soft.rigid[r]! + slack[r]!;

  /** Takes the unloadings out of a round and puts each where it pays best; true if the round is cheaper. */
  function placeUnloads(r: number): boolean {
    if (problem.maxUnloads[r] === 0 || count[r] === 0) return false;
    if (unloads[r] === 0 && loadPrice[r] === 0) return false;
    const before = costOf(r);
    kept.length = 0;
    for (let u = next[n + r]!; u !== n + r; u = next[u]!) kept.push(u);
    for (const u of kept) if (u >= firstUnload) putAway(u);
    soft.refresh(r);
    added.length = 0;
    for (;;) {
      const now = costOf(r);
      const u = soft.takeUnload(r);
      if (u < 0) break;
      let best = now - 1e-6;
      let after = -1;
      for (let p = next[n + r]!; p < n || p >= firstUnload; p = next[p]!) {
        if (p >= n || next[p]! >= n) continue;
        soft.linkAfter(u, p);
        soft.refresh(r);
        const cost = costOf(r);
        if (cost < best) {
          best = cost;
          after = p;
        }
        soft.unlink(u);
      }
      if (after >= 0) {
        soft.linkAfter(u, after);
        added.push(u);
      } else soft.giveUnload(u);
      soft.refresh(r);
      if (after < 0) break;
    }
    if (costOf(r) < before - 1e-6) {
      soft.changed(r, r);
      return true;
    }
    for (const u of added) putAway(u);
    soft.refresh(r);
    let p = n + r;
    for (const u of kept) {
      const back = u < n ? u : soft.takeUnload(r);
      if (u >= firstUnload) soft.linkAfter(back, p);
      p = back;
    }
    soft.refresh(r);
    return false;
  }

  function putAway(u: number): void {
    soft.unlink(u);
    soft.giveUnload(u);
  }
  const kept: number[] = [];
  const added: number[] = [];

  function shuffle(list: Int32Array): void {
    for (let i = list.length - 1; i > 0; i--) {
      const j = random.below(i + 1);
      const v = list[i]!;
      list[i] = list[j]!;
      list[j] = v;
    }
  }

  /** Moves of u to the start of a round, or with its whole tail. */
  function tryStart(u: number, r: number): boolean {
    const depot = n + r;
    const x = next[u]!;
    if (relocate(u, u, false, depot)) return true;
    if (x < n && relocate(u, x, false, depot)) return true;
    return route[u] !== r && (crossTails(u, depot) || crossTails(prev[u]!, depot));
  }

  function descend(): void {
    shuffle(order);
    testedAt.fill(-1);
    tested.fill(-1);
    changedAt.fill(0);
    clock.moves = 0;
    let improved = true;
    for (let loop = 0; (improved && loop < MOST_LOOPS) || loop < 2; loop++) {
      improved = false;
      for (let i = 0; i < n; i++) {
        const u = order[i]!;
        if (route[u]! < 0 || !mandatory[u]) if (tryPrize(u)) improved = true;
        if (route[u]! < 0) continue;
        const since = testedAt[u]!;
        testedAt[u] = clock.moves;
        for (let k = 0; k < K; k++) {
          const v = near[u * K + k]!;
          if (route[v]! < 0) continue;
          if (loop > 0 && changedAt[route[u]!]! <= since && changedAt[route[v]!]! <= since) continue;
          if (tryPair(u, v)) improved = true;
        }
        if (loop === 0) continue;
        let emptyKind = -1;
        for (let r = 0; r < m; r++) {
          // Empty vehicles of a kind stand next to one another, mostly: one is enough.
          if (count[r] === 0) {
            if (problem.kind[r] === emptyKind) continue;
            emptyKind = problem.kind[r]!;
          }
          if (changedAt[route[u]!]! <= since && changedAt[r]! <= since) continue;
          if (tryStart(u, r)) improved = true;
        }
      }
      for (let r = 0; r < m; r++) {
        if (tested[r] === changedAt[r]) continue;
        if (placeUnloads(r)) improved = true;
        tested[r] = changedAt[r]!;
      }
    }
  }

  return { descend, placeUnloads };
}
