/**
 * A round on trial: its sequence laid out in arrays, priced from scratch in O(length).
 *
 * For everything that is not a plain insertion: choosing windows anew, placing breaks, dropping unloads. Windows are
 * first kept as they are; if that fails, every node takes the earliest window that it can reach, which finds a feasible
 * choice whenever there is one, because coming earlier never hurts.
 */
import type { RoutingProblem } from './problem.ts';
import type { Rounds } from './rounds.ts';
import { D, E, join, L, seg } from './segment.ts';

export type Trial = {
  length: number;
  readonly node: Int32Array;
  readonly choice: Int32Array;
  readonly headE: Int32Array;
  readonly headL: Int32Array;
  readonly headD: Int32Array;
  readonly tailE: Int32Array;
  readonly tailL: Int32Array;
  readonly tailD: Int32Array;
  /** Choices set aside while others are tried. */
  readonly kept: Int32Array;
};

export function createTrial(nodes: number): Trial {
  const cells = (): Int32Array => new Int32Array(nodes + 2);
  return {
    length: 0,
    node: cells(),
    choice: cells(),
    headE: cells(),
    headL: cells(),
    headD: cells(),
    tailE: cells(),
    tailL: cells(),
    tailD: cells(),
    kept: cells(),
  };
}

/**
 * Lays out a round without its breaks, and without one visit if `without` ≥ 0. `tidy` drops every unloading that the
 * loads do not need.
 */
export function trialOfRound(rounds: Rounds, vehicle: number, without: number, tidy: boolean): void {
  const { trial, next, problem } = rounds;
  const end = problem.endNode[vehicle]!;
  const firstBreak = problem.breakNode[vehicle]!;
  const hasBreaks = rounds.breaks[vehicle]! > 0;
  let length = 0;
  for (let u = problem.startNode[vehicle]!; ; u = next[u]!) {
    if (u !== without && !(hasBreaks && u >= firstBreak)) {
      trial.node[length] = u;
      trial.choice[length++] = rounds.choice[u]!;
    }
    if (u === end) break;
  }
  trial.length = length;
  if (tidy && rounds.unloads[vehicle]! > 0) dropUnloads(rounds, vehicle);
}

function dropUnloads(rounds: Rounds, vehicle: number): void {
  const { trial, problem, loadA, loadB } = rounds;
  const { node, choice } = trial;
  const { visits } = problem;
  let out = 1;
  let a = 0;
  let b = 0;
  let stops = 0;
  for (let i = 1; i < trial.length; i++) {
    const u = node[i]!;
    if (u < visits) {
      a += loadA[u]!;
      b += loadB[u]!;
      stops++;
    } else if (i < trial.length - 1) {
      let nextA = a;
      let nextB = b;
      let j = i + 1;
      for (; node[j]! < visits; j++) {
        nextA += loadA[node[j]!]!;
        nextB += loadB[node[j]!]!;
      }
      const fits = nextA <= problem.capacityA[vehicle]! && nextB <= problem.capacityB[vehicle]!;
      if (fits || stops === 0 || j === i + 1) continue;
      a = 0;
      b = 0;
      stops = 0;
    }
    node[out] = u;
    choice[out++] = choice[i]!;
  }
  trial.length = out;
}

/** Cost of the trial as a round of `vehicle`; breaks are put in where needed. `Infinity` if it cannot be driven. */
export function evaluateTrial(rounds: Rounds, vehicle: number, anew = false): number {
  const { trial, problem } = rounds;
  if (anew || !times(rounds, vehicle)) {
    if (!chooseEarliest(rounds) || !times(rounds, vehicle)) return Number.POSITIVE_INFINITY;
  }
  if (problem.maxBreaks[vehicle]! === 0 || trial.headD[trial.length - 1]! <= problem.maxWorkS[vehicle]!)
    return trialCost(rounds, vehicle);
  return placeBreaks(rounds, vehicle);
}

const windowsAt = (problem: RoutingProblem, node: number, vehicle: number): number =>
  node < problem.visits ? node * problem.vehicles + vehicle : problem.visits * (problem.vehicles - 1) + node;

