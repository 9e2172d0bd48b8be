/**
 * The price of a visit in a round that needs one break, where there are no windows to choose from: heads before the visit
 * and tails behind it stay as they are (`relaxed.ts`), so only what lies between the break and the visit is joined anew.
 */
import { type RoutingProblem, windowKey } from './problem.ts';
import { isPlain } from './relaxed.ts';
import type { Rounds } from './rounds.ts';
import { D, E, join, L, seg } from './segment.ts';
import { timeCost } from './time-cost.ts';

/** The place found by `timeCostWithBreak`: the node that the break goes after. */
export const restAfter = { node: -1 };

/**
 * Cost of the time of the round with `visit` after the stop `after` and a break in the cheapest place, left in `restAfter`;
 * `Infinity` if no single break will do. Stops at the first that costs no more than `enough`.
 */
export function timeCostWithBreak(
  rounds: Rounds,
  visit: number,
  vehicle: number,
  after: number,
  enough: number,
): number {
  const { problem, next, prev, place } = rounds;
  const { legS, places, serviceS, windowFromS, windowUntilS, windowLo } = problem;
  const plain = isPlain(rounds, vehicle);
  const headE = plain ? rounds.headE : rounds.relaxedHeadE;
  const headL = plain ? rounds.headL : rounds.relaxedHeadL;
  const headD = plain ? rounds.headD : rounds.relaxedHeadD;
  const tailE = plain ? rounds.tailE : rounds.relaxedTailE;
  const tailL = plain ? rounds.tailL : rounds.relaxedTailL;
  const tailD = plain ? rounds.tailD : rounds.relaxedTailD;
  const firstBreak = problem.breakNode[vehicle]!;
  const start = problem.startNode[vehicle]!;
  const end = problem.endNode[vehicle]!;
  const maxWorkS = problem.maxWorkS[vehicle]!;
  restAfter.node = -1;
  let best = Number.POSITIVE_INFINITY;

  // Behind the visit: heads grow from stop to stop.
  let u = after;
  let e = headE[u]!;
  let l = headL[u]!;
  let d = headD[u]!;
  let n = visit;
  let ahead = next[after]!;
  if (ahead >= firstBreak) ahead = next[ahead]!;
  while (true) {
    const w = windowLo[windowKey(problem, n, vehicle)]!;
    seg[E] = e;
    seg[L] = l;
    seg[D] = d;
    if (!join(legS[place[u]! * places + place[n]!]!, windowFromS[w]!, windowUntilS[w]!, serviceS[n]!)) break;
    e = seg[E]!;
    l = seg[L]!;
    d = seg[D]!;
    if (d > maxWorkS) break;
    u = n;
    n = ahead;
    if (tailD[n]! <= maxWorkS) {
      const leg = legS[place[u]! * places + place[n]!]!;
      const cost = withRest(problem, vehicle, e, l, d, leg, tailE[n]!, tailL[n]!, tailD[n]!);
      if (cost < best || (cost === best && u >= problem.visits)) {
        best = cost;
        restAfter.node = u;
        if (best <= enough) return best;
      }
    }
    if (n === end) break;
    ahead = next[n]!;
    if (ahead >= firstBreak) ahead = next[ahead]!;
  }

  // Before the visit: tails grow towards the start.
  n = next[after]!;
  if (n >= firstBreak) n = next[n]!;
  e = tailE[n]!;
  l = tailL[n]!;
  d = tailD[n]!;
  u = visit;
  let behind = after;
  while (true) {
    const w = windowLo[windowKey(problem, u, vehicle)]!;
    const legToS = legS[place[u]! * places + place[n]!]!;
    seg[E] = windowFromS[w]!;
    seg[L] = windowUntilS[w]!;
    seg[D] = serviceS[u]!;
    if (!join(legToS, e, l, d)) break;
    e = seg[E]!;
    l = seg[L]!;
    d = seg[D]!;
    if (d > maxWorkS || behind === start) break;
    if (headD[behind]! <= maxWorkS) {
      const leg = legS[place[behind]! * places + place[u]!]!;
      const cost = withRest(problem, vehicle, headE[behind]!, headL[behind]!, headD[behind]!, leg, e, l, d);
      if (cost < best || (cost === best && behind >= problem.visits)) {
        best = cost;
        restAfter.node = behind;
        if (best <= enough) return best;
      }
    }
    n = u;
    u = behind;
    behind = prev[u]!;
    if (behind >= firstBreak) behind = prev[behind]!;
  }
  return best;
}

/** Cost of the time with the break between a head and a tail. */
function withRest(
  problem: RoutingProblem,
  vehicle: number,
  headE: number,
  headL: number,
  headD: number,
  legS: number,
  tailE: number,
  tailL: number,
  tailD: number,
): number {
  const { windowFromS, windowUntilS } = problem;
  const maxWorkS = problem.maxWorkS[vehicle]!;
  const breakS = problem.serviceS[problem.breakNode[vehicle]!]!;
  seg[E] = headE;
  seg[L] = headL;
  seg[D] = headD;
  if (!join(0, windowFromS[0]!, windowUntilS[0]!, breakS)) return Number.POSITIVE_INFINITY;
  if (!join(legS, tailE, tailL, tailD)) return Number.POSITIVE_INFINITY;
  const startS = seg[E]!;
  const restS = Math.max(startS, headE) + headD;
  if (restS - startS > maxWorkS) return Number.POSITIVE_INFINITY;
  if (startS + seg[D]! - restS - breakS > maxWorkS) return Number.POSITIVE_INFINITY;
  return timeCost(problem, vehicle, startS, seg[D]!);
}
