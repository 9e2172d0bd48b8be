/**
 * A round relaxed: without its breaks, and every node free to use the time from its first window to its last. No way of
 * placing breaks and choosing windows does better, so what is too late or too dear here needs no exact price.
 *
 * A plain round (no breaks in it, no node with several windows) is its own relaxation and keeps nothing here.
 */
import { UNLOAD_AFTER, UNLOAD_BEFORE } from './how.ts';
import { depotKey, windowKey } from './problem.ts';
import type { Rounds } from './rounds.ts';
import { D, E, join, L, seg } from './segment.ts';
import { nextStop, stopAt } from './stops.ts';
import { timeCost } from './time-cost.ts';

export const isPlain = (rounds: Rounds, vehicle: number): boolean =>
  rounds.breaks[vehicle] === 0 && rounds.choosers[vehicle] === 0;

/** Recomputes the relaxed segments of a round that is not plain. */
export function refreshRelaxed(rounds: Rounds, vehicle: number): void {
  const { problem, next, place } = rounds;
  const { relaxedHeadE, relaxedHeadL, relaxedHeadD, relaxedTailE, relaxedTailL, relaxedTailD } = rounds;
  const { legS, places, serviceS, windowFromS, windowUntilS, windowLo, windowHi } = problem;
  const start = problem.startNode[vehicle]!;
  const end = problem.endNode[vehicle]!;
  const firstBreak = problem.breakNode[vehicle]!;
  const { stops } = rounds.trial;
  let count = 0;
  for (let u = start; ; u = next[u]!) {
    // A break is where the stop before it is, and shares its segment.
    if (u < firstBreak) stops[count++] = u;
    if (u === end) break;
  }
  let key = windowKey(problem, start, vehicle);
  seg[E] = relaxedHeadE[start] = windowFromS[windowLo[key]!]!;
  seg[L] = relaxedHeadL[start] = windowUntilS[windowHi[key]! - 1]!;
  seg[D] = relaxedHeadD[start] = 0;
  for (let i = 1; i < count; i++) {
    const u = stops[i]!;
    key = windowKey(problem, u, vehicle);
    join(
      legS[place[stops[i - 1]!]! * places + place[u]!]!,
      windowFromS[windowLo[key]!]!,
      windowUntilS[windowHi[key]! - 1]!,
      serviceS[u]!,
    );
    relaxedHeadE[u] = seg[E]!;
    relaxedHeadL[u] = seg[L]!;
    relaxedHeadD[u] = seg[D]!;
  }
  for (let i = count - 1; i >= 0; i--) {
    const u = stops[i]!;
    key = windowKey(problem, u, vehicle);
    seg[E] = windowFromS[windowLo[key]!]!;
    seg[L] = windowUntilS[windowHi[key]! - 1]!;
    seg[D] = serviceS[u]!;
    if (i < count - 1) {
      const n = stops[i + 1]!;
      join(legS[place[u]! * places + place[n]!]!, relaxedTailE[n]!, relaxedTailL[n]!, relaxedTailD[n]!);
    }
    relaxedTailE[u] = seg[E]!;
    relaxedTailL[u] = seg[L]!;
    relaxedTailD[u] = seg[D]!;
  }
}

/** What `leastCost` found besides: the part of it for time, and whether the round needs a break. */
export const bound = { cost: 0, timeCost: 0, rests: false };

/**
 * A bound on what inserting a visit costs: `Infinity` if the visit cannot be reached in time however
 * breaks are placed and windows chosen. `workS` is the driving and service of the round with the visit.
 */
export function leastCost(
  rounds: Rounds,
  visit: number,
  vehicle: number,
  after: number,
  unload: number,
  flat: number,
  workS: number,
): number {
  const { problem, place } = rounds;
  const { legS, places, windowFromS, windowUntilS, windowLo, windowHi } = problem;
  const plain = isPlain(rounds, vehicle);
  const p = plain ? after : stopAt(rounds, after);
  const n = plain ? rounds.next[after]! : nextStop(rounds, after);
  seg[E] = (plain ? rounds.headE : rounds.relaxedHeadE)[p]!;
  seg[L] = (plain ? rounds.headL : rounds.relaxedHeadL)[p]!;
  seg[D] = (plain ? rounds.headD : rounds.relaxedHeadD)[p]!;
  const key = visit * problem.vehicles + vehicle;
  const at = place[visit]!;
  let from = place[p]! * places;
  if (unload === UNLOAD_BEFORE) {
    const depot = problem.unloadNode[vehicle]!;
    const k = depotKey(problem, vehicle);
    const fromS = windowFromS[windowLo[k]!]!;
    const untilS = windowUntilS[windowHi[k]! - 1]!;
    if (!join(legS[from + problem.place[depot]!]!, fromS, untilS, problem.serviceS[depot]!))
      return Number.POSITIVE_INFINITY;
    from = problem.place[depot]! * places;
  }
  const fromS = windowFromS[windowLo[key]!]!;
  const untilS = windowUntilS[windowHi[key]! - 1]!;
  if (!join(legS[from + at]!, fromS, untilS, problem.serviceS[visit]!)) return Number.POSITIVE_INFINITY;
  from = at * places;
  if (unload === UNLOAD_AFTER) {
    const depot = problem.unloadNode[vehicle]!;
    const k = depotKey(problem, vehicle);
    const first = windowFromS[windowLo[k]!]!;
    const last = windowUntilS[windowHi[k]! - 1]!;
    if (!join(legS[from + problem.place[depot]!]!, first, last, problem.serviceS[depot]!))
      return Number.POSITIVE_INFINITY;
    from = problem.place[depot]! * places;
  }
  const tailE = (plain ? rounds.tailE : rounds.relaxedTailE)[n]!;
  const tailL = (plain ? rounds.tailL : rounds.relaxedTailL)[n]!;
  const tailD = (plain ? rounds.tailD : rounds.relaxedTailD)[n]!;
  if (!join(legS[from + place[n]!]!, tailE, tailL, tailD)) return Number.POSITIVE_INFINITY;
  let durationS = seg[D]!;
  bound.rests = problem.maxBreaks[vehicle]! > 0 && durationS > problem.maxWorkS[vehicle]!;
  // A break fills waiting at best; beyond that it adds to the work.
  if (bound.rests) durationS = Math.max(durationS, workS + problem.serviceS[problem.breakNode[vehicle]!]!);
  const endS = Math.max(seg[E]! + seg[D]!, problem.shiftStartS[vehicle]! + durationS);
  bound.timeCost = timeCost(problem, vehicle, endS - durationS, durationS);
  bound.cost =
    flat +
    bound.timeCost -
    problem.costPerS[vehicle]! * rounds.durationS[vehicle]! -
    problem.costPerOvertimeS[vehicle]! * rounds.overtimeS[vehicle]!;
  return bound.cost;
}
