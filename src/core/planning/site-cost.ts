/** What a site costs with its present visits: a matter of its set of days alone, and of who drives on them. */
import { bits } from './visit-days.ts';
import type { WeekState } from './week-state.ts';

export type SiteParts = {
  overflow: number;
  leftAtEnd: number;
  /** Promises that are due and not kept, as a number. */
  broken: number;
  habit: number;
  change: number;
};

/** What a site costs with its present visits, by part. */
export function siteParts(state: WeekState, site: number): SiteParts {
  const { week } = state;
  const { tables, days, problem, publishedShift, changeMicros } = week;
  const { nodes, overflowMicros, leftAtEndMicros } = tables[site]!;
  const visits = state.visitDays[site]!;
  let overflow = 0;
  let change = 0;
  let a = 0;
  for (let rest = visits; rest !== 0; rest &= rest - 1) {
    const day = 31 - Math.clz32(rest & -rest);
    overflow += overflowMicros[a * nodes + day + 1]!;
    a = day + 1;
  }
  overflow += overflowMicros[a * nodes + nodes - 1]!;
  for (let day = 0; day < days; day++) {
    const node = site * days + day;
    if (changeMicros[node]! > 0 && state.shiftOf[node]! !== publishedShift[node]!)
      change += changeMicros[node]!;
  }
  let broken = 0;
  const keep = week.keepDays[site]!;
  for (let p = 0; p < keep.length; p++) if (week.due[site]![p] && (keep[p]! & visits) === 0) broken++;
  return {
    overflow,
    leftAtEnd: leftAtEndMicros[a]!,
    broken,
    habit: bits(week.usualMask[site]! & ~visits) * problem.prices.brokenHabitMicros,
    change,
  };
}

export function siteMicros(state: WeekState, site: number): number {
  const { overflow, leftAtEnd, broken, habit, change } = siteParts(state, site);
  return overflow + leftAtEnd + broken * state.week.searchPromiseMicros + habit + change;
}
