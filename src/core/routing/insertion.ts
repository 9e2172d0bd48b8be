/**
 * What putting a visit into a round costs, exactly, and doing it. O(1) where segments suffice; O(length) where a break
 * must be placed or other windows chosen.
 */
import { evaluateTrial, priceTrial } from './breaks.ts';
import { type How, NO_UNLOAD, UNLOAD_AFTER, UNLOAD_BEFORE } from './how.ts';
import { restAfter, timeCostWithBreak } from './one-break.ts';
import { depotKey, type RoutingProblem } from './problem.ts';
import { refreshRound } from './refresh.ts';
import { bound, isPlain, leastCost } from './relaxed.ts';
import { link, type Rounds, unlinkBreaks, writeTrial } from './rounds.ts';
import { D, E, join, L, seg } from './segment.ts';
import { nextStop, stopAt } from './stops.ts';
import { trialOfRound } from './trial.ts';

/**
 * Change of `totalCost` if `visit` (which must not be in a round) is put into `vehicle`'s round directly after
 * the node `after`, exact; `Infinity` if that cannot be. The cheapest of the visit's windows is taken; where the trip
 * has no room a new unloading next to the visit is tried, on either side; where a break is needed it is placed.
 * If the cost is `below` or more, any number ≥ `below` may come back.
 */
export function insertionCost(
  rounds: Rounds,
  visit: number,
  vehicle: number,
  after: number,
  below = Number.POSITIVE_INFINITY,
): number {
  const { problem, trip, how } = rounds;
  const key = visit * problem.vehicles + vehicle;
  if (problem.windowLo[key]! >= problem.windowHi[key]!) return Number.POSITIVE_INFINITY;
  const a = rounds.loadA[visit]!;
  const b = rounds.loadB[visit]!;
  const capacityA = problem.capacityA[vehicle]!;
  const capacityB = problem.capacityB[vehicle]!;
  const t = rounds.tripBase[vehicle]! + trip[after]!;
  const tripA = rounds.tripA[t]!;
  const tripB = rounds.tripB[t]!;

  how.anew = false;
  if (tripA + a <= capacityA && tripB + b <= capacityB) {
    how.unload = NO_UNLOAD;
    return costOf(rounds, visit, vehicle, after, NO_UNLOAD, below);
  }
  if (rounds.unloads[vehicle]! >= problem.maxUnloads[vehicle]! || a > capacityA || b > capacityB)
    return Number.POSITIVE_INFINITY;

  // Loads of the two trips that an unloading here would make of this one.
  const firstA = rounds.sumA[after]!;
  const firstB = rounds.sumB[after]!;
  const ahead = nextStop(rounds, after);
  let best = below;
  let bestUnload = NO_UNLOAD;
  let anew = false;
  let window = 0;
  let unloadWindow = 0;
  if (firstA + a <= capacityA && firstB + b <= capacityB && ahead < problem.visits) {
    const cost = costOf(rounds, visit, vehicle, after, UNLOAD_AFTER, best);
    if (cost < best) {
      best = cost;
      bestUnload = UNLOAD_AFTER;
      ({ anew, window, unloadWindow } = how);
    }
  }
  if (
    tripA - firstA + a <= capacityA &&
    tripB - firstB + b <= capacityB &&
    stopAt(rounds, after) < problem.visits
  ) {
    const cost = costOf(rounds, visit, vehicle, after, UNLOAD_BEFORE, best);
    if (cost < best) {
      best = cost;
      bestUnload = UNLOAD_BEFORE;
      ({ anew, window, unloadWindow } = how);
    }
  }
  how.unload = bestUnload;
  how.anew = anew;
  how.window = window;
  how.unloadWindow = unloadWindow;
  return bestUnload === NO_UNLOAD ? Number.POSITIVE_INFINITY : best;
}