const vehicleOf = (rounds: Rounds): number => rounds.round[rounds.trial.node[0]!]!;

/** A break stands where the node before it stands. */
function placeAt({ trial, place, problem }: Rounds, vehicle: number, i: number): number {
  let j = i;
  while (trial.node[j]! >= problem.breakNode[vehicle]! && problem.maxBreaks[vehicle]! > 0) j--;
  return place[trial.node[j]!]!;
}

/** Fills the trial's segments with its choices; false if it cannot be driven in time. */
function times(rounds: Rounds, vehicle: number): boolean {
  const { trial, problem } = rounds;
  const { node, choice, headE, headL, headD, tailE, tailL, tailD, length } = trial;
  const { legS, places, windowFromS, windowUntilS, serviceS } = problem;
  seg[E] = headE[0] = windowFromS[choice[0]!]!;
  seg[L] = headL[0] = windowUntilS[choice[0]!]!;
  seg[D] = headD[0] = 0;
  let p = placeAt(rounds, vehicle, 0);
  for (let i = 1; i < length; i++) {
    const q = placeAt(rounds, vehicle, i);
    const w = choice[i]!;
    if (!join(legS[p * places + q]!, windowFromS[w]!, windowUntilS[w]!, serviceS[node[i]!]!)) return false;
    headE[i] = seg[E]!;
    headL[i] = seg[L]!;
    headD[i] = seg[D]!;
    p = q;
  }
  const last = length - 1;
  tailE[last] = windowFromS[choice[last]!]!;
  tailL[last] = windowUntilS[choice[last]!]!;
  tailD[last] = serviceS[node[last]!]!;
  for (let i = last - 1; i >= 0; i--) {
    const q = placeAt(rounds, vehicle, i);
    const w = choice[i]!;
    seg[E] = windowFromS[w]!;
    seg[L] = windowUntilS[w]!;
    seg[D] = serviceS[node[i]!]!;
    join(legS[q * places + p]!, tailE[i + 1]!, tailL[i + 1]!, tailD[i + 1]!);
    tailE[i] = seg[E]!;
    tailL[i] = seg[L]!;
    tailD[i] = seg[D]!;
    p = q;
  }
  return true;
}

/** Gives every node the earliest window that can still be reached; false if one has none. */
function chooseEarliest(rounds: Rounds): boolean {
  const { trial, problem } = rounds;
  const { legS, places, windowFromS, windowUntilS, windowLo, windowHi, serviceS } = problem;
  const vehicle = vehicleOf(rounds);
  const breakFrom = problem.maxBreaks[vehicle]! > 0 ? problem.breakNode[vehicle]! : problem.nodes;
  let nowS = problem.shiftStartS[vehicle]!;
  let p = placeAt(rounds, vehicle, 0);
  for (let i = 1; i < trial.length; i++) {
    const u = trial.node[i]!;
    const q = placeAt(rounds, vehicle, i);
    nowS += legS[p * places + q]!;
    p = q;
    if (u < breakFrom) {
      const key = windowsAt(problem, u, vehicle);
      let w = windowLo[key]!;
      while (w < windowHi[key]! && windowUntilS[w]! < nowS) w++;
      if (w === windowHi[key]!) return false;
      trial.choice[i] = w;
      if (windowFromS[w]! > nowS) nowS = windowFromS[w]!;
    }
    nowS += serviceS[u]!;
  }
  return true;
}

function trialCost(rounds: Rounds, vehicle: number): number {
  const { trial, problem } = rounds;
  const last = trial.length - 1;
  let distanceM = 0;
  let unloadings = problem.unloadsAtEnd[vehicle]!;
  let p = placeAt(rounds, vehicle, 0);
  for (let i = 1; i <= last; i++) {
    const q = placeAt(rounds, vehicle, i);
    distanceM += problem.legM[p * problem.places + q]!;
    const u = trial.node[i]!;
    if (u >= problem.unloadNode[vehicle]! && u < problem.breakNode[vehicle]!) unloadings++;
    p = q;
  }
  return (
    problem.fixedCost[vehicle]! +
    problem.costPerM[vehicle]! * distanceM +
    problem.unloadCost[vehicle]! * unloadings +
    timeCost(problem, vehicle, trial.headE[last]!, trial.headD[last]!)
  );
}

