/** A week's money by part, in total and by day, from the state that the search keeps. */
import { type MoneySum, noMoney } from './money.ts';
import { siteParts } from './site-cost.ts';
import { MAX_STOPS } from './steps.ts';
import type { Week } from './week.ts';
import { stateMicros, summedMicros, type WeekState } from './week-state.ts';

export function weekMoney(state: WeekState): MoneySum {
  const { week, counts } = state;
  const money = noMoney();
  for (let s = 0; s < counts.length; s++) addRound(state, s, money);
  for (let i = 0; i < week.sites; i++) addSite(state, i, money);
  addStore(state, money);
  return money;
}

/**
 * The parts that one round, one site and the store make up: two states that differ in nothing else differ by the
 * difference of these, to the micro.
 */
export function partMoney(state: WeekState, shift: number, site: number): MoneySum {
  const money = noMoney();
  addRound(state, shift, money);
  addSite(state, site, money);
  addStore(state, money);
  return money;
}

function addSite(state: WeekState, site: number, money: MoneySum): void {
  const parts = siteParts(state, site);
  money.overflow += parts.overflow;
  money['left-at-end'] += parts.leftAtEnd;
  money.lateness += parts.broken * state.week.problem.prices.brokenPromiseMicros;
  money.habit += parts.habit;
  money.change += parts.change;
}

function addStore(state: WeekState, money: MoneySum): void {
  summedMicros(state);
  money.shortage += state.stock.shortage;
  money['store-overflow'] += state.stock.storeOverflow;
  money['left-at-end'] += state.stock.leftAtEnd;
}

export function addRound(state: WeekState, shift: number, money: MoneySum): void {
  const cost = state.timer.lay(
    state.week.shifts[shift]!,
    state.orders,
    shift * MAX_STOPS,
    state.counts[shift]!,
  );
  if (!cost) return;
  money.distance += cost.distanceMicros;
  money.time += cost.timeMicros;
  money.overtime += cost.overtimeMicros;
  money.unloading += cost.unloadMicros;
}

/** The same money on the day it falls on; what is left at the end falls on the last day. */
export function moneyByDay(state: WeekState): MoneySum[] {
  const { week } = state;
  const { days, problem } = week;
  const byDay = problem.days.map(() => noMoney());
  for (let s = 0; s < state.counts.length; s++) addRound(state, s, byDay[week.shifts[s]!.day]!);
  for (let site = 0; site < week.sites; site++) {
    const { nodes, overflowMicros } = week.tables[site]!;
    let a = 0;
    for (let b = 1; b < nodes; b++) {
      // A visit day ends a stretch; the days between share what it costs as it grows.
      const before = b - 1 === a ? 0 : overflowMicros[a * nodes + b - 1]!;
      byDay[Math.min(b, days) - 1]!.overflow += overflowMicros[a * nodes + b]! - before;
      if (b <= days && state.visitDays[site]! & (1 << (b - 1))) a = b;
    }
    const parts = siteParts(state, site);
    byDay[days - 1]!['left-at-end'] += parts.leftAtEnd;
    for (let day = 0; day < days; day++) {
      const node = site * days + day;
      if (week.usualMask[site]! & ~state.visitDays[site]! & (1 << day))
        byDay[day]!.habit += problem.prices.brokenHabitMicros;
      if (week.changeMicros[node]! > 0 && state.shiftOf[node]! !== week.publishedShift[node]!)
        byDay[day]!.change += week.changeMicros[node]!;
    }
    problem.sites[site]!.promises.forEach((promise, p) => {
      if (!week.due[site]![p] || week.keepDays[site]![p]! & state.visitDays[site]!) return;
      byDay[lastDayOf(week, promise.windows)]!.lateness += problem.prices.brokenPromiseMicros;
    });
  }
  stateMicros(state);
  for (let day = 0; day < days; day++) {
    byDay[day]!.shortage += state.stock.shortageByDay[day]!;
    byDay[day]!['store-overflow'] += state.stock.storeOverflowByDay[day]!;
  }
  byDay[days - 1]!['left-at-end'] += state.stock.leftAtEnd;
  return byDay;
}

/** Day of the horizon on which the last of these windows ends; the first or last day where it lies outside. */
function lastDayOf(week: Week, windows: readonly { readonly untilAt: number }[]): number {
  const untilAt = windows.reduce((last, window) => Math.max(last, window.untilAt), -Infinity);
  let day = 0;
  while (day < week.days - 1 && untilAt > week.problem.dayStartsAt[day + 1]!) day++;
  return day;
}