/** `insertionCost` for one way of unloading; loads are the caller's business. */
function costOf(
  rounds: Rounds,
  visit: number,
  vehicle: number,
  after: number,
  unload: number,
  below: number,
): number {
  const { problem, place, next, how } = rounds;
  const { legM, legS, places, windowFromS, windowUntilS } = problem;
  const before = next[after]!;
  const isBreakNext = problem.breakNode[vehicle]! <= before && rounds.breaks[vehicle]! > 0;
  // A break stands at the place of the node before it, so it moves along with what is put before it.
  const beyond = isBreakNext ? next[before]! : before;
  const isEmpty = rounds.count[vehicle] === 0;

  const from = place[after]! * places;
  const at = place[visit]!;
  const to = place[beyond]!;
  const depot = unload === NO_UNLOAD ? 0 : problem.place[problem.unloadNode[vehicle]!]!;
  const first = unload === UNLOAD_BEFORE ? depot : at;
  const last = unload === UNLOAD_AFTER ? depot : at;
  const between = first * places + last;
  const extraM =
    legM[from + first]! + legM[between]! + legM[last * places + to]! - (isEmpty ? 0 : legM[from + to]!);
  let flat = problem.costPerM[vehicle]! * extraM - problem.skipCost[visit]!;
  if (isEmpty)
    flat += problem.fixedCost[vehicle]! + problem.unloadsAtEnd[vehicle]! * problem.unloadCost[vehicle]!;
  if (unload !== NO_UNLOAD) flat += problem.unloadCost[vehicle]!;

  const costPerS = problem.costPerS[vehicle]!;
  const costPerOvertimeS = problem.costPerOvertimeS[vehicle]!;
  const key = visit * problem.vehicles + vehicle;
  const plain = isPlain(rounds, vehicle);
  const hasBreakRule = problem.maxBreaks[vehicle]! > 0;
  // However it is timed, the round takes at least its driving and service.
  const extraS =
    legS[from + first]! + legS[between]! + legS[last * places + to]! - (isEmpty ? 0 : legS[from + to]!);
  const workS = rounds.workS[vehicle]! + extraS + problem.serviceS[visit]!;
  if (rounds.broken[vehicle] === 0) {
    let least =
      flat + costPerS * (workS - rounds.durationS[vehicle]!) - costPerOvertimeS * rounds.overtimeS[vehicle]!;
    if (least >= below) return least;
    if (!plain) least = leastCost(rounds, visit, vehicle, after, unload, flat, workS);
    if (least >= below) return least;
  }
  how.restAfter = -1;
  const isRigid = rounds.choosers[vehicle] === 0 && problem.windowHi[key]! - problem.windowLo[key]! === 1;
  if (isRigid && hasBreakRule && unload === NO_UNLOAD && rounds.broken[vehicle] === 0) {
    const least = plain ? leastCost(rounds, visit, vehicle, after, unload, flat, workS) : bound.cost;
    if (least >= below) return least;
    how.anew = false;
    how.window = problem.windowLo[key]!;
    if (!bound.rests) return least;
    const stop = stopAt(rounds, after);
    const rested = timeCostWithBreak(rounds, visit, vehicle, stop, bound.timeCost);
    how.restAfter = restAfter.node;
    if (rested < Number.POSITIVE_INFINITY) return least - bound.timeCost + rested;
    if (problem.maxBreaks[vehicle] === 1) return rested;
  }
  let cost = Number.POSITIVE_INFINITY;
  let durationS = 0;
  const hi = problem.windowHi[key]!;
  const unloadKey = unload === NO_UNLOAD ? 0 : depotKey(problem, vehicle);
  const unloadLo = unload === NO_UNLOAD ? 0 : problem.windowLo[unloadKey]!;
  const unloadHi = unload === NO_UNLOAD ? 1 : problem.windowHi[unloadKey]!;
  // Breaks are placed anew in any case; where they stand only matters for choosing between windows.
  const asItStands =
    rounds.breaks[vehicle] === 0 || hi - problem.windowLo[key]! > 1 || unloadHi - unloadLo > 1;
  if (rounds.broken[vehicle] === 0 && asItStands) {
    const unloadS = unload === NO_UNLOAD ? 0 : problem.serviceS[problem.unloadNode[vehicle]!]!;
    for (let w = problem.windowLo[key]!; w < hi; w++)
      for (let x = unloadLo; x < unloadHi; x++) {
        seg[E] = rounds.headE[after]!;
        seg[L] = rounds.headL[after]!;
        seg[D] = rounds.headD[after]!;
        if (
          unload === UNLOAD_BEFORE &&
          !join(legS[from + first]!, windowFromS[x]!, windowUntilS[x]!, unloadS)
        )
          continue;
        const legHereS = unload === UNLOAD_BEFORE ? legS[between]! : legS[from + at]!;
        if (!join(legHereS, windowFromS[w]!, windowUntilS[w]!, problem.serviceS[visit]!)) continue;
        if (unload === UNLOAD_AFTER && !join(legS[between]!, windowFromS[x]!, windowUntilS[x]!, unloadS))
          continue;
        if (isBreakNext && !join(0, windowFromS[0]!, windowUntilS[0]!, problem.serviceS[before]!)) continue;
        if (
          !join(
            legS[last * places + to]!,
            rounds.tailE[beyond]!,
            rounds.tailL[beyond]!,
            rounds.tailD[beyond]!,
          )
        )
          continue;
        const overS = seg[E]! + seg[D]! - problem.shiftEndS[vehicle]!;
        const withTime =
          flat +
          costPerS * (seg[D]! - rounds.durationS[vehicle]!) +
          costPerOvertimeS * (Math.max(overS, 0) - rounds.overtimeS[vehicle]!);
        if (withTime < cost) {
          cost = withTime;
          durationS = seg[D]!;
          how.window = w;
          how.unloadWindow = x;
        }
      }
  }
  how.anew = false;
  how.restAfter = -1;
  if (cost < Number.POSITIVE_INFINITY) {
    if (!hasBreakRule || cost >= below) return cost;
    if (rounds.breaks[vehicle] === 0 && durationS <= problem.maxWorkS[vehicle]!) return cost;
  } else if (rounds.broken[vehicle] === 0) {
    // Choosing other windows or moving breaks is all that could still help.
    if (plain && !isChooser(problem, key, vehicle)) return cost;
    how.window = problem.windowLo[key]!;
    how.unloadWindow = unloadLo;
  } else {
    how.window = problem.windowLo[key]!;
    how.unloadWindow = unloadLo;
  }
  if (plain && rounds.broken[vehicle] === 0) {
    const least = leastCost(rounds, visit, vehicle, after, unload, flat, workS);
    if (least >= below) return least;
  }
  how.anew = true;
  how.unload = unload;
  trialWith(rounds, visit, vehicle, after, how);
  const anewCost = priceTrial(rounds, vehicle, workS);
  return anewCost - rounds.roundCost[vehicle]! - problem.skipCost[visit]!;
}

