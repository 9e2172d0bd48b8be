/** Steps along a round from stop to stop, over its breaks. */
import type { Rounds } from './rounds.ts';

/** The node itself, or the one before it if it is a break. */
export function stopAt(rounds: Rounds, node: number): number {
  let u = node;
  while (isBreak(rounds, u)) u = rounds.prev[u]!;
  return u;
}

/** The stop after the node. */
export function nextStop(rounds: Rounds, node: number): number {
  let u = rounds.next[node]!;
  while (isBreak(rounds, u)) u = rounds.next[u]!;
  return u;
}

/** Breaks come last among a vehicle's nodes. */
function isBreak(rounds: Rounds, node: number): boolean {
  if (node < rounds.problem.visits) return false;
  return node >= rounds.problem.breakNode[rounds.round[node]!]!;
}
