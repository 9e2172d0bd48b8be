/** GeoJSON by RFC 7946, the example of its section 1.5 among others, and the demo town's own layers. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { listMapLayers } from '../../src/store/map-layers.ts';
import { importWorkshop } from '../../src/usecases/import-workshop.ts';
import { groundOf, readGround } from '../../src/usecases/map-ground.ts';
import { readDayMap } from '../../src/web/coordinator/map/read-map.ts';
import { type Demo, openDemo } from '../fixtures/demo-app.ts';

let demo: Demo;
const folder = mkdtempSync(join(tmpdir(), 'feedround-ground-'));
beforeAll(async () => {
  demo = await openDemo();
});
afterAll(() => {
  demo.close();
  rmSync(folder, { recursive: true, force: true });
});

/** RFC 7946, section 1.5, to the letter but for white space. */
const RFC = `{"type":"FeatureCollection","features":[
{"type":"Feature","geometry":{"type":"Point","coordinates":[102.0,0.5]},"properties":{"prop0":"value0"}},
{"type":"Feature","geometry":{"type":"LineString","coordinates":[[102.0,0.0],[103.0,1.0],[104.0,0.0],[105.0,1.0]]},"properties":{"prop0":"value0","prop1":0.0}},
{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[100.0,0.0],[101.0,0.0],[101.0,1.0],[100.0,1.0],[100.0,0.0]]]},"properties":{"prop0":"value0","prop1":{"this":"that"}}}]}`;

test("the standard's own example is a place, a line and an area", () => {
  const ground = readGround(RFC);
  expect(ground.places).toEqual([{ kind: '', name: '', at: { lat: 0.5, lon: 102 } }]);
  expect(ground.lines[0]!.line.at(-1)).toEqual({ lat: 1, lon: 105 });
  expect(ground.areas[0]!.rings[0]).toHaveLength(5);
});

test('many in one, and nothing at all, are read as well', () => {
  const feature = (geometry: unknown) => ({ type: 'Feature', properties: null, geometry });
  const text = JSON.stringify({
    type: 'FeatureCollection',
    features: [
      feature({
        type: 'MultiPoint',
        coordinates: [
          [1, 2],
          [3, 4],
        ],
      }),
      feature({
        type: 'MultiLineString',
        coordinates: [
          [
            [1, 2],
            [3, 4],
          ],
        ],
      }),
      feature({
        type: 'MultiPolygon',
        coordinates: [
          [
            [
              [0, 0],
              [1, 0],
              [1, 1],
              [0, 0],
            ],
          ],
        ],
      }),
      feature(null),
    ],
  });
  const { places, lines, areas } = readGround(text);
  expect([places.length, lines.length, areas.length]).toEqual([2, 1, 1]);
});

test.each([
  ['no JSON', '{', /no JSON/],
  ['another kind of thing', '{"type":"Topology"}', /FeatureCollection/],
  [
    'latitude and longitude the wrong way about',
    '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[47,190]}}]}',
    /longitude first/,
  ],
])('%s is refused with what is wrong', (_what, text, words) => {
  expect(() => readGround(text)).toThrow(words);
});

test("the demo town's river, districts, places and streets are in the database and under its map", () => {
  expect(listMapLayers(demo.context.store).map(({ name }) => name)).toEqual([
    'districts',
    'places',
    'river',
    'roads',
  ]);
  const ground = groundOf(demo.context.store);
  expect(ground.areas.filter(({ kind }) => kind === 'river')).toHaveLength(1);
  expect(ground.places.map(({ name }) => name)).toContain('Mill Bridge');
  expect(ground.lines.some(({ kind }) => kind === 'residential')).toBe(true);
});

test('a layer of a file that cannot be drawn, or that takes the name of the road map, is refused; nothing is kept', () => {
  const file = join(folder, 'workshop.json');
  const write = (map: string, text: string) => {
    writeFileSync(join(folder, map), text);
    writeFileSync(
      file,
      JSON.stringify({
        name: 'W',
        zone: 'UTC',
        lat: 1,
        lon: 1,
        currency: 'EUR',
        storeLimitKg: 1,
        filmKgPerM3: 1,
        bagKg: 1,
        maps: [map],
        grades: [{ grade: 'ldpe-clear', name: 'Clear', buyPricePerKg: 1 }],
      }),
    );
  };
  const read = () => importWorkshop(demo.context, file, { dryRun: false, actor: 'test' });
  write('lake.geojson', '{"type":"Feature"}');
  expect(read).toThrow(/lake\.geojson: no GeoJSON that can be drawn/);
  write('roads.geojson', RFC);
  expect(read).toThrow(/kept for the road map/);
  expect(listMapLayers(demo.context.store)).toHaveLength(4);
});

test('without a plan the map of the day shows every site that takes part, and no way', () => {
  const view = readDayMap(demo.context.store, demo.context.now(), {})!;
  expect(view.rounds).toEqual([]);
  expect(view.waiting.length).toBeGreaterThan(30);
  expect(view.days).toHaveLength(7);
});