/** Whether the end of the round or the visit itself has several windows to choose from. */
function isChooser(problem: RoutingProblem, key: number, vehicle: number): boolean {
  const end = problem.visits * (problem.vehicles - 1) + problem.endNode[vehicle]!;
  return (
    problem.windowHi[key]! - problem.windowLo[key]! > 1 || problem.windowHi[end]! - problem.windowLo[end]! > 1
  );
}

/** Fills the trial with the round, without breaks, and the visit (and an unloading) after `after`. */
function trialWith(rounds: Rounds, visit: number, vehicle: number, after: number, how: How): void {
  const { trial } = rounds;
  const { unload } = how;
  trialOfRound(rounds, vehicle, -1, false);
  const where = stopAt(rounds, after);
  let i = 0;
  while (trial.node[i] !== where) i++;
  const extra = unload === NO_UNLOAD ? 1 : 2;
  trial.node.copyWithin(i + 1 + extra, i + 1, trial.length);
  trial.choice.copyWithin(i + 1 + extra, i + 1, trial.length);
  trial.length += extra;
  const visitAt = unload === UNLOAD_BEFORE ? i + 2 : i + 1;
  trial.node[visitAt] = visit;
  trial.choice[visitAt] = how.window;
  if (unload !== NO_UNLOAD) {
    const unloadAt = unload === UNLOAD_BEFORE ? i + 1 : i + 2;
    trial.node[unloadAt] = freeUnload(rounds, vehicle);
    trial.choice[unloadAt] = how.unloadWindow;
  }
}

function freeUnload(rounds: Rounds, vehicle: number): number {
  let node = rounds.problem.unloadNode[vehicle]!;
  while (rounds.round[node]! >= 0) node++;
  return node;
}

/** Puts the visit where and how `insertionCost` priced it. Throws if it does not fit there. */
export function insert(rounds: Rounds, visit: number, vehicle: number, after: number): void {
  const cost = insertionCost(rounds, visit, vehicle, after);
  if (cost === Number.POSITIVE_INFINITY)
    throw new RangeError(
      `visit ${visit} does not fit into the round of vehicle ${vehicle} after node ${after}`,
    );
  insertAs(rounds, visit, vehicle, after, rounds.how);
}

/** `insert` for a place that was priced already, and how: nothing may have changed in the round since. */
export function insertAs(rounds: Rounds, visit: number, vehicle: number, after: number, how: How): void {
  const { problem } = rounds;
  if (how.anew) {
    trialWith(rounds, visit, vehicle, after, how);
    evaluateTrial(rounds, vehicle);
    writeTrial(rounds, vehicle);
  } else {
    let at = after;
    if (rounds.breaks[vehicle]! > 0) {
      at = stopAt(rounds, after);
      unlinkBreaks(rounds, vehicle);
    }
    if (how.unload === UNLOAD_BEFORE) at = linkUnload(rounds, vehicle, at, how);
    link(rounds, visit, vehicle, at, how.window);
    if (how.unload === UNLOAD_AFTER) linkUnload(rounds, vehicle, visit, how);
    if (how.restAfter >= 0) link(rounds, problem.breakNode[vehicle]!, vehicle, how.restAfter, 0);
    refreshRound(rounds, vehicle);
  }
  rounds.totals[1]! -= problem.skipCost[visit]!;
  rounds.totals[0]! -= problem.skipCost[visit]!;
}

function linkUnload(rounds: Rounds, vehicle: number, after: number, how: How): number {
  const node = freeUnload(rounds, vehicle);
  link(rounds, node, vehicle, after, how.unloadWindow);
  return node;
}
