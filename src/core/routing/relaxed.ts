/**
 * A round relaxed: without its breaks, and every node free to use the time from its first window to its last. No way of
 * placing breaks and choosing windows does better, so what is too late or too dear here needs no exact price.
 *
 * A plain round (no breaks in it, no node with several windows) is its own relaxation and keeps nothing here.
 */
import { windowKey } from './problem.ts';
import type { Rounds } from './rounds.ts';
import { D, E, join, L, seg } from './segment.ts';

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
