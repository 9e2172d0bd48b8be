/**
 * What a week costs, by part: the one evaluation that the search, the reasons and the what-ifs all use. Rounds
 * are priced by the timetable, sites by the tables, the store by its model. Every amount is a whole micro, so
 * sums are exact in any order.
 */
import { noMoney, type MoneySum } from './money.ts';
import { addArrival, type Arrivals, noArrivals, noStockCost, type StockCost, stockCost } from './stock.ts';
import { makeTimer, MAX_STOPS, type Timer } from './timetable.ts';
import type { Week } from './week.ts';
import { dayAfter, type WeekState } from './week-state.ts';

export type Evaluator = {
  readonly timer: Timer;
  /** Total micros; Infinity if a round cannot be driven. */
  total(state: WeekState): number;
  /** One site's own parts (overflow, left at end, lateness, habit, change) for the visits in `mask`. */
  siteMicros(state: WeekState, site: number): number;
  roundMicros(state: WeekState, shift: number): number;
  /** By part, in total and for each day. The state must be drivable. */
  price(state: WeekState): { readonly money: MoneySum; readonly byDay: readonly MoneySum[] };
  arrivals(state: WeekState): Arrivals;
  /** Slopes of the stock's cost at the last `arrivals` given: micros per usable kg, days × columns. */
  guide(state: WeekState, into: Float64Array): void;
};

export function makeEvaluator(week: Week): Evaluator {
  const { problem, days, tables, stock } = week;
  const { prices } = problem;
  const timer = makeTimer(week);
  const arrivals = noArrivals(stock);
  const cost: StockCost = noStockCost(days);

  const gather = (state: WeekState): Arrivals => {
    arrivals.meanKg.fill(0);
    arrivals.varianceKg2.fill(0);
    for (let site = 0; site < week.sites; site++) {
      const table = tables[site]!;
      const mask = state.mask[site]!;
      for (let day = dayAfter(mask, -1), node = 0; day >= 0; node = day + 1, day = dayAfter(mask, day)) {
        const entry = node * table.nodes + day + 1;
        addArrival(arrivals, stock, week.usableShare, site, day, table.massKg[entry]!, table.varianceKg2[entry]!, 1);
      }
    }
    return arrivals;
  };

  /** Calls `add` for each amount of a site, with the part and the day it belongs to. */
  const siteAmounts = (
    state: WeekState,
    site: number,
    add: (part: 'overflow' | 'left-at-end' | 'lateness' | 'habit' | 'change', day: number, micros: number) => void,
  ): void => {
    const table = tables[site]!;
    const mask = state.mask[site]!;
    let node = 0;
    for (let day = dayAfter(mask, -1); day >= 0; day = dayAfter(mask, day)) {
      add('overflow', day, table.overflowMicros[node * table.nodes + day + 1]!);
      node = day + 1;
    }
    add('overflow', days - 1, table.overflowMicros[node * table.nodes + table.nodes - 1]!);
    add('left-at-end', days - 1, table.leftAtEndMicros[node]!);
    const keep = week.keepDays[site]!;
    for (let p = 0; p < keep.length; p++)
      if ((mask & keep[p]!) === 0) add('lateness', dueDay(week, site, p), prices.brokenPromiseMicros);
    const missedHabits = week.usualMask[site]! & ~mask;
    for (let day = dayAfter(missedHabits, -1); day >= 0; day = dayAfter(missedHabits, day))
      add('habit', day, prices.brokenHabitMicros);
    for (let day = 0; day < days; day++) {
      const at = site * days + day;
      if (week.publishedShift[at] !== state.shiftOf[at]! && week.changeMicros[at]! > 0)
        add('change', day, week.changeMicros[at]!);
    }
  };

  const siteMicros = (state: WeekState, site: number): number => {
    let sum = 0;
    siteAmounts(state, site, (_part, _day, micros) => {
      sum += micros;
    });
    return sum;
  };

  const roundMicros = (state: WeekState, shift: number): number =>
    timer.cost(week.shifts[shift]!, state.orders, shift * MAX_STOPS, state.counts[shift]!);

  const stockMicros = (state: WeekState): number => {
    stockCost(problem, stock, gather(state), cost);
    return cost.shortage + cost.storeOverflow + cost.leftAtEnd;
  };

  return {
    timer,
    siteMicros,
    roundMicros,
    total(state) {
      let sum = 0;
      for (let shift = 0; shift < week.shifts.length; shift++) sum += roundMicros(state, shift);
      for (let site = 0; site < week.sites; site++) sum += siteMicros(state, site);
      return sum + stockMicros(state);
    },
    price(state) {
      const byDay = Array.from({ length: days }, noMoney);
      for (const shift of week.shifts) {
        const parts = timer.lay(shift, state.orders, shift.index * MAX_STOPS, state.counts[shift.index]!);
        if (!parts) continue;
        const day = byDay[shift.day]!;
        day.distance += parts.distanceMicros;
        day.time += parts.timeMicros;
        day.overtime += parts.overtimeMicros;
        day.unloading += parts.unloadMicros;
      }
      for (let site = 0; site < week.sites; site++)
        siteAmounts(state, site, (part, day, micros) => {
          byDay[day]![part] += micros;
        });
      stockMicros(state);
      for (let day = 0; day < days; day++) {
        byDay[day]!.shortage += cost.shortageByDay[day]!;
        byDay[day]!['store-overflow'] += cost.storeOverflowByDay[day]!;
      }
      byDay[days - 1]!['left-at-end'] += cost.leftAtEnd;
      const money = noMoney();
      for (const day of byDay) for (const part of Object.keys(day) as (keyof MoneySum)[]) money[part] += day[part];
      return { money, byDay };
    },
    arrivals: gather,
    guide(state, into) {
      stockCost(problem, stock, gather(state), cost, into);
    },
  };
}

/** The last day of a promise's windows: when it is broken, it is broken by then. */
function dueDay(week: Week, site: number, promise: number): number {
  const untilAt = week.problem.sites[site]!.promises[promise]!.windows.at(-1)!.untilAt;
  const { dayStartsAt } = week.problem;
  let day = 0;
  while (day < week.days - 1 && dayStartsAt[day + 1]! < untilAt) day++;
  return day;
}

