/** A round as GPX and GeoJSON, on the demo town. GPX is held to its schema's rules by xmllint (libxml2). */
import { readFileSync } from 'node:fs';
import { SaxesParser } from 'saxes';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { greatCircleM } from '../../../src/core/quantity/geodesy.ts';
import { getPlan, publishedPlan, type StoredRound } from '../../../src/store/plans.ts';
import { getSite } from '../../../src/store/sites.ts';
import { planWeek } from '../../../src/usecases/plan-week.ts';
import { publishPlan } from '../../../src/usecases/publish-plan.ts';
import { writeGpx } from '../../../src/web/feeds/gpx.ts';
import { readRoundFile } from '../../../src/web/feeds/round-file.ts';
import { type Demo, openDemo, planInPlace } from '../../fixtures/demo-app.ts';

const RULES = readFileSync(new URL('./gpx-rules.xsd', import.meta.url), 'utf8');
const faultsOf = async (contents: string) => {
  const checked = await validateXML({
    xml: [{ fileName: 'round.gpx', contents }],
    schema: [{ fileName: 'gpx-rules.xsd', contents: RULES }],
  });
  return checked.errors.map((error) => error.message);
};

let demo: Demo;
let round: StoredRound;
const get = (path: string, role: 'coordinator' | 'driver', subject?: string) =>
  demo.app.request(path, { headers: { Authorization: `Bearer ${demo.signIn(role, subject)}` } });

beforeAll(async () => {
  demo = await openDemo();
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 60, actor: 'test' });
  publishPlan(demo.context, { planId, actor: 'test' });
  round = publishedPlan(demo.context.store)!.rounds[0]!;
});
afterAll(() => demo.close());

describe('GPX 1.1', () => {
  test('obeys the schema, with every stop in order and a line along the streets', async () => {
    const answer = await get(`/driver/rounds/${round.id}/round.gpx`, 'driver', round.driverId);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toBe('application/gpx+xml; charset=utf-8');
    expect(answer.headers.get('content-disposition')).toContain(`round-${round.day}.gpx`);
    const text = await answer.text();
    expect(await faultsOf(text)).toEqual([]);
    const points = [...text.matchAll(/<rtept lat="([-\d.]+)" lon="([-\d.]+)">/g)].map((m) => [
      +m[1]!,
      +m[2]!,
    ]);
    const sites = round.stops.flatMap((stop) =>
      stop.kind === 'site' ? [getSite(demo.context.store, stop.siteId!)!] : [],
    );
    for (const site of sites) expect(points).toContainEqual([site.lat, site.lon]);
    expect(points.length).toBe(2 + round.stops.filter((stop) => stop.kind !== 'break').length);
    expect(text.match(/<trkpt /g)!.length).toBeGreaterThan(points.length * 3);
  });

  test('the line is as long as the round, within a twentieth: yards and great circles apart', () => {
    const { way } = readRoundFile(demo.context.store, round.id)!;
    const lengthM = way.slice(1).reduce((sum, place, i) => sum + greatCircleM(way[i]!, place), 0);
    expect(Math.abs(lengthM - round.distanceM) / round.distanceM).toBeLessThan(0.05);
  });

  test('any name is written so that it can be read again', async () => {
    const file = readRoundFile(demo.context.store, round.id)!;
    const name = 'Fish & <Chips> ]]> "q" \u0000\u000b\ud800 😀';
    const text = writeGpx({
      ...file,
      name,
      points: [{ ...file.points[0]!, position: { lat: 90, lon: 180 } }],
    });
    expect(await faultsOf(text)).toEqual([]);
    let read = '';
    const parser = new SaxesParser();
    parser.on('text', (part) => {
      read += part;
    });
    parser.write(text).close();
    expect(read).toContain('Fish & <Chips> ]]> "q" \ufffd 😀');
    expect(text).toContain('lat="90.0000000" lon="-180.0000000"');
  });

  test('the rules do find faults: wrong order, no longitude, 180 degrees', async () => {
    const text = writeGpx(readRoundFile(demo.context.store, round.id)!);
    expect(
      await faultsOf(text.replace(/<rte>[\s\S]*<\/rte>\n([\s\S]*<\/trk>)/, '$1\n<rte></rte>')),
    ).not.toEqual([]);
    expect(await faultsOf(text.replace(/ lon="[^"]+"/, ''))).not.toEqual([]);
    expect(await faultsOf(text.replace(/lon="[^"]+"/, 'lon="180"'))).not.toEqual([]);
  });
});

test('GeoJSON: a point a stop, longitude first, one line, a box around all (RFC 7946, 3.1.1, 3.1.4, 5)', async () => {
  const answer = await get(`/rounds/${round.id}/round.geojson`, 'coordinator');
  expect(answer.headers.get('content-type')).toBe('application/geo+json');
  const { type, bbox, features } = (await answer.json()) as {
    type: string;
    bbox: number[];
    features: { geometry: { type: string; coordinates: unknown }; properties: { [key: string]: unknown } }[];
  };
  expect(type).toBe('FeatureCollection');
  const points = features.filter(({ geometry }) => geometry.type === 'Point');
  const lines = features.filter(({ geometry }) => geometry.type === 'LineString');
  expect(lines).toHaveLength(1);
  const first = round.stops.find((stop) => stop.kind === 'site')!;
  const site = getSite(demo.context.store, first.siteId!)!;
  const told = points.find(({ properties }) => properties['name'] === site.name)!;
  expect(told.geometry.coordinates).toEqual([site.lon, site.lat]);
  expect(told.properties['expectedKg']).toBeCloseTo(first.expectedKg, 1);
  const all = [
    ...points.map(({ geometry }) => geometry.coordinates),
    ...(lines[0]!.geometry.coordinates as []),
  ] as [number, number][];
  expect(bbox).toEqual([
    Math.min(...all.map(([lon]) => lon)),
    Math.min(...all.map(([, lat]) => lat)),
    Math.max(...all.map(([lon]) => lon)),
    Math.max(...all.map(([, lat]) => lat)),
  ]);
});

test('another driver’s round, a draft’s and an unknown one are not there; a stranger is sent away', async () => {
  const other = publishedPlan(demo.context.store)!.rounds.find((one) => one.driverId !== round.driverId)!;
  expect((await get(`/driver/rounds/${other.id}/round.gpx`, 'driver', round.driverId)).status).toBe(404);
  expect((await get('/rounds/none/round.gpx', 'coordinator')).status).toBe(404);
  expect((await demo.app.request(`/rounds/${round.id}/round.gpx`)).status).toBe(401);
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 2, iterations: 5, actor: 'test' });
  const { store } = demo.context;
  const draft = getPlan(store, planId)!.rounds.find((one) => one.driverId === round.driverId)!;
  expect(readRoundFile(store, draft.id, round.driverId)).toBeUndefined();
  expect(readRoundFile(store, draft.id)).toBeDefined();
});
