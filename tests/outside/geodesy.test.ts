/**
 * Distances against published geodesic lines and a haversine table. The haversine column was computed outside
 * the project with R = 6371008.7714 m, the WGS84 column with a published geodesic routine (facts.md D4).
 */
import { expect, test } from 'vitest';
import { EARTH_RADIUS_M, greatCircleM } from '../../src/core/quantity/geodesy.ts';

const LINES: readonly [
  name: string,
  from: [number, number],
  to: [number, number],
  haversineM: number,
  wgs84M: number,
][] = [
  ['a degree of the equator', [0, 0], [0, 1], 111_195.08, 111_319.4908],
  ['a degree of the meridian', [0, 0], [1, 0], 111_195.08, 110_574.3886],
  ['a degree of longitude at 60 north', [60, 0], [60, 1], 55_597.01, 55_799.4704],
  ['across the antimeridian', [0, 179.5], [0, -179.5], 111_195.08, 111_319.4908],
  ['Cambridge to Paris', [52.205, 0.119], [48.857, 2.351], 404_279.72, 404_607.806],
  ['London to Paris', [51.5074, -0.1278], [48.8566, 2.3522], 343_556.53, 343_923.1201],
  ['New York to London', [40.7128, -74.006], [51.5074, -0.1278], 5_570_229.85, 5_585_233.5789],
  ['Nashville to Los Angeles', [36.12, -86.67], [33.94, -118.4], 2_886_448.42, 2_892_776.9574],
  // Geoscience Australia's test of the inverse problem: 54972.271 m.
  [
    'Flinders Peak to Buninyong',
    [-37.95103341666667, 144.42486788888888],
    [-37.65282113888889, 143.92649552777777],
    54_925.51,
    54_972.271,
  ],
];
const km = (line: (typeof LINES)[number]) =>
  greatCircleM({ lat: line[1][0], lon: line[1][1] }, { lat: line[2][0], lon: line[2][1] });

test.each(LINES)('%s agrees with the haversine table to a millionth', (...line) => {
  expect(Math.abs(km(line) / line[3] - 1)).toBeLessThan(1e-6);
});

test.each(LINES)('%s lies within 0.6 % of the WGS84 ellipsoid', (...line) => {
  expect(Math.abs(km(line) / line[4] - 1)).toBeLessThan(0.006);
});

// Ellipsoidal lengths published in several test sets (facts.md D4).
test.each([
  ["Land's End to John o' Groats", 50.06632, -5.71475, 58.64402, -3.07009, 969_954.166314],
  ['Moscow to St Petersburg', 55.755837, 37.617683, 59.93095, 30.361865, 633_278.594],
  ['nearly the other side of the earth', 0, 0, 0.5, 179.5, 19_936_288.579],
])('%s is a number within 0.6 % of the published length', (_name, lat1, lon1, lat2, lon2, publishedM) => {
  expect(
    Math.abs(greatCircleM({ lat: lat1, lon: lon1 }, { lat: lat2, lon: lon2 }) / publishedM - 1),
  ).toBeLessThan(0.006);
});

test("where Vincenty's method does not converge there is still an answer, longer than the line before it", () => {
  // 0, 0 to 0.5, 179.7: the known failure of Vincenty (1975).
  const from = { lat: 0, lon: 0 };
  const nearlyM = greatCircleM(from, { lat: 0.5, lon: 179.5 });
  const nearerM = greatCircleM(from, { lat: 0.5, lon: 179.7 });
  expect(nearerM).toBeGreaterThan(nearlyM);
  expect(nearerM).toBeLessThan(Math.PI * EARTH_RADIUS_M);
});

test('the radius is the mean radius R1 of WGS84', () => {
  const a = 6_378_137;
  const b = a * (1 - 1 / 298.257223563);
  expect(EARTH_RADIUS_M).toBeCloseTo((2 * a + b) / 3, 3);
});
