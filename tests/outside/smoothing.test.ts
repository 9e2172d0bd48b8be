/** The simple rules that the estimator is measured against, on a textbook series. */
import { expect, test } from 'vitest';
import { backtest } from '../../src/core/accumulation/backtest.ts';
import type { SiteHistory } from '../../src/core/accumulation/site-history.ts';

const WEEK_S = 604_800;
const START = Date.UTC(2026, 0, 5) / 1000;
/** A teaching page's series for simple exponential smoothing, alpha 0.3, first forecast the first value. */
const SALES = [99, 88, 50, 58, 62, 60, 55, 62, 71, 65];

/** One value a week; the first row only starts the clock. */
const history: SiteHistory = {
  siteId: 'a',
  kind: 'shop',
  zone: 'UTC',
  declaredBagsPerWeek: 0,
  bagKg: 1,
  litresPerKg: 1,
  containers: [{ count: 1, litresEach: 1e9 }],
  openWeekdays: [true, true, true, true, true, true, true],
  closedDays: [],
  fillsSinceAt: START,
  isStartKnown: false,
  declaredShares: {},
  evidence: [0, ...SALES].map((netKg, i) => ({
    kind: 'picked-up',
    id: `e${String(i).padStart(2, '0')}`,
    at: START + i * WEEK_S,
    netKg,
    foundFull: false,
    method: 'scale',
  })),
  surges: [],
};

test('smoothing at 0.3 has the published mean absolute deviation of 14.14', () => {
  expect(backtest([history]).baselines.smoothedRate.mae).toBeCloseTo(14.14, 2);
});

test('the last value misses by 10.00 on average, the mean of the last four by 12.42 (worked by hand)', () => {
  // |88-99| + |50-88| + 8 + 4 + 2 + 5 + 7 + 9 + 6 = 90 over nine.
  const { lastValue, movingAverage } = backtest([history]).baselines;
  expect(lastValue.mae).toBeCloseTo(10, 9);
  // Means 99, 93.5, 79, 73.75, 64.5, 57.5, 58.75, 59.75, 62 against 88, 50, 58, 62, 60, 55, 62, 71, 65.
  expect(movingAverage.mae).toBeCloseTo((11 + 43.5 + 21 + 11.75 + 4.5 + 2.5 + 3.25 + 11.25 + 3) / 9, 9);
});
