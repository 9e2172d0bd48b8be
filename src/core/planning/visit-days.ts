/**
 * The planner's grid of time. A visit counts as happening at the middle of its local day, whatever its place in
 * the round, so that what a site costs depends on days alone and can be tabulated. Hours matter to the rounds,
 * not to the fill: half a day of accrual is far inside a forecast's own spread.
 *
 * Nodes of a site: 0 = now, 1..H = visited on day 0..H-1, H + 1 = the end of the horizon.
 */
import type { Instant } from '../quantity/units.ts';
import type { PlanningProblem } from './problem.ts';

export const MAX_HORIZON_DAYS = 28;

export function visitInstants(problem: PlanningProblem): readonly Instant[] {
  const { dayStartsAt, nowAt } = problem;
  const horizon = problem.days.length;
  const at: number[] = [nowAt];
  for (let day = 0; day < horizon; day++)
    at.push(Math.max(nowAt, Math.round((dayStartsAt[day]! + dayStartsAt[day + 1]!) / 2)));
  at.push(Math.max(nowAt, dayStartsAt[horizon]!));
  return at;
}

/** How many days a bit set of days holds. */
export function bits(mask: number): number {
  let count = 0;
  for (let rest = mask; rest !== 0; rest &= rest - 1) count++;
  return count;
}
