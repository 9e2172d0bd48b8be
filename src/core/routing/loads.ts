/** Loads that depend on other visits: changed while the visit is in a round. */
import type { Rounds } from './rounds.ts';

/**
 * Changes the loads of a visit, in a round or not. A trip may then carry more than its vehicle can: it takes nothing
 * more, and `overloadA/B` say by how much. Costs do not change.
 */
export function setLoad(rounds: Rounds, visit: number, loadA: number, loadB: number): void {
  const { problem, next, sumA, sumB } = rounds;
  const moreA = loadA - rounds.loadA[visit]!;
  const moreB = loadB - rounds.loadB[visit]!;
  rounds.loadA[visit] = loadA;
  rounds.loadB[visit] = loadB;
  const vehicle = rounds.round[visit]!;
  if (vehicle < 0 || (moreA === 0 && moreB === 0)) return;
  const t = rounds.trip[visit]!;
  rounds.tripA[rounds.tripBase[vehicle]! + t]! += moreA;
  rounds.tripB[rounds.tripBase[vehicle]! + t]! += moreB;
  const end = problem.endNode[vehicle]!;
  for (let u = visit; rounds.trip[u] === t; u = next[u]!) {
    sumA[u]! += moreA;
    sumB[u]! += moreB;
    if (u === end) break;
  }
}

/** Load above the vehicle's capacity, summed over the trips of its round. */
export const overloadA = (rounds: Rounds, vehicle: number): number =>
  overload(rounds, vehicle, rounds.tripA, rounds.problem.capacityA[vehicle]!);
export const overloadB = (rounds: Rounds, vehicle: number): number =>
  overload(rounds, vehicle, rounds.tripB, rounds.problem.capacityB[vehicle]!);

function overload(rounds: Rounds, vehicle: number, trips: Int32Array, capacity: number): number {
  const base = rounds.tripBase[vehicle]!;
  let excess = 0;
  for (let t = base; t <= base + rounds.unloads[vehicle]!; t++)
    if (trips[t]! > capacity) excess += trips[t]! - capacity;
  return excess;
}
