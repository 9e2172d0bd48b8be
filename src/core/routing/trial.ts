/**
 * A round on trial: its sequence laid out in arrays, priced from scratch in O(length).
 *
 * For everything that is not a plain insertion: choosing windows anew, placing breaks, dropping unloads. Windows are
 * first kept as they are; if that fails, every node takes the earliest window that it can reach, which finds a feasible
 * choice whenever there is one, because coming earlier never hurts.
 */
import { windowKey } from './problem.ts';
import type { Rounds } from './rounds.ts';
import { D, E, join, L, seg } from './segment.ts';
import { dropUnloads } from './unloads.ts';

export type Trial = {
  length: number;
  readonly node: Int32Array;
  readonly choice: Int32Array;
  /** Place of each node, filled by `timeTrial`: a break stands where the node before it stands. */
  readonly at: Int32Array;
  readonly headE: Int32Array;
  readonly headL: Int32Array;
  readonly headD: Int32Array;
  readonly tailE: Int32Array;
  readonly tailL: Int32Array;
  readonly tailD: Int32Array;
  /** Stops of a round in order, for whoever needs them. */
  readonly stops: Int32Array;
  /** Choices set aside while others are tried. */
  readonly kept: Int32Array;
};

export function createTrial(nodes: number): Trial {
  const cells = (): Int32Array => new Int32Array(nodes + 2);
  return {
    length: 0,
    node: cells(),
    choice: cells(),
    at: cells(),
    headE: cells(),
    headL: cells(),
    headD: cells(),
    tailE: cells(),
    tailL: cells(),
    tailD: cells(),
    stops: cells(),
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

/** Fills the trial's segments with its choices of windows; false if it cannot be driven in time. */
export function timeTrial(rounds: Rounds, vehicle: number): boolean {
  const { trial, problem, place } = rounds;
  const { node, choice, at, headE, headL, headD, tailE, tailL, tailD, length } = trial;
  const { legS, places, windowFromS, windowUntilS, serviceS } = problem;
  const breakFrom = firstBreakNode(rounds, vehicle);
  seg[E] = headE[0] = windowFromS[choice[0]!]!;
  seg[L] = headL[0] = windowUntilS[choice[0]!]!;
  seg[D] = headD[0] = 0;
  let p = place[node[0]!]!;
  at[0] = p;
  for (let i = 1; i < length; i++) {
    const u = node[i]!;
    const q = u < breakFrom ? place[u]! : p;
    const w = choice[i]!;
    if (!join(legS[p * places + q]!, windowFromS[w]!, windowUntilS[w]!, serviceS[u]!)) return false;
    headE[i] = seg[E]!;
    headL[i] = seg[L]!;
    headD[i] = seg[D]!;
    at[i] = q;
    p = q;
  }
  const last = length - 1;
  tailE[last] = windowFromS[choice[last]!]!;
  tailL[last] = windowUntilS[choice[last]!]!;
  tailD[last] = serviceS[node[last]!]!;
  for (let i = last - 1; i >= 0; i--) {
    const w = choice[i]!;
    seg[E] = windowFromS[w]!;
    seg[L] = windowUntilS[w]!;
    seg[D] = serviceS[node[i]!]!;
    join(legS[at[i]! * places + at[i + 1]!]!, tailE[i + 1]!, tailL[i + 1]!, tailD[i + 1]!);
    tailE[i] = seg[E]!;
    tailL[i] = seg[L]!;
    tailD[i] = seg[D]!;
  }
  return true;
}

/** Gives every node the earliest window that can still be reached; false if one has none. */
export function chooseEarliest(rounds: Rounds, vehicle: number): boolean {
  const { trial, problem, place } = rounds;
  const { legS, places, windowFromS, windowUntilS, windowLo, windowHi, serviceS } = problem;
  const breakFrom = firstBreakNode(rounds, vehicle);
  let nowS = problem.shiftStartS[vehicle]!;
  let p = place[trial.node[0]!]!;
  for (let i = 1; i < trial.length; i++) {
    const u = trial.node[i]!;
    if (u < breakFrom) {
      const q = place[u]!;
      nowS += legS[p * places + q]!;
      p = q;
      const key = windowKey(problem, u, vehicle);
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

/** Node number from which on the nodes of a vehicle's round are breaks. */
export const firstBreakNode = ({ problem }: Rounds, vehicle: number): number =>
  problem.maxBreaks[vehicle]! > 0 ? problem.breakNode[vehicle]! : problem.nodes;
