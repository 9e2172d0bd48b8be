/** Promises of a map's marks and names; no source beyond the papers the module names. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  crosses,
  overlaps,
  placeLabels,
  spreadApart,
  type ToLabel,
} from '../../../src/core/mapping/labels.ts';

const PICTURE = { left: 0, top: 0, right: 1000, bottom: 600 };
const within = (max: number) => fc.integer({ min: 0, max });
const label: fc.Arbitrary<ToLabel> = fc.record({
  at: fc.record({ x: within(1000), y: within(600) }),
  radius: fc.integer({ min: 3, max: 20 }),
  width: fc.integer({ min: 10, max: 160 }),
  height: fc.integer({ min: 8, max: 30 }),
});

test('no name covers another, a mark or the edge', () => {
  fc.assert(
    fc.property(fc.array(label, { maxLength: 40 }), fc.array(label, { maxLength: 10 }), (labels, marks) => {
      const taken = marks.map(({ at: { x, y }, radius }) => ({
        left: x - radius,
        right: x + radius,
        top: y - radius,
        bottom: y + radius,
      }));
      const boxes = placeLabels(labels, { picture: PICTURE, taken, lines: [] }).flatMap((place) =>
        place ? [place.box] : [],
      );
      for (const [i, box] of boxes.entries()) {
        expect([...taken, ...boxes.slice(0, i)].some((other) => overlaps(other, box))).toBe(false);
        expect(box.left >= 0 && box.top >= 0 && box.right <= 1000 && box.bottom <= 600).toBe(true);
      }
    }),
  );
});

test('a name alone stands to the right; a line there sends it elsewhere', () => {
  const alone: ToLabel = { at: { x: 500, y: 300 }, radius: 10, width: 100, height: 20 };
  const place = (lines: readonly { x: number; y: number }[][]) =>
    placeLabels([alone], { picture: PICTURE, taken: [], lines })[0]!;
  // Radius 10 and a gap of 3 from the middle.
  expect(place([]).box).toEqual({ left: 513, top: 290, right: 613, bottom: 310 });
  expect(place([]).anchor).toBe('start');
  const moved = place([
    [
      { x: 500, y: 300 },
      { x: 900, y: 300 },
    ],
  ]);
  expect(crosses(moved.box, { x: 500, y: 300 }, { x: 900, y: 300 })).toBe(false);
});

test('the first in order is served first, and where there is no room there is no name', () => {
  const tiny = { left: 0, top: 0, right: 130, bottom: 24 };
  const wide: ToLabel = { at: { x: 10, y: 12 }, radius: 5, width: 100, height: 20 };
  expect(
    placeLabels([wide, wide], { picture: tiny, taken: [], lines: [] }).map((place) => place !== undefined),
  ).toEqual([true, false]);
});

test('a name that finds no room close by may stand off, and says so', () => {
  const at = { x: 500, y: 300 };
  const wall = { left: 440, right: 560, top: 262, bottom: 338 };
  const [place] = placeLabels([{ at, radius: 5, width: 60, height: 14 }], {
    picture: PICTURE,
    taken: [wall],
    lines: [],
  });
  expect(place!.isFar).toBe(true);
});

test('marks are spread until none is nearer than asked, and those with room stay', () => {
  const places = fc.array(fc.record({ x: within(60), y: within(60) }), { minLength: 2, maxLength: 8 });
  fc.assert(
    fc.property(places, (points) => {
      const at = spreadApart(points, 20);
      for (const [i, p] of at.entries())
        for (const q of at.slice(0, i)) expect(Math.hypot(p.x - q.x, p.y - q.y)).toBeGreaterThan(18);
    }),
    { numRuns: 300 },
  );
  const apart = [
    { x: 0, y: 0 },
    { x: 20, y: 0 },
    { x: 0, y: 20 },
  ];
  expect(spreadApart(apart, 20)).toEqual(apart);
});

test('a mark that is held stays, and the others make room for it', () => {
  const [moved, held] = spreadApart(
    [
      { x: 4, y: 0 },
      { x: 0, y: 0 },
    ],
    20,
    1,
  );
  expect(held).toEqual({ x: 0, y: 0 });
  expect(moved!.x).toBeCloseTo(20, 5);
});

test('a name that may not cross is left out where every place does', () => {
  const label: ToLabel = { at: { x: 500, y: 300 }, radius: 4, width: 40, height: 12 };
  const grid = Array.from({ length: 40 }, (_, i) => [
    { x: 0, y: 200 + 5 * i },
    { x: 1000, y: 200 + 5 * i },
  ]);
  const laid = (mayCross: boolean) =>
    placeLabels([label], { picture: PICTURE, taken: [], lines: grid, mayStandOff: false, mayCross })[0];
  expect(laid(true)).toBeDefined();
  expect(laid(false)).toBeUndefined();
});
