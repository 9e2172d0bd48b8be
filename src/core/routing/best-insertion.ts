/** The cheapest of all places in a round, most of them ruled out without an exact price. */
import type { FastRandom } from './alike/fast-random.ts';
import { copyHow, NO_UNLOAD } from './how.ts';
import { insertionCost } from './insertion.ts';
import { isPlain } from './relaxed.ts';
import type { Rounds } from './rounds.ts';

/** How often a position is overlooked in the search (Christiaens & Vanden Berghe 2020). */
export const BLINK = 0.01;

/**
 * Cheapest position for the visit in a vehicle's round, by a scan of all; the cost is returned and the position left
 * in `rounds.best.after` (−1 if nothing is cheaper than `below`). Ties go to the earliest position. `blink` overlooks a
 * position now and then.
 */
export function bestInsertion(
  rounds: Rounds,
  visit: number,
  vehicle: number,
  below = Number.POSITIVE_INFINITY,
  blink?: FastRandom,
): number {
  const { problem, next, place, trip, tripA, tripB } = rounds;
  const { legM, legS, places } = problem;
  const end = problem.endNode[vehicle]!;
  const key = visit * problem.vehicles + vehicle;
  rounds.best.after = -1;
  if (problem.windowLo[key]! >= problem.windowHi[key]!) return Number.POSITIVE_INFINITY;
  const firstBreak = problem.breakNode[vehicle]!;
  const base = rounds.tripBase[vehicle]!;
  const roomA = problem.capacityA[vehicle]! - rounds.loadA[visit]!;
  const roomB = problem.capacityB[vehicle]! - rounds.loadB[visit]!;
  if (roomA < 0 || roomB < 0) return Number.POSITIVE_INFINITY;
  const maySplit = rounds.unloads[vehicle]! < problem.maxUnloads[vehicle]!;
  const isUsed = rounds.count[vehicle]! > 0;
  const isKnown = isUsed && rounds.broken[vehicle] === 0;
  const costPerM = problem.costPerM[vehicle]!;
  const costPerS = problem.costPerS[vehicle]!;
  const untilS = problem.windowUntilS[problem.windowHi[key]! - 1]!;
  const plain = isPlain(rounds, vehicle);
  const hE = plain ? rounds.headE : rounds.relaxedHeadE;
  const hL = plain ? rounds.headL : rounds.relaxedHeadL;
  const hD = plain ? rounds.headD : rounds.relaxedHeadD;
  const tE = plain ? rounds.tailE : rounds.relaxedTailE;
  const tL = plain ? rounds.tailL : rounds.relaxedTailL;
  const tD = plain ? rounds.tailD : rounds.relaxedTailD;
  // Then the bound is the price itself, as long as there is no break.
  const isExact = plain && problem.windowHi[key]! - problem.windowLo[key]! === 1;
  const fromS = problem.windowFromS[problem.windowLo[key]!]!;
  const serviceS = problem.serviceS[visit]!;
  const mayRest = problem.maxBreaks[vehicle]! > 0;
  const maxUnbrokenS = mayRest ? problem.maxWorkS[vehicle]! : Number.POSITIVE_INFINITY;
  const breakS = mayRest ? problem.serviceS[firstBreak]! : 0;
  const shiftStartS = problem.shiftStartS[vehicle]!;
  const shiftEndS = problem.shiftEndS[vehicle]!;
  const costPerOvertimeS = problem.costPerOvertimeS[vehicle]!;
  const oldDurationS = rounds.durationS[vehicle]!;
  const oldOvertimeCost = costPerOvertimeS * rounds.overtimeS[vehicle]!;
  const at = place[visit]!;
  const found = rounds.best;
  let best = below;
  for (let after = problem.startNode[vehicle]!; after !== end; after = next[after]!) {
    // A break goes wherever it is cheapest: the place behind it is that before it.
    if (after >= firstBreak && isUsed && after !== problem.startNode[vehicle]) continue;
    if (blink !== undefined && blink.unit() < BLINK) continue;
    const t = base + trip[after]!;
    if (!maySplit && (tripA[t]! > roomA || tripB[t]! > roomB)) continue;
    if (isKnown) {
      let before = next[after]!;
      if (before >= firstBreak) before = next[before]!;
      const from = place[after]! * places;
      const to = place[before]!;
      const there = from + at;
      const back = at * places + to;
      const extraM = legM[there]! + legM[back]! - legM[from + to]!;
      const extraS = legS[there]! + legS[back]! - legS[from + to]!;
      if (tripA[t]! <= roomA && tripB[t]! <= roomB) {
        const spent = costPerM * extraM - problem.skipCost[visit]!;
        const workS = rounds.workS[vehicle]! + extraS + serviceS;
        if (spent + costPerS * (workS - oldDurationS) - oldOvertimeCost >= best) continue;
        // The relaxed round with the visit: `join` twice, written out.
        const d1 = hD[after]! + legS[there]!;
        if (hE[after]! + d1 > untilS) continue;
        const wait1 = Math.max(fromS - d1 - hL[after]!, 0);
        const e1 = Math.max(fromS - d1, hE[after]!) - wait1;
        const l1 = Math.min(untilS - d1, hL[after]!);
        const d2 = d1 + serviceS + wait1 + legS[back]!;
        if (e1 + d2 > tL[before]!) continue;
        const wait2 = Math.max(tE[before]! - d2 - l1, 0);
        const doneS = d2 + wait2 + tD[before]!;
        const endS = Math.max(tE[before]! - d2, e1) - wait2 + doneS;
        const rests = doneS > maxUnbrokenS;
        const durationS = rests ? Math.max(doneS, workS + breakS) : doneS;
        const overS = Math.max(endS, shiftStartS + durationS) - shiftEndS;
        const least =
          spent +
          costPerS * (durationS - oldDurationS) +
          (overS > 0 ? costPerOvertimeS * overS : 0) -
          oldOvertimeCost;
        if (least >= best) continue;
        if (!rests && isExact) {
          best = least;
          found.after = after;
          found.how.unload = NO_UNLOAD;
          found.how.anew = false;
          found.how.window = problem.windowLo[key]!;
          found.how.restAfter = -1;
          continue;
        }
      }
    }
    const cost = insertionCost(rounds, visit, vehicle, after, best);
    if (cost < best) {
      best = cost;
      found.after = after;
      copyHow(found.how, rounds.how);
    }
  }
  return rounds.best.after < 0 ? Number.POSITIVE_INFINITY : best;
}
