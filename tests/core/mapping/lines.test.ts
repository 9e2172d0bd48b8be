/** Thinning against @turf/turf's simplify (the same published algorithm); the rest worked by hand. */
import { lineString, simplify } from '@turf/turf';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  distanceToSegment,
  headingAt,
  lengthOf,
  movedAside,
  thinned,
} from '../../../src/core/mapping/lines.ts';

// Whole numbers: nearly equal distances would be told apart differently.
const point = fc.record({ x: fc.integer({ min: -50, max: 50 }), y: fc.integer({ min: -50, max: 50 }) });
const line = fc.array(point, { minLength: 2, maxLength: 30 });

test('keeps the points that a general-purpose library keeps', () => {
  const ours = [
    { x: 0, y: 0 },
    { x: 1, y: 0.1 },
    { x: 2, y: -0.1 },
    { x: 3, y: 5 },
    { x: 4, y: 6 },
    { x: 5, y: 7 },
    { x: 6, y: 8.1 },
    { x: 7, y: 9 },
    { x: 8, y: 9 },
    { x: 9, y: 9 },
  ];
  const theirs = simplify(lineString(ours.map(({ x, y }) => [x, y])), { tolerance: 1, highQuality: true });
  expect(thinned(ours, 1).map(({ x, y }) => [x, y])).toEqual(theirs.geometry.coordinates);
});

test('no point that was left out lies further off than was allowed', () => {
  fc.assert(
    fc.property(line, fc.integer({ min: 0, max: 20 }), (points, tolerance) => {
      const left = thinned(points, tolerance);
      expect(left[0]).toEqual(points[0]);
      expect(left.at(-1)).toEqual(points.at(-1));
      for (const p of points) {
        const away = Math.min(...left.slice(1).map((to, i) => distanceToSegment(p, left[i]!, to)));
        expect(away).toBeLessThanOrEqual(tolerance + 1e-9);
      }
    }),
  );
});

test('aside is to the right of travel, with y counting downwards', () => {
  // Eastwards, right is south: y grows. The corner of a right turn southwards draws in by the distance on both axes.
  expect(
    movedAside(
      [
        { x: 0, y: 0 },
        { x: 10, y: 0 },
        { x: 10, y: 10 },
      ],
      2,
    ),
  ).toEqual([
    { x: 0, y: 2 },
    { x: 8, y: 2 },
    { x: 8, y: 10 },
  ]);
});

test('there and back along one street are two lines', () => {
  const there = movedAside(
    [
      { x: 0, y: 0 },
      { x: 10, y: 0 },
    ],
    2,
  );
  const back = movedAside(
    [
      { x: 10, y: 0 },
      { x: 0, y: 0 },
    ],
    2,
  );
  expect(there.map(({ y }) => y)).toEqual([2, 2]);
  expect(back.map(({ y }) => y)).toEqual([-2, -2]);
});

test('a corner never runs away, and a U-turn stays a number', () => {
  fc.assert(
    fc.property(line, (points) => {
      for (const p of movedAside(points, 3)) expect(Number.isFinite(p.x) && Number.isFinite(p.y)).toBe(true);
      const steps = points.filter((p, i) => i === 0 || p.x !== points[i - 1]!.x || p.y !== points[i - 1]!.y);
      if (steps.length < 2) return;
      for (const [i, p] of movedAside(points, 3).entries())
        expect(Math.hypot(p.x - steps[i]!.x, p.y - steps[i]!.y)).toBeLessThanOrEqual(6 + 1e-9);
    }),
  );
});

test('half way along, and where it goes there', () => {
  // 30 east, then 10 south: half of 40 lies 20 along the first leg; nine tenths lie 6 down the second.
  const bent = [
    { x: 0, y: 0 },
    { x: 30, y: 0 },
    { x: 30, y: 10 },
  ];
  expect(lengthOf(bent)).toBe(40);
  expect(headingAt(bent, 0.5)).toEqual({ x: 20, y: 0, degrees: 0 });
  expect(headingAt(bent, 0.9)).toEqual({ x: 30, y: 6, degrees: 90 });
  expect(
    headingAt(
      [
        { x: 1, y: 1 },
        { x: 1, y: 1 },
      ],
      0.5,
    ),
  ).toBeUndefined();
});
