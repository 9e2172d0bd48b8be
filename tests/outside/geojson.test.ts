/** GeoJSON and geo: URIs against their standards, and ring orientation against Turf. */
import { booleanClockwise } from '@turf/turf';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  boundingBox,
  fromCoordinates,
  isCounterClockwise,
  isInBox,
  isLinearRing,
  rightHanded,
  toCoordinates,
} from '../../src/core/quantity/geojson.ts';
import { geoUri } from '../../src/web/shared/uris.ts';

// RFC 7946 appendix A.3: a polygon with a hole; the outer ring is counter-clockwise, the hole clockwise.
const OUTER = [
  [100, 0],
  [101, 0],
  [101, 1],
  [100, 1],
  [100, 0],
];
const HOLE = [
  [100.8, 0.8],
  [100.8, 0.2],
  [100.2, 0.2],
  [100.2, 0.8],
  [100.8, 0.8],
];

test("the standard's own polygon follows the right-hand rule and is left as it is (RFC 7946 A.3)", () => {
  expect(isCounterClockwise(OUTER)).toBe(true);
  expect(isCounterClockwise(HOLE)).toBe(false);
  expect(rightHanded([OUTER, HOLE])).toEqual([OUTER, HOLE]);
});

test('rings wound the wrong way are turned round, not refused (RFC 7946 section 3.1.6)', () => {
  expect(rightHanded([OUTER.toReversed(), HOLE.toReversed()])).toEqual([OUTER, HOLE]);
});

test('a ring has four positions or more and ends where it begins (RFC 7946 section 3.1.6)', () => {
  expect(isLinearRing(OUTER)).toBe(true);
  expect(isLinearRing(OUTER.slice(0, 4))).toBe(false);
  expect(
    isLinearRing([
      [0, 0],
      [1, 1],
      [0, 0],
    ]),
  ).toBe(false);
});

test('orientation agrees with Turf on any star-shaped ring', () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: 0.1, max: 1, noNaN: true }), { minLength: 3, maxLength: 12 }),
      fc.boolean(),
      fc.double({ min: -170, max: 170, noNaN: true }),
      (radii, turned, x) => {
        const corners = radii.map((r, i) => {
          const a = (2 * Math.PI * i) / radii.length;
          return [x + r * Math.cos(a), r * Math.sin(a)];
        });
        const ring = [...corners, corners[0]!];
        const asked = turned ? ring.toReversed() : ring;
        expect(isCounterClockwise(asked)).toBe(!booleanClockwise(asked));
        expect(isCounterClockwise(asked)).toBe(!turned);
      },
    ),
    { seed: 7946 },
  );
});

test('a box around Fiji crosses the antimeridian and is 5 degrees wide (RFC 7946 section 5.2)', () => {
  const fiji = [
    { lat: -20, lon: 177 },
    { lat: -16, lon: -178 },
    { lat: -18, lon: 179.9 },
  ];
  expect(boundingBox(fiji)).toEqual([177, -20, -178, -16]);
  expect(isInBox([177, -20, -178, -16], { lat: -18, lon: 180 })).toBe(true);
  expect(isInBox([177, -20, -178, -16], { lat: -18, lon: 0 })).toBe(false);
});

test('a box away from the antimeridian is west, south, east, north (RFC 7946 section 5)', () => {
  const square = OUTER.map((c) => fromCoordinates(c)!);
  expect(boundingBox(square)).toEqual([100, 0, 101, 1]);
});

test('longitude comes before latitude (RFC 7946 section 3.1.1), and a swap beyond 90 degrees is caught', () => {
  expect(toCoordinates({ lat: 46, lon: -122 })).toEqual([-122, 46]);
  expect(fromCoordinates([-122, 46])).toEqual({ lat: 46, lon: -122 });
  expect(fromCoordinates([46, -122])).toBeUndefined();
});

test('a geo: URI has latitude before longitude (RFC 5870 section 3.4.2)', () => {
  expect(geoUri({ lat: 13.4125, lon: 103.8667 })).toBe('geo:13.4125,103.8667'); // the RFC's example
  expect(geoUri({ lat: 90, lon: 46 })).toBe(geoUri({ lat: 90, lon: 10 })); // at a pole longitude says nothing
  expect(geoUri({ lat: 1e-9, lon: -1e-9 })).toBe('geo:0,0'); // no exponent: section 3.3 has none
});
