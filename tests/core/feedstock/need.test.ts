import fc from 'fast-check';
import { expect, test } from 'vitest';
import { coverAfter, coverDays, drawByDay, netFilmKg } from '../../../src/core/feedstock/need.ts';

const kneeler = {
  id: 'kneeler',
  filmKgPerUnit: 0.9,
  yieldShare: 0.9,
  offCutReturnShare: 0.5,
  gradeShares: { 'ldpe-clear': 0.6, 'ldpe-printed': 0.4 },
} as const;

test('ten kneelers draw 9 kg less the half of a tenth that comes back as off-cuts', () => {
  // 10 × 0.9 = 9 kg in; off-cuts 10 % = 0.9 kg, half of them return: 9 - 0.45 = 8.55 kg.
  expect(netFilmKg(kneeler, 10)).toBeCloseTo(8.55, 12);
  const draw = drawByDay(
    ['2026-06-15', '2026-06-16'],
    ['ldpe-clear', 'ldpe-printed', 'hdpe-white'],
    [kneeler],
    [{ productId: 'kneeler', day: '2026-06-16', units: 10 }],
  );
  expect(draw[0]).toEqual([0, 0, 0]);
  expect(draw[1]![0]).toBeCloseTo(0.6 * 8.55, 12);
  expect(draw[1]![1]).toBeCloseTo(0.4 * 8.55, 12);
  expect(draw[1]![2]).toBe(0);
});

test('a run of an unknown product is refused, not dropped', () => {
  const run = { productId: 'nobody', day: '2026-06-15', units: 1 };
  expect(() => drawByDay(['2026-06-15'], ['ldpe-clear'], [kneeler], [run])).toThrow(/unknown product nobody/);
});

test('film in is product, lost off-cuts and returned off-cuts, to the last gram', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 10_000 }),
      fc.double({ min: 0.01, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (units, yieldShare, offCutReturnShare) => {
        const recipe = { ...kneeler, yieldShare, offCutReturnShare };
        const inKg = units * recipe.filmKgPerUnit;
        const product = inKg * yieldShare;
        const lost = inKg * (1 - yieldShare) * (1 - offCutReturnShare);
        expect(netFilmKg(recipe, units)).toBeCloseTo(product + lost, 6);
      },
    ),
  );
});

test('cover is the number of whole days that stock feeds', () => {
  expect(coverDays(10, [4, 4, 4])).toBe(2);
  expect(coverDays(12, [4, 4, 4])).toBe(Number.POSITIVE_INFINITY);
  expect(coverDays(0, [0, 0, 1])).toBe(2);
});

// Worked by hand: pressed on weekdays at 10 kg, so a mean of 50 / 7 = 7.1 kg a day.
test('past the plan its last week comes again, day for day, and not its mean', () => {
  const week = [10, 10, 10, 10, 10, 0, 0];
  // Sunday evening: Monday and Tuesday are fed by 20 to 29 kg, Wednesday not. By the mean 29 kg would last four days.
  expect(coverAfter(29, week, 6, 30)).toBe(2);
  // Friday evening: the weekend needs nothing.
  expect(coverAfter(29, week, 4, 30)).toBe(4);
  // Two weeks and a half: 17 days, the last of them Wednesday; Thursday's 10 kg are missing. 13 × 10 = 130.
  expect(coverAfter(130, week, 6, 30)).toBe(17);
  expect(coverAfter(1e6, week, 6, 30)).toBe(30);
  // Of a plan of eleven days the last seven: 4, 4, 4, 1, 1, 1, 1.
  expect(coverAfter(12, [9, 9, 9, 9, 4, 4, 4, 1, 1, 1, 1], 10, 30)).toBe(3);
  expect(coverAfter(0, [0, 0, 0], 0, 30)).toBe(30);
});

test('a day before its end the plan’s own days count first', () => {
  expect(coverAfter(12, [0, 5, 5, 20, 1, 1, 1], 0, 30)).toBe(2);
});
