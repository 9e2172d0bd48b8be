import fc from 'fast-check';
import { expect, test } from 'vitest';
import { geoUri, telUri } from '../../../src/web/shared/uris.ts';

/** RFC 5870, abstract and section 6.1: geo:13.4125,103.8667 is 13.4125 N, 103.8667 E. */
test('a geo: URI has latitude before longitude', () => {
  expect(geoUri({ lat: 13.4125, lon: 103.8667 })).toBe('geo:13.4125,103.8667');
});

/** RFC 5870 section 3.3: num = [ "-" ] 1*DIGIT [ "." 1*DIGIT ]; no exponent, no plus. */
test('any position is written by the grammar and comes back within a decimetre', () => {
  const form = /^geo:(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)$/;
  const lats = fc.double({ min: -89.9, max: 89.9, noNaN: true });
  const lons = fc.double({ min: -180, max: 180, noNaN: true });
  fc.assert(
    fc.property(lats, lons, (lat, lon) => {
      const found = form.exec(geoUri({ lat, lon }));
      // 5e-7 degrees of latitude are 0.06 m.
      expect(Math.abs(Number(found?.[1]) - lat)).toBeLessThanOrEqual(5.1e-7);
      expect(Math.abs(Number(found?.[2]) - lon)).toBeLessThanOrEqual(5.1e-7);
    }),
  );
});

test('tiny numbers have no exponent, zero no sign, and a pole no longitude (section 3.4.2)', () => {
  expect(geoUri({ lat: 1e-9, lon: -1e-9 })).toBe('geo:0,0');
  expect(geoUri({ lat: 90, lon: 47 })).toBe('geo:90,0');
  expect(geoUri({ lat: 10, lon: 100 })).toBe('geo:10,100');
});

/** RFC 3966 section 3: a global number is "+" and digits; spaces are not allowed in the URI. */
test('a telephone link holds what a dialler needs', () => {
  expect(telUri('+43 (0)316 / 555-0142')).toBe('tel:+433165550142');
  expect(telUri('0316 555 0142')).toBe('tel:03165550142');
  expect(telUri('')).toBeUndefined();
  expect(telUri('ask at the desk')).toBeUndefined();
});
