import type { RoutingProblem } from './problem.ts';

/** Costs of a round's time: paid seconds and overtime. */
export function timeCost(
  problem: RoutingProblem,
  vehicle: number,
  startS: number,
  durationS: number,
): number {
  const overS = startS + durationS - problem.shiftEndS[vehicle]!;
  return problem.costPerS[vehicle]! * durationS + problem.costPerOvertimeS[vehicle]! * Math.max(overS, 0);
}
