/**
 * Rounds as linked lists in typed arrays, with what is needed to price an insertion exactly in O(1).
 *
 * Every node keeps the segment of its round up to itself (`head`) and from itself on (`tail`): duration D,
 * earliest and latest start E and L of the schedule of least duration (Vidal, Crainic, Gendreau & Prins 2013,
 * Computers & OR 40(1), section 4.2; ours has no time warp, because windows are hard). A round is driven as soon
 * as possible after its start E, which gives the least duration and the earliest end E + D at once.
 *
 * Which of its alternative windows a node uses, and where breaks stand, is part of the state. An insertion keeps
 * those of the others as long as that is possible; if it is not, `trial.ts` chooses them anew in O(length).
 *
 * Everything that varies lies in one `Int32Array` and one `Float64Array`, so a copy is two `.set` calls.
 */
import { evaluateTrial } from './breaks.ts';
import { createHow, type How } from './how.ts';
import type { RoutingProblem } from './problem.ts';
import { refreshRound } from './refresh.ts';
import { createTrial, type Trial, trialOfRound } from './trial.ts';

export type Rounds = {
  readonly problem: RoutingProblem;
  readonly ints: Int32Array;
  readonly floats: Float64Array;
  // Per node.
  readonly next: Int32Array;
  readonly prev: Int32Array;
  /** Vehicle whose round the node is in, −1 if none. */
  readonly round: Int32Array;
  /** Index of the node's trip in its round; an unload belongs to the trip it opens. */
  readonly trip: Int32Array;
  /** 0 at the start of the round, and so on. */
  readonly position: Int32Array;
  /** Index of the window used (in `windowFromS`, `windowUntilS`). */
  readonly choice: Int32Array;
  readonly place: Int32Array;
  readonly headE: Int32Array;
  readonly headL: Int32Array;
  readonly headD: Int32Array;
  readonly tailE: Int32Array;
  readonly tailL: Int32Array;
  readonly tailD: Int32Array;
  // The same of the relaxed round (`relaxed.ts`), of stops alone; not kept while the round is plain.
  readonly relaxedHeadE: Int32Array;
  readonly relaxedHeadL: Int32Array;
  readonly relaxedHeadD: Int32Array;
  readonly relaxedTailE: Int32Array;
  readonly relaxedTailL: Int32Array;
  readonly relaxedTailD: Int32Array;
  /** Load of the node's trip up to and including the node. */
  readonly sumA: Int32Array;
  readonly sumB: Int32Array;
  // Per visit.
  readonly loadA: Int32Array;
  readonly loadB: Int32Array;
  // Per vehicle.
  readonly count: Int32Array;
  readonly unloads: Int32Array;
  readonly breaks: Int32Array;
  /** 1 if the round cannot be driven (only after a removal where legs break the triangle inequality). */
  readonly broken: Int32Array;
  /** Nodes of the round that have several windows. */
  readonly choosers: Int32Array;
  readonly durationS: Int32Array;
  /** Driving and service, without waiting and breaks: no way of timing the round is shorter. */
  readonly workS: Int32Array;
  readonly overtimeS: Int32Array;
  readonly startS: Int32Array;
  /** Load of trip t of vehicle r at `tripBase[r] + t`. */
  readonly tripA: Int32Array;
  readonly tripB: Int32Array;
  readonly tripBase: Int32Array;
  readonly distanceM: Float64Array;
  readonly roundCost: Float64Array;
  /** [0]: total cost, [1]: the part of it for visits left out. */
  readonly totals: Float64Array;
  readonly trial: Trial;
  /** The way of inserting that `insertionCost` found cheapest at the position last asked for. */
  readonly how: How;
  /** Where and how `bestInsertion` found its cheapest place. */
  readonly best: { after: number; readonly how: How };
};

