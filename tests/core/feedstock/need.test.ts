import fc from 'fast-check';
import { expect, test } from 'vitest';
import { coverDays, drawByDay, netFilmKg } from '../../../src/core/feedstock/need.ts';

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
