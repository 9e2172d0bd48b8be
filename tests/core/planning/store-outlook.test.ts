/** The store under a plan's arrivals: agrees with the plan's own money and table, and with a reference for gammas. */
import gammaQuantile from '@stdlib/stats-base-dists-gamma-quantile';
import { expect, test } from 'vitest';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import { storeOutlook } from '../../../src/core/planning/store-outlook.ts';
import { randomTown } from '../../fixtures/planning-problems.ts';

const weekOf = (seed: number) => {
  const problem = randomTown(seed, { sites: 14, days: 7 });
  return { problem, plan: planWeek(problem, { seed: 1, iterations: 150 }, {}) };
};

test.each([1, 2, 3, 4])(
  'town %i: what is bought is what the plan says, grade by grade and in money',
  (seed) => {
    const { problem, plan } = weekOf(seed);
    const { boughtKg } = storeOutlook(problem, plan).costOf(problem.drawKg);
    problem.grades.forEach((grade, k) => {
      const rows = plan.stock.filter((row) => row.grade === grade);
      // The table is rounded to the gram, day by day.
      expect(boughtKg[k]).toBeCloseTo(
        rows.reduce((sum, row) => sum + row.shortKg, 0),
        1,
      );
    });
    const micros = boughtKg.reduce((sum, kg, k) => sum + kg * problem.buyPriceMicrosPerKg[k]!, 0);
    expect(Math.abs(micros - plan.money.shortage)).toBeLessThan(10);
  },
);

test('an empty week brings nothing: all of the need is bought, at every quantile', () => {
  const { problem, plan } = weekOf(1);
  const idle = { ...plan, rounds: [] };
  const { boughtKg, boughtAtKg } = storeOutlook(problem, idle).costOf(problem.drawKg);
  const needKg = problem.grades.map((_, k) =>
    Math.max(0, problem.drawKg.reduce((sum, day) => sum + day[k]!, 0) - problem.stockKg[k]!),
  );
  boughtKg.forEach((kg, k) => {
    expect(kg).toBeCloseTo(needKg[k]!, 9);
  });
  const total = needKg.reduce((a, b) => a + b, 0);
  for (const kg of boughtAtKg) expect(kg).toBeCloseTo(total, 9);
});

test('one site, one day, one grade: the quantiles are those of the reference', () => {
  const town = randomTown(3, { sites: 1, days: 2 });
  const site = town.sites[0]!;
  const problem = {
    ...town,
    sites: [
      {
        ...site,
        model: { ...site.model, gradeShares: { 'ldpe-clear': 1 as const }, gradeConcentration: 1e12 },
      },
    ],
    grades: ['ldpe-clear' as const],
    stockKg: [0],
    drawKg: [[0], [200]],
    buyPriceMicrosPerKg: [90_000_000],
    storeLimitKg: 1e6,
  };
  const plan = planWeek(problem, { seed: 1, iterations: 50 }, {});
  const row = plan.stock.at(-1)!;
  const arrivedKg = plan.stock.reduce((sum, day) => sum + day.arrivingKg, 0);
  expect(arrivedKg).toBeGreaterThan(0);
  const { boughtAtKg } = storeOutlook(problem, plan).costOf(problem.drawKg);
  // The plan's table gives the 90 % quantile of what arrived: stock = bought + arrived - drawn.
  const high = row.highKg + 200 - plan.stock.reduce((sum, day) => sum + day.shortKg, 0);
  expect(boughtAtKg[89]).toBeCloseTo(200 - high, 1);
  // By two points of the distribution its shape follows: the median must be the reference's.
  const variance = varianceBy(arrivedKg, 0.9, high);
  const median = gammaQuantile(0.5, arrivedKg ** 2 / variance, arrivedKg / variance);
  expect(boughtAtKg[49]).toBeCloseTo(200 - median, 0);
});

/** The variance at which a gamma of this mean has this quantile, by halving. */
function varianceBy(mean: number, p: number, quantile: number): number {
  let [low, high] = [1e-3, mean * mean];
  for (let i = 0; i < 80; i++) {
    const middle = (low + high) / 2;
    if (gammaQuantile(p, mean ** 2 / middle, mean / middle) < quantile) low = middle;
    else high = middle;
  }
  return low;
}

test('safe days fall as less risk is taken', () => {
  const { problem, plan } = weekOf(2);
  const outlook = storeOutlook(problem, plan);
  for (const grade of outlook.safeDaysOf(0.05).keys()) {
    const days = [0.5, 0.2, 0.05, 0.01].map((risk) => outlook.safeDaysOf(risk).get(grade)!);
    expect(days).toEqual(days.toSorted((a, b) => b - a));
  }
});
