import { expect, test } from 'vitest';
import { shortRound } from '../../../src/core/simulation/hand-policies.ts';
import { compareYears, estimate, pairedRatio } from '../../../src/core/simulation/report.ts';
import { makeWorld, USUAL_WORLD } from '../../../src/core/simulation/world.ts';
import { NO_MONEY_YET, NOTHING_YET, type YearResult } from '../../../src/core/simulation/year-result.ts';

// Student's t at 97.5 %: 12.706 for 1 degree of freedom, 2.365 for 7 (any printed table, e.g. NIST/SEMATECH e-Handbook of
// Statistical Methods, 1.3.6.7.2).
test('the interval of a mean is Student’s', () => {
  const two = estimate([1, 3]);
  // s = sqrt 2, s / sqrt n = 1.
  expect(two.mean).toBe(2);
  expect(two.high! - two.mean).toBeCloseTo(12.706, 3);
  const eight = estimate([1, 2, 3, 4, 5, 6, 7, 8]);
  expect(eight.mean - eight.low!).toBeCloseTo(2.365 * Math.sqrt(6 / 8), 2);
  expect(estimate([4])).toEqual({ mean: 4 });
});

// Worked by hand. y = 1, 3; x = 2, 4: ratio 4/6; residuals y - r x = -1/3, 1/3, s = sqrt 2 / 3, s / sqrt n = 1/3; over the
// mean of x, 3, that is 1/9, times 12.706.
test('a ratio of paired means has the interval of its residuals', () => {
  const ratio = pairedRatio([
    [1, 2],
    [3, 4],
  ])!;
  expect(ratio.mean).toBeCloseTo(2 / 3, 12);
  expect(ratio.high! - ratio.mean).toBeCloseTo(12.706 / 9, 3);
  expect(ratio.mean - ratio.low!).toBeCloseTo(12.706 / 9, 3);
  // Worlds differ tenfold, but the one always needs half of the other: nothing is uncertain.
  const half = pairedRatio([
    [1, 2],
    [10, 20],
    [5, 10],
  ])!;
  expect(half.high! - half.low!).toBeCloseTo(0, 12);
  expect(pairedRatio([[3, 0]])).toBeNull();
  expect(pairedRatio([[3, 4]])).toEqual({ mean: 0.75 });
});

const year = (policy: string, seed: number, over: Partial<YearResult>): YearResult => ({
  policy,
  seed,
  scoredDays: 300,
  ...NOTHING_YET,
  collectedKg: 1000,
  cameKg: 1000,
  unavoidableKg: 0,
  money: NO_MONEY_YET,
  costMicros: 0,
  waitingMoreKg: 0,
  ...over,
});

test('policies are compared over the worlds that both have been through', () => {
  const { reports, comparisons } = compareYears([
    year('a', 1, { distanceM: 100_000 }),
    year('a', 2, { distanceM: 300_000 }),
    year('b', 1, { distanceM: 200_000 }),
  ]);
  expect(reports.map((report) => report.figures.kmPerTonne.mean)).toEqual([200, 200]);
  const [ab] = comparisons.filter((c) => c.policy === 'a');
  // In world 1 alone: 100 against 200 km a tonne.
  expect(ab).toMatchObject({ against: 'b', worlds: 1 });
  expect(ab!.ratios.kmPerTonne).toBe(0.5);
  expect(ab!.lessIn.kmPerTonne).toBe(1);
  // No kilometre more of nothing.
  expect(ab!.ratios.overflowDays).toBeNull();
});

test('a hand-made round visits each stop once, and turning no stretch round makes it shorter', () => {
  for (let seed = 1; seed <= 5; seed++) {
    const world = makeWorld(seed, { ...USUAL_WORLD, donors: 14, weeks: 2 });
    const stops = world.sites.map((_, i) => i);
    const order = shortRound(world, stops);
    expect([...order].sort((a, b) => a - b)).toEqual(stops);
    const length = (round: readonly number[]): number => {
      const places = [0, ...round.map((i) => world.sites[i]!.place), 0];
      return places
        .slice(1)
        .reduce((m, to, k) => m + world.travel.legM[places[k]! * world.travel.places + to]!, 0);
    };
    for (let i = 0; i < order.length; i++)
      for (let j = i + 1; j < order.length; j++) {
        const turned = [...order.slice(0, i), ...order.slice(i, j + 1).reverse(), ...order.slice(j + 1)];
        expect(length(turned)).toBeGreaterThanOrEqual(length(order));
      }
  }
});
