/**
 * What a round on trial costs, breaks included: none where the work is short enough, one at its cheapest place where
 * one will do, else each as late as may be.
 */

import { windowKey } from './problem.ts';
import type { Rounds } from './rounds.ts';
import { D, E, join, L, seg } from './segment.ts';
import { timeCost } from './time-cost.ts';
import { chooseEarliest, timeTrial } from './trial.ts';

/**
 * Cost of the trial as a round of `vehicle`; breaks are put in where needed, windows chosen anew if need be (at once if
 * `anew`). `Infinity` if it cannot be driven.
 */
export function evaluateTrial(rounds: Rounds, vehicle: number, anew = false): number {
  if (!makeInTime(rounds, vehicle, anew)) return Number.POSITIVE_INFINITY;
  return needsBreak(rounds, vehicle) ? placeBreaks(rounds, vehicle) : trialCost(rounds, vehicle);
}

/** The same number for less work; the trial is of no use afterwards. `workS` is its driving and service. */
export function priceTrial(rounds: Rounds, vehicle: number, workS: number): number {
  if (!makeInTime(rounds, vehicle, false)) return Number.POSITIVE_INFINITY;
  if (!needsBreak(rounds, vehicle)) return trialCost(rounds, vehicle);
  const { trial, problem } = rounds;
  const last = trial.length - 1;
  // No break is shorter than the work and itself, and none makes the round end earlier.
  const leastS = Math.max(trial.headD[last]!, workS + problem.serviceS[problem.breakNode[vehicle]!]!);
  const endS = Math.max(trial.headE[last]! + trial.headD[last]!, problem.shiftStartS[vehicle]! + leastS);
  const least = timeCost(problem, vehicle, endS - leastS, leastS);
  if (cheapestBreak(rounds, vehicle, least) === 0) return placeBreaks(rounds, vehicle);
  const withoutBreak = timeCost(problem, vehicle, trial.headE[last]!, trial.headD[last]!);
  return trialCost(rounds, vehicle) - withoutBreak + found.timeCost;
}

function makeInTime(rounds: Rounds, vehicle: number, anew: boolean): boolean {
  if (!anew && timeTrial(rounds, vehicle)) return true;
  return chooseEarliest(rounds, vehicle) && timeTrial(rounds, vehicle);
}

const needsBreak = ({ problem, trial }: Rounds, vehicle: number): boolean =>
  problem.maxBreaks[vehicle]! > 0 && trial.headD[trial.length - 1]! > problem.maxWorkS[vehicle]!;

function trialCost(rounds: Rounds, vehicle: number): number {
  const { trial, problem } = rounds;
  const { at } = trial;
  const last = trial.length - 1;
  let distanceM = 0;
  let unloadings = problem.unloadsAtEnd[vehicle]!;
  for (let i = 1; i <= last; i++) {
    distanceM += problem.legM[at[i - 1]! * problem.places + at[i]!]!;
    const u = trial.node[i]!;
    if (u >= problem.unloadNode[vehicle]! && u < problem.breakNode[vehicle]!) unloadings++;
  }
  return (
    problem.fixedCost[vehicle]! +
    problem.costPerM[vehicle]! * distanceM +
    problem.unloadCost[vehicle]! * unloadings +
    timeCost(problem, vehicle, trial.headE[last]!, trial.headD[last]!)
  );
}