export function createRounds(problem: RoutingProblem): Rounds {
  const { nodes, visits, vehicles } = problem;
  const tripBase = new Int32Array(vehicles + 1);
  for (let r = 0; r < vehicles; r++) tripBase[r + 1] = tripBase[r]! + problem.maxUnloads[r]! + 1;
  const trips = tripBase[vehicles]!;
  const ints = new Int32Array(21 * nodes + 2 * visits + 9 * vehicles + 2 * trips);
  const floats = new Float64Array(2 * vehicles + 2);
  let at = 0;
  const take = (length: number): Int32Array => {
    at += length;
    return ints.subarray(at - length, at);
  };
  const rounds: Rounds = {
    problem,
    ints,
    floats,
    next: take(nodes),
    prev: take(nodes),
    round: take(nodes),
    trip: take(nodes),
    position: take(nodes),
    choice: take(nodes),
    place: take(nodes),
    headE: take(nodes),
    headL: take(nodes),
    headD: take(nodes),
    tailE: take(nodes),
    tailL: take(nodes),
    tailD: take(nodes),
    relaxedHeadE: take(nodes),
    relaxedHeadL: take(nodes),
    relaxedHeadD: take(nodes),
    relaxedTailE: take(nodes),
    relaxedTailL: take(nodes),
    relaxedTailD: take(nodes),
    sumA: take(nodes),
    sumB: take(nodes),
    loadA: take(visits),
    loadB: take(visits),
    count: take(vehicles),
    unloads: take(vehicles),
    breaks: take(vehicles),
    broken: take(vehicles),
    choosers: take(vehicles),
    durationS: take(vehicles),
    workS: take(vehicles),
    overtimeS: take(vehicles),
    startS: take(vehicles),
    tripA: take(trips),
    tripB: take(trips),
    tripBase,
    distanceM: floats.subarray(0, vehicles),
    roundCost: floats.subarray(vehicles, 2 * vehicles),
    totals: floats.subarray(2 * vehicles),
    trial: createTrial(nodes),
    how: createHow(),
    best: { after: -1, how: createHow() },
  };
  rounds.loadA.set(problem.loadA);
  rounds.loadB.set(problem.loadB);
  rounds.place.set(problem.place);
  rounds.round.fill(-1);
  for (let v = 0; v < visits; v++) rounds.totals[1]! += problem.skipCost[v]!;
  rounds.totals[0] = rounds.totals[1]!;
  for (let r = 0; r < vehicles; r++) resetRound(rounds, r);
  return rounds;
}

/** Makes `to` equal to `from`; both must belong to the same problem. */
export function copyRounds(to: Rounds, from: Rounds): void {
  to.ints.set(from.ints);
  to.floats.set(from.floats);
}

/** Cost of the whole solution: rounds, prizes of what is left out, `penalty` per mandatory visit left out or broken round. */
export const totalCost = (rounds: Rounds): number => rounds.totals[0]!;

/** Nodes of a round from its start to its end, unloads and breaks included. Allocates. */
export function sequenceOf(rounds: Rounds, vehicle: number): number[] {
  const nodes: number[] = [];
  const end = rounds.problem.endNode[vehicle]!;
  for (let u = rounds.problem.startNode[vehicle]!; u !== end; u = rounds.next[u]!) nodes.push(u);
  nodes.push(end);
  return nodes;
}

export function link(rounds: Rounds, node: number, vehicle: number, after: number, choice: number): void {
  const { next, prev } = rounds;
  const before = next[after]!;
  next[after] = node;
  prev[node] = after;
  next[node] = before;
  prev[before] = node;
  rounds.round[node] = vehicle;
  rounds.choice[node] = choice;
}

/** Takes the breaks out of a round, which must then be refreshed. */
export function unlinkBreaks(rounds: Rounds, vehicle: number): void {
  const { problem, next, prev, round } = rounds;
  const end = problem.endNode[vehicle]!;
  const firstBreak = problem.breakNode[vehicle]!;
  for (let u = next[problem.startNode[vehicle]!]!; u !== end; u = next[u]!) {
    if (u < firstBreak) continue;
    next[prev[u]!] = next[u]!;
    prev[next[u]!] = prev[u]!;
    round[u] = -1;
  }
}

/** Takes a visit out of its round, with unloads and breaks that are no longer needed. */
export function remove(rounds: Rounds, visit: number): void {
  const vehicle = rounds.round[visit]!;
  if (vehicle < 0) throw new RangeError(`visit ${visit} is in no round`);
  unlink(rounds, visit);
  mendRound(rounds, vehicle);
}

/** First half of `remove`: the round is not usable until `mendRound` is called, once for any number of visits. */
export function unlink(rounds: Rounds, visit: number): void {
  const { next, prev, round, count, totals } = rounds;
  const p = prev[visit]!;
  const n = next[visit]!;
  next[p] = n;
  prev[n] = p;
  count[round[visit]!]!--;
  round[visit] = -1;
  const skipCost = rounds.problem.skipCost[visit]!;
  totals[1]! += skipCost;
  totals[0]! += skipCost;
}

