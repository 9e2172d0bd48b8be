import fc from 'fast-check';
import { expect, test } from 'vitest';
import { greatCircleM, isPosition } from '../../../src/core/quantity/geodesy.ts';
import { boundingBox, isInBox } from '../../../src/core/quantity/geojson.ts';

const position = fc.record({
  lat: fc.double({ min: -90, max: 90, noNaN: true }),
  lon: fc.double({ min: -180, max: 180, noNaN: true }),
});

test('from a place to itself is exactly nothing', () => {
  fc.assert(fc.property(position, (p) => greatCircleM(p, p) === 0));
});

/** Near the antipode the haversine loses half its digits: 2 R sqrt(2^-52) is about 0.2 m. */
const ANTIPODE_M = 0.5;

test('there is as far as back, never more than half the way round, and never less than a detour saves', () => {
  fc.assert(
    fc.property(position, position, position, (a, b, c) => {
      expect(greatCircleM(a, b)).toBeCloseTo(greatCircleM(b, a), 6);
      expect(greatCircleM(a, b)).toBeLessThanOrEqual(20_015_116);
      expect(greatCircleM(a, c)).toBeLessThanOrEqual(greatCircleM(a, b) + greatCircleM(b, c) + ANTIPODE_M);
    }),
  );
});

test.each([[{ lat: 91, lon: 0 }], [{ lat: 0, lon: 181 }], [{ lat: Number.NaN, lon: 0 }]])(
  '%o is refused',
  (bad) => {
    expect(isPosition(bad)).toBe(false);
    expect(() => greatCircleM(bad, { lat: 0, lon: 0 })).toThrow(RangeError);
  },
);

test('a box holds every place it was made of', () => {
  fc.assert(
    fc.property(fc.array(position, { minLength: 1, maxLength: 8 }), (places) => {
      const box = boundingBox(places)!;
      expect(places.every((place) => isInBox(box, place))).toBe(true);
      const width = (box[2] - box[0] + 360) % 360;
      const lons = places.map((p) => p.lon);
      expect(width).toBeLessThanOrEqual(Math.max(...lons) - Math.min(...lons) + 1e-9);
    }),
  );
});