function timeCost(problem: RoutingProblem, vehicle: number, startS: number, durationS: number): number {
  const overS = startS + durationS - problem.shiftEndS[vehicle]!;
  return problem.costPerS[vehicle]! * durationS + problem.costPerOvertimeS[vehicle]! * Math.max(overS, 0);
}

/** Puts breaks into a round that needs some: the cheapest place if one is enough, else each as late as may be. */
function placeBreaks(rounds: Rounds, vehicle: number): number {
  const { trial, problem } = rounds;
  const at = cheapestBreak(rounds, vehicle);
  if (at > 0) {
    addBreak(rounds, vehicle, at, 0);
    times(rounds, vehicle);
    return trialCost(rounds, vehicle);
  }
  trial.kept.set(trial.choice);
  let best = Number.POSITIVE_INFINITY;
  let bestAt = 0;
  for (let i = 1; i < trial.length - 1; i++) {
    addBreak(rounds, vehicle, i, 0);
    if (chooseEarliest(rounds) && times(rounds, vehicle) && firstOverwork(rounds, vehicle) < 0) {
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
    chooseEarliest(rounds);
    times(rounds, vehicle);
    return best;
  }
  const breakFrom = problem.breakNode[vehicle]!;
  for (let k = 0; ; k++) {
    const late = chooseEarliest(rounds) && times(rounds, vehicle) ? firstOverwork(rounds, vehicle) : 0;
    if (late < 0) return trialCost(rounds, vehicle);
    // The break goes before the node that is left too late, but not next to the start or another break.
    if (late < 2 || trial.node[late - 1]! >= breakFrom || k === problem.maxBreaks[vehicle]!) break;
    addBreak(rounds, vehicle, late - 1, k);
  }
  for (let i = trial.length - 2; i > 0; i--) if (trial.node[i]! >= breakFrom) dropBreak(rounds, i - 1);
  return Number.POSITIVE_INFINITY;
}

/** Index after which a single break costs least, 0 if none will do. At equal cost an unloading is preferred. */
function cheapestBreak(rounds: Rounds, vehicle: number): number {
  const { trial, problem } = rounds;
  const { headE, headL, headD, tailE, tailL, tailD } = trial;
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
    const leg = placeAt(rounds, vehicle, i) * places + placeAt(rounds, vehicle, i + 1);
    if (!join(legS[leg]!, tailE[i + 1]!, tailL[i + 1]!, tailD[i + 1]!)) continue;
    const startS = seg[E]!;
    const breakAtS = Math.max(startS, headE[i]!) + headD[i]!;
    if (breakAtS - startS > maxWorkS) continue;
    if (startS + seg[D]! - breakAtS - breakS > maxWorkS) continue;
    const cost = timeCost(problem, vehicle, startS, seg[D]!);
    const isUnload = trial.node[i]! >= problem.visits;
    if (cost < best || (cost === best && isUnload)) {
      best = cost;
      bestAt = i;
    }
  }
  return bestAt;
}

/** Index of the first node that a driver leaves too long after the last break, −1 if there is none. */
function firstOverwork(rounds: Rounds, vehicle: number): number {
  const { trial, problem } = rounds;
  const breakFrom = problem.breakNode[vehicle]!;
  let nowS = trial.headE[trial.length - 1]!;
  let restedS = nowS;
  let p = placeAt(rounds, vehicle, 0);
  for (let i = 1; i < trial.length; i++) {
    const u = trial.node[i]!;
    const q = placeAt(rounds, vehicle, i);
    nowS += problem.legS[p * problem.places + q]!;
    nowS = Math.max(nowS, problem.windowFromS[trial.choice[i]!]!);
    p = q;
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