/** Second half of `remove`. */
export function mendRound(rounds: Rounds, vehicle: number): void {
  if (rounds.count[vehicle] === 0) {
    clearLinks(rounds, vehicle);
    return;
  }
  if (rounds.unloads[vehicle] === 0 && rounds.breaks[vehicle] === 0 && rounds.broken[vehicle] === 0) {
    refreshRound(rounds, vehicle);
    if (rounds.broken[vehicle] === 0) return;
  }
  trialOfRound(rounds, vehicle, -1, true);
  evaluateTrial(rounds, vehicle);
  writeTrial(rounds, vehicle);
}

/** Change of `totalCost` by `remove`, exact, O(length). `Infinity` if what is left could not be driven. */
export function removalCost(rounds: Rounds, visit: number): number {
  const vehicle = rounds.round[visit]!;
  if (vehicle < 0) throw new RangeError(`visit ${visit} is in no round`);
  const skipCost = rounds.problem.skipCost[visit]!;
  if (rounds.count[vehicle] === 1) return skipCost - rounds.roundCost[vehicle]!;
  trialOfRound(rounds, vehicle, visit, true);
  return evaluateTrial(rounds, vehicle) - rounds.roundCost[vehicle]! + skipCost;
}

/** Chooses windows and breaks of a round anew if that is cheaper. */
export function retime(rounds: Rounds, vehicle: number): void {
  if (rounds.count[vehicle] === 0) return;
  if (rounds.choosers[vehicle] === 0 && rounds.breaks[vehicle] === 0) return;
  trialOfRound(rounds, vehicle, -1, false);
  if (evaluateTrial(rounds, vehicle, true) < rounds.roundCost[vehicle]!) writeTrial(rounds, vehicle);
}

/** Empties one round. */
export function clearRound(rounds: Rounds, vehicle: number): void {
  const { problem, next } = rounds;
  const end = problem.endNode[vehicle]!;
  for (let u = next[problem.startNode[vehicle]!]!; u !== end; u = next[u]!)
    if (u < problem.visits) {
      rounds.totals[1]! += problem.skipCost[u]!;
      rounds.totals[0]! += problem.skipCost[u]!;
    }
  clearLinks(rounds, vehicle);
}

export function clear(rounds: Rounds): void {
  for (let r = 0; r < rounds.problem.vehicles; r++) clearRound(rounds, r);
}

function clearLinks(rounds: Rounds, vehicle: number): void {
  unlinkAll(rounds, vehicle);
  rounds.totals[0]! -= rounds.roundCost[vehicle]!;
  rounds.roundCost[vehicle] = 0;
  resetRound(rounds, vehicle);
}

function unlinkAll(rounds: Rounds, vehicle: number): void {
  const { problem, next, round } = rounds;
  const end = problem.endNode[vehicle]!;
  for (let u = next[problem.startNode[vehicle]!]!; u !== end; u = next[u]!) round[u] = -1;
}

function resetRound(rounds: Rounds, vehicle: number): void {
  const { problem, next, prev } = rounds;
  const start = problem.startNode[vehicle]!;
  const end = problem.endNode[vehicle]!;
  next[start] = end;
  prev[end] = start;
  rounds.round[start] = vehicle;
  rounds.round[end] = vehicle;
  const key = problem.visits * (problem.vehicles - 1);
  rounds.choice[start] = problem.windowLo[key + start]!;
  rounds.choice[end] = problem.windowLo[key + end]!;
  refreshRound(rounds, vehicle);
}

/** Replaces a round by the trial, whose visits may differ from the round's by those the caller accounts for. */
export function writeTrial(rounds: Rounds, vehicle: number): void {
  const { trial, next, prev } = rounds;
  unlinkAll(rounds, vehicle);
  for (let i = 0; i < trial.length; i++) {
    const u = trial.node[i]!;
    rounds.round[u] = vehicle;
    rounds.choice[u] = trial.choice[i]!;
    if (i === 0) continue;
    prev[u] = trial.node[i - 1]!;
    next[trial.node[i - 1]!] = u;
  }
  refreshRound(rounds, vehicle);
}
