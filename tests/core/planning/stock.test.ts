import gammaCdf from '@stdlib/stats-base-dists-gamma-cdf';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import {
  addArrival,
  noArrivals,
  noStockCost,
  shortfall,
  stockCost,
  stockDays,
  stockModel,
} from '../../../src/core/planning/stock.ts';
import { seededRandom } from '../../../src/core/quantity/random.ts';
import { randomTown, siteModel, somePrices } from '../../fixtures/planning-problems.ts';

/** One site of pure clear film, two days of 10 kg each, 4 kg in stock, bought at 1.50. */
function smallWorks(over: Partial<PlanningProblem> = {}): PlanningProblem {
  const town = randomTown(1, { sites: 1, days: 2 });
  return {
    ...town,
    sites: [{ ...town.sites[0]!, model: siteModel('site-0', { gradeShares: { 'ldpe-clear': 1 } }) }],
    grades: ['ldpe-clear'],
    stockKg: [4],
    drawKg: [[10], [10]],
    buyPriceMicrosPerKg: [1_500_000],
    prices: { ...somePrices, contaminationShare: 0, commonSd: 0, endCoverDays: 1 },
    storeLimitKg: 1000,
    ...over,
  };
}

test('without arrivals, what is drawn beyond the stock is bought', () => {
  const problem = smallWorks();
  const model = stockModel(problem);
  const cost = stockCost(problem, model, noArrivals(model), noStockCost(2));
  // Day 0: 10 - 4 = 6 kg, 9.00. Day 1: 10 more, 15.00.
  expect([...cost.shortageByDay]).toEqual([9_000_000, 15_000_000]);
  expect(cost.shortage).toBe(24_000_000);
  // What was bought is used up: nothing is left to be worth anything.
  expect(cost.leftAtEnd).toBe(0);
});

test('a certain arrival covers the draw, and what is left counts up to the cover', () => {
  const problem = smallWorks();
  const model = stockModel(problem);
  const arrivals = noArrivals(model);
  addArrival(arrivals, model, 1, 0, 0, 40, 0, 1);
  const cost = stockCost(problem, model, arrivals, noStockCost(2));
  expect(cost.shortage).toBe(0);
  // 4 + 40 - 20 = 24 kg left, of which one day of draw, 10 kg, at half of 1.50.
  expect(cost.leftAtEnd).toBe(-7_500_000);
  addArrival(arrivals, model, 1, 0, 0, 40, 0, -1);
  expect(arrivals).toEqual(noArrivals(model));
});

test('film on day 1 does not help day 0, and what was bought then stays', () => {
  const problem = smallWorks();
  const model = stockModel(problem);
  const arrivals = noArrivals(model);
  addArrival(arrivals, model, 1, 0, 1, 8, 0, 1);
  const cost = stockCost(problem, model, arrivals, noStockCost(2));
  // Day 0: 6 kg bought. Day 1: 20 - 4 - 8 = 8 short by then, 2 more to buy.
  expect([...cost.shortageByDay]).toEqual([9_000_000, 3_000_000]);
});

test('the store pays for every kilogram above its limit, every day', () => {
  const problem = smallWorks({ storeLimitKg: 30, stockKg: [4] });
  const model = stockModel(problem);
  const arrivals = noArrivals(model);
  addArrival(arrivals, model, 1, 0, 0, 50, 0, 1);
  const cost = stockCost(problem, model, arrivals, noStockCost(2));
  // End of day 0: 44 kg, 14 too many; day 1: 34, 4 too many; 0.20 per kg and day.
  expect([...cost.storeOverflowByDay]).toEqual([2_800_000, 800_000]);
});

test('expected shortage agrees with simulation and with a reference gamma distribution', () => {
  const random = seededRandom(7);
  const out = new Float64Array(2);
  for (const [need, mean, variance] of [
    [30, 40, 100],
    [40, 40, 400],
    [60, 40, 160],
    [10, 40, 40],
  ] as const) {
    shortfall(need, mean, variance, out);
    const shape = (mean * mean) / variance;
    // stdlib's gamma distribution (shape, rate).
    expect(out[0]).toBeCloseTo(gammaCdf(need, shape, shape / mean), 10);
    // A gamma variable with whole or half shape: sum of squares of normals; shapes here are 16, 4, 10, 40.
    let sum = 0;
    const draws = 40_000;
    for (let i = 0; i < draws; i++) {
      let x = 0;
      for (let k = 0; k < shape; k++) x -= Math.log(1 - random.next());
      sum += Math.max(0, need - (x * mean) / shape);
    }
    expect(Math.abs(out[1]! - sum / draws)).toBeLessThan(0.02 * mean);
  }
});

test('the slope tells on average what a little more film changes', () => {
  let error = 0;
  let size = 0;
  const runs = 300;
  for (let seed = 1; seed <= runs; seed++) {
    const problem = { ...randomTown(seed, { sites: 4, days: 5 }), storeLimitKg: 60 };
    const model = stockModel(problem);
    const random = seededRandom(seed);
    const arrivals = noArrivals(model);
    for (let i = 0; i < 4; i++) {
      const kg = 5 + 40 * random.next();
      addArrival(arrivals, model, 0.96, i, random.below(5), kg, 30 + 100 * random.next(), 1);
    }
    const guide = new Float64Array(5 * model.columns);
    const total = (c: ReturnType<typeof noStockCost>) => c.shortage + c.storeOverflow + c.leftAtEnd;
    const was = total(stockCost(problem, model, arrivals, noStockCost(5), guide));
    const at = random.below(5) * model.columns;
    const slope = guide[at]! + guide[at + model.drawn.length]!;
    const moreKg = 0.01;
    arrivals.meanKg[at]! += moreKg;
    arrivals.meanKg[at + model.drawn.length]! += moreKg;
    const is = (total(stockCost(problem, model, arrivals, noStockCost(5))) - was) / moreKg;
    error += Math.abs(is - slope) / runs;
    size += Math.abs(is) / runs;
  }
  // It leaves out that the spread stays when the mean grows, and which day is the worst one then.
  expect(error).toBeLessThan(0.2 * size);
});

test('the table for people conserves mass: stock + arriving + bought - drawn = stock', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 9999 }), (seed) => {
      const problem = randomTown(seed, { sites: 4, days: 5 });
      const random = seededRandom(seed);
      const collected = Array.from({ length: 6 }, () => ({
        site: random.below(4),
        day: random.below(5),
        massKg: 30 * random.next(),
        varianceKg2: 40 * random.next(),
      }));
      const rows = stockDays(problem, collected);
      problem.grades.forEach((grade, k) => {
        let stock = problem.stockKg[k]!;
        for (const row of rows.filter((r) => r.grade === grade)) {
          stock += row.arrivingKg + row.shortKg - row.drawKg;
          expect(Math.abs(row.stockKg - Math.max(0, stock))).toBeLessThan(0.02);
          expect(row.lowKg).toBeLessThanOrEqual(row.highKg);
        }
      });
      const arriving = rows.reduce((sum, row) => sum + row.arrivingKg, 0);
      const clean = collected.reduce((sum, visit) => sum + visit.massKg * 0.96, 0);
      expect(Math.abs(arriving - clean)).toBeLessThan(0.05);
    }),
    { numRuns: 30 },
  );
});
