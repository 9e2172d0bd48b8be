/** Which unloadings a round on trial needs. */
import type { Rounds } from './rounds.ts';

/** Drops every unloading that the loads do not need. */
export function dropUnloads(rounds: Rounds, vehicle: number): void {
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
