/**
 * The store under a plan's own arrivals, for any production: what buying in, a full store and the stock at the end
 * cost by the plan's evaluation, and how long each grade lasts with some certainty.
 */
import { safeDays } from '../feedstock/safe-days.ts';
import type { StoreCost } from '../feedstock/shift-production.ts';
import { gammaQuantile } from '../quantity/special.ts';
import type { Kg } from '../quantity/units.ts';
import type { Grade } from '../vocabulary.ts';
import { collected } from './assemble.ts';
import type { Plan, StockDay } from './plan.ts';
import type { PlanningProblem } from './problem.ts';
import { withPromises } from './promises.ts';
import { ordersOfPlan, stateOfOrders } from './start.ts';
import { noStockCost, type StockModel, shortfall, stockCost, stockDays, stockModel } from './stock.ts';
import { layOutWeek } from './week.ts';

/** Evenly spaced: 10 % is the eleventh of 99 and 90 % the eleventh from behind. */
const QUANTILES = Array.from({ length: 99 }, (_, i) => (i + 1) / 100);

export type StoreOutlook = {
  /** [day][grade] as in the problem. */
  readonly costOf: (drawKg: readonly (readonly Kg[])[]) => StoreCost;
  /** Every grade and day, as the problem's production and the plan's rounds have it now. */
  readonly days: readonly StockDay[];
  /** Per grade that is drawn: days that go by with at most a chance of `riskLimit` of running short. */
  readonly safeDaysOf: (riskLimit: number) => ReadonlyMap<Grade, number>;
};

export function storeOutlook(problem: PlanningProblem, plan: Plan): StoreOutlook {
  const { week } = withPromises(layOutWeek(problem));
  const state = stateOfOrders(week, ordersOfPlan(week, plan));
  const { arrivals } = state;
  const { days, drawn, columns } = week.stock;
  const common = problem.prices.commonSd;
  const cumulated = (column: number) => {
    let meanKg = 0;
    let variance = 0;
    return Array.from({ length: days }, (_, day) => {
      meanKg += arrivals.meanKg[day * columns + column]!;
      variance += arrivals.varianceKg2[day * columns + column]!;
      return { meanKg, varianceKg2: variance + (common * meanKg) ** 2 };
    });
  };
  const arrived = drawn.map((_, column) => cumulated(column));
  // Cumulated arrivals hang together from day to day and share the weather: one quantile for all of them.
  const arrivedAt = QUANTILES.map((p) =>
    arrived.map((byDay) =>
      byDay.map(({ meanKg, varianceKg2 }) =>
        meanKg > 0 && varianceKg2 > 0
          ? gammaQuantile(p, meanKg ** 2 / varianceKg2, varianceKg2 / meanKg)
          : meanKg,
      ),
    ),
  );
  const pair = new Float64Array(2);
  const expectedShort = (model: StockModel, column: number, day: number): Kg => {
    const { meanKg, varianceKg2 } = arrived[column]![day]!;
    shortfall(model.need[day * columns + column]!, meanKg, varianceKg2, pair);
    return pair[1]!;
  };

  return {
    days: stockDays(problem, collected(state)),
    costOf(drawKg) {
      const changed = { ...problem, drawKg };
      const model = stockModel(changed);
      const cost = stockCost(changed, model, arrivals, noStockCost(days));
      const boughtKg = problem.grades.map(() => 0);
      model.drawn.forEach((grade, column) => {
        for (let day = 0; day < days; day++)
          boughtKg[grade] = Math.max(boughtKg[grade]!, expectedShort(model, column, day));
      });
      const boughtAtKg = arrivedAt.map((byColumn) =>
        byColumn.reduce((sum, byDay, column) => {
          const most = byDay.reduce(
            (short, kg, day) => Math.max(short, model.need[day * columns + column]! - kg),
            0,
          );
          return sum + most;
        }, 0),
      );
      return { micros: cost.shortage + cost.storeOverflow + cost.leftAtEnd, boughtKg, boughtAtKg };
    },
    safeDaysOf: (riskLimit) =>
      new Map(
        drawn.map((grade, column) => [
          problem.grades[grade]!,
          safeDays(
            problem.stockKg[grade]!,
            problem.drawKg.map((row) => row[grade]!),
            Array.from({ length: days }, (_, day) => ({
              meanKg: arrivals.meanKg[day * columns + column]!,
              varianceKg2: arrivals.varianceKg2[day * columns + column]!,
            })),
            common,
            riskLimit,
          ),
        ]),
      ),
  };
}