/** Puts breaks into a round that needs some: the cheapest place if one is enough, else each as late as may be. */
function placeBreaks(rounds: Rounds, vehicle: number): number {
  const { trial, problem } = rounds;
  const at = cheapestBreak(rounds, vehicle);
  if (at > 0) {
    addBreak(rounds, vehicle, at, 0);
    timeTrial(rounds, vehicle);
    return trialCost(rounds, vehicle);
  }
  if (problem.maxBreaks[vehicle]! > 1 && cheapestPair(rounds, vehicle)) {
    addBreak(rounds, vehicle, pair.second, 1);
    addBreak(rounds, vehicle, pair.first, 0);
    timeTrial(rounds, vehicle);
    return trialCost(rounds, vehicle);
  }
  trial.kept.set(trial.choice);
  let best = Number.POSITIVE_INFINITY;
  let bestAt = 0;
  // With nothing to choose, other windows are no help.
  for (let i = 1; i < trial.length - 1 && hasChoice(rounds, vehicle); i++) {
    addBreak(rounds, vehicle, i, 0);
    if (chooseEarliest(rounds, vehicle) && timeTrial(rounds, vehicle) && firstOverwork(rounds, vehicle) < 0) {
      const cost = trialCost(rounds, vehicle);
      if (cost < best) {
        best = cost;
        bestAt = i;
      }
    }
    dropBreak(rounds, i);
    trial.choice.set(trial.kept);
  }
  if (bestAt > 0) {
    addBreak(rounds, vehicle, bestAt, 0);
    chooseEarliest(rounds, vehicle);
    timeTrial(rounds, vehicle);
    return best;
  }
  const breakFrom = problem.breakNode[vehicle]!;
  for (let k = 0; ; k++) {
    const late =
      chooseEarliest(rounds, vehicle) && timeTrial(rounds, vehicle) ? firstOverwork(rounds, vehicle) : 0;
    if (late < 0) return trialCost(rounds, vehicle);
    // The break goes before the node that is left too late, but not next to the start or another break.
    if (late < 2 || trial.node[late - 1]! >= breakFrom || k === problem.maxBreaks[vehicle]!) break;
    addBreak(rounds, vehicle, late - 1, k);
  }
  for (let i = trial.length - 2; i > 0; i--) if (trial.node[i]! >= breakFrom) dropBreak(rounds, i - 1);
  return Number.POSITIVE_INFINITY;
}

function hasChoice({ trial, problem }: Rounds, vehicle: number): boolean {
  for (let i = 1; i < trial.length; i++) {
    const key = windowKey(problem, trial.node[i]!, vehicle);
    if (problem.windowHi[key]! - problem.windowLo[key]! > 1) return true;
  }
  return false;
}

/** What `cheapestBreak` found. */
const found = { timeCost: 0 };

/**
 * Index after which a single break costs least, 0 if none will do. At equal cost an unloading is preferred. Any that
 * costs no more than `enough` will do at once.
 */
function cheapestBreak(rounds: Rounds, vehicle: number, enough = Number.NEGATIVE_INFINITY): number {
  const { trial, problem } = rounds;
  const { at, headE, headL, headD, tailE, tailL, tailD } = trial;
  const { legS, places, windowFromS, windowUntilS } = problem;
  const maxWorkS = problem.maxWorkS[vehicle]!;
  const breakS = problem.serviceS[problem.breakNode[vehicle]!]!;
  let best = Number.POSITIVE_INFINITY;
  let bestAt = 0;
  for (let i = 1; i < trial.length - 1; i++) {
    seg[E] = headE[i]!;
    seg[L] = headL[i]!;
    seg[D] = headD[i]!;
    if (!join(0, windowFromS[0]!, windowUntilS[0]!, breakS)) continue;
    const leg = legS[at[i]! * places + at[i + 1]!]!;
    if (!join(leg, tailE[i + 1]!, tailL[i + 1]!, tailD[i + 1]!)) continue;
    const startS = seg[E]!;
    const breakAtS = Math.max(startS, headE[i]!) + headD[i]!;
    if (breakAtS - startS > maxWorkS) continue;
    if (startS + seg[D]! - breakAtS - breakS > maxWorkS) continue;
    const cost = timeCost(problem, vehicle, startS, seg[D]!);
    const isUnload = trial.node[i]! >= problem.visits;
    if (cost < best || (cost === best && isUnload)) {
      best = cost;
      bestAt = i;
      if (best <= enough) break;
    }
  }
  found.timeCost = best;
  return bestAt;
}

