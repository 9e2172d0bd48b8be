/** The plane against measured lines on the sphere (@turf/turf 7, a general-purpose library) and arithmetic by hand. */
import { bearing, distance } from '@turf/turf';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { boxAround, frameAround, planeAround, roundLengthM } from '../../../src/core/mapping/plane.ts';

const HOME = { lat: 46.210237, lon: -19.343161 };
const nearHome = fc.record({
  lat: fc.double({ min: HOME.lat - 0.09, max: HOME.lat + 0.09, noNaN: true }),
  lon: fc.double({ min: HOME.lon - 0.13, max: HOME.lon + 0.13, noNaN: true }),
});

test('a degree worked by hand', () => {
  // 6,371,008.7714 m × π / 180 = 111,195.080 m along a meridian; × cos 60° = 55,597.540 m along the parallel of 60°.
  const { toPlane } = planeAround({ lat: 60, lon: 10 });
  expect(toPlane({ lat: 59, lon: 10 }).y).toBeCloseTo(111_195.08, 2);
  expect(toPlane({ lat: 60, lon: 11 }).x).toBeCloseTo(55_597.54, 2);
  expect(toPlane({ lat: 60, lon: 10 })).toEqual({ x: 0, y: 0 });
});

test('within 10 km, lengths and directions from the middle are those of the sphere', () => {
  fc.assert(
    fc.property(nearHome, (place) => {
      const onSphereM = distance([HOME.lon, HOME.lat], [place.lon, place.lat], { units: 'meters' });
      fc.pre(onSphereM > 50);
      const { x, y } = planeAround(HOME).toPlane(place);
      // 10 km north of 46° a parallel is 0.16 % shorter; measured to the middle the error is about half of it.
      expect(Math.abs(Math.hypot(x, y) / onSphereM - 1)).toBeLessThan(0.0013);
      const onPlane = (Math.atan2(x, -y) * 180) / Math.PI;
      const turn = onPlane - bearing([HOME.lon, HOME.lat], [place.lon, place.lat]);
      expect(Math.abs(((turn + 540) % 360) - 180)).toBeLessThan(0.1);
    }),
  );
});

test('a place on the plane leads back to where it was', () => {
  fc.assert(
    fc.property(nearHome, (place) => {
      const { toPlane, toPosition } = planeAround(HOME);
      const back = toPosition(toPlane(place));
      expect(back.lat).toBeCloseTo(place.lat, 10);
      expect(back.lon).toBeCloseTo(place.lon, 10);
    }),
  );
});

test('a town on the antimeridian stays in one piece', () => {
  const { toPlane, toPosition } = planeAround({ lat: -17, lon: 179.99 });
  expect(toPlane({ lat: -17, lon: -179.99 }).x).toBeCloseTo(toPlane({ lat: -17, lon: 180.01 }).x, 6);
  expect(toPlane({ lat: -17, lon: -179.99 }).x).toBeGreaterThan(0);
  expect(toPosition({ x: 5000, y: 0 }).lon).toBeLessThan(-179.9);
});

test('no map is drawn around a pole', () => {
  expect(() => planeAround({ lat: 89.5, lon: 0 })).toThrow(RangeError);
  expect(() => planeAround({ lat: Number.NaN, lon: 0 })).toThrow(RangeError);
});

const OPTIONS = { width: 1000, minHeight: 500, maxHeight: 800, margin: 50, minWidthM: 400 };

test('a frame worked by hand', () => {
  // 3,000 m into 900 units: 0.3 units a metre. 2,000 m are 600 units high, with margins 700.
  const frame = frameAround({ left: -1000, right: 2000, top: -500, bottom: 1500 }, OPTIONS);
  expect(frame.unitsPerM).toBe(0.3);
  expect(frame.height).toBe(700);
  expect(frame.toPicture({ x: -1000, y: -500 })).toEqual({ x: 50, y: 50 });
  expect(frame.toPicture({ x: 2000, y: 1500 })).toEqual({ x: 950, y: 650 });
});

test('every place lies within the margins of its frame, however the places lie', () => {
  const metres = fc.double({ min: -30_000, max: 30_000, noNaN: true });
  fc.assert(
    fc.property(fc.array(fc.record({ x: metres, y: metres }), { minLength: 1, maxLength: 12 }), (places) => {
      const frame = frameAround(boxAround(places)!, OPTIONS);
      expect(frame.height).toBeGreaterThanOrEqual(OPTIONS.minHeight);
      expect(frame.height).toBeLessThanOrEqual(OPTIONS.maxHeight);
      for (const place of places) {
        const { x, y } = frame.toPicture(place);
        expect(x).toBeGreaterThanOrEqual(50 - 1e-6);
        expect(x).toBeLessThanOrEqual(950 + 1e-6);
        // Rounded to a whole unit of height.
        expect(y).toBeGreaterThanOrEqual(49.5);
        expect(y).toBeLessThanOrEqual(frame.height - 49.5);
        const back = frame.toPlane({ x, y });
        expect(Math.hypot(back.x - place.x, back.y - place.y)).toBeLessThan(1e-6);
      }
    }),
  );
});

test.each([
  [1, 1],
  [1.9, 1],
  [4.99, 2],
  [730, 500],
  [1000, 1000],
  [0.3, 0.2],
])('a bar of at most %f m says %f m', (atMostM, saysM) => {
  expect(roundLengthM(atMostM)).toBeCloseTo(saysM, 12);
});