/** What `cheapestPair` found: the breaks go after these indices. */
const pair = { first: 0, second: 0 };

/** The cheapest places for two breaks, in O(length²); false if there are none. */
function cheapestPair(rounds: Rounds, vehicle: number): boolean {
  const { trial, problem } = rounds;
  const { at, node, choice, headE, headL, headD, tailE, tailL, tailD } = trial;
  const { legS, places, windowFromS, windowUntilS, serviceS } = problem;
  const maxWorkS = problem.maxWorkS[vehicle]!;
  const breakS = serviceS[problem.breakNode[vehicle]!]!;
  const last = trial.length - 1;
  const leg = (i: number): number => legS[at[i]! * places + at[i + 1]!]!;
  let best = Number.POSITIVE_INFINITY;
  for (let i = 1; i < last - 1 && headD[i]! <= maxWorkS; i++) {
    // The round up to stop j, with a break after stop i.
    let e = headE[i]!;
    let l = headL[i]!;
    let d = headD[i]!;
    for (let j = i + 1; j < last; j++) {
      seg[E] = e;
      seg[L] = l;
      seg[D] = d;
      if (j === i + 1 && !join(0, windowFromS[0]!, windowUntilS[0]!, breakS)) break;
      const w = choice[j]!;
      if (!join(leg(j - 1), windowFromS[w]!, windowUntilS[w]!, serviceS[node[j]!]!)) break;
      e = seg[E]!;
      l = seg[L]!;
      d = seg[D]!;
      if (!join(0, windowFromS[0]!, windowUntilS[0]!, breakS)) break;
      if (!join(leg(j), tailE[j + 1]!, tailL[j + 1]!, tailD[j + 1]!)) continue;
      const startS = seg[E]!;
      const firstS = Math.max(startS, headE[i]!) + headD[i]!;
      const secondS = Math.max(startS, e) + d;
      const endS = startS + seg[D]!;
      const longestS = Math.max(firstS - startS, secondS - firstS - breakS, endS - secondS - breakS);
      if (longestS > maxWorkS) continue;
      const cost = timeCost(problem, vehicle, startS, seg[D]!);
      if (cost >= best) continue;
      best = cost;
      pair.first = i;
      pair.second = j;
    }
  }
  return best < Number.POSITIVE_INFINITY;
}

/** Index of the first node that a driver leaves too long after the last break, −1 if there is none. */
function firstOverwork(rounds: Rounds, vehicle: number): number {
  const { trial, problem } = rounds;
  const { at } = trial;
  const breakFrom = problem.breakNode[vehicle]!;
  let nowS = trial.headE[trial.length - 1]!;
  let restedS = nowS;
  for (let i = 1; i < trial.length; i++) {
    const u = trial.node[i]!;
    nowS += problem.legS[at[i - 1]! * problem.places + at[i]!]!;
    nowS = Math.max(nowS, problem.windowFromS[trial.choice[i]!]!);
    if (u >= breakFrom) {
      if (nowS - restedS > problem.maxWorkS[vehicle]!) return i;
      restedS = nowS + problem.serviceS[u]!;
    }
    nowS += problem.serviceS[u]!;
    if (nowS - restedS > problem.maxWorkS[vehicle]!) return i;
  }
  return -1;
}

function addBreak(rounds: Rounds, vehicle: number, after: number, k: number): void {
  const { trial, problem } = rounds;
  trial.node.copyWithin(after + 2, after + 1, trial.length);
  trial.choice.copyWithin(after + 2, after + 1, trial.length);
  trial.length++;
  trial.node[after + 1] = problem.breakNode[vehicle]! + k;
  trial.choice[after + 1] = 0;
}

function dropBreak({ trial }: Rounds, after: number): void {
  trial.node.copyWithin(after + 1, after + 2, trial.length);
  trial.choice.copyWithin(after + 1, after + 2, trial.length);
  trial.length--;
}
