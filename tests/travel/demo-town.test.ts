/** The demo town: what the files say is what the generator makes, and the town holds together. */
import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { demoFiles } from '../../geo-fixtures/generator/files.ts';
import { parseClosures, parseHours } from '../../src/core/calendar/opening.ts';
import { parsePickupRule } from '../../src/core/calendar/pickup-rule.ts';
import { isDay, isoWeekday, readInstant } from '../../src/core/calendar/zone.ts';
import {
  CONTAINER_KINDS,
  EVENT_KINDS,
  GRADES,
  REJECT_REASONS,
  SITE_KINDS,
  STOCK_KINDS,
} from '../../src/core/vocabulary.ts';
import { readOsmRoads } from '../../src/travel/osm-roads.ts';
import { buildRoadGraph, roadTable } from '../../src/travel/road-graph.ts';

const folder = new URL('../../geo-fixtures/', import.meta.url);
const text = (name: string): string => readFileSync(new URL(name, folder), 'utf8');
const rows = (name: string): Record<string, string>[] => parse(text(name), { columns: true });
const workshop = JSON.parse(text('workshop.json'));
const sites = rows('sites.csv');
const weighIns = rows('weigh-ins.csv');
const words = (cell: string | undefined): [string, number][] =>
  (cell ?? '')
    .split(';')
    .filter((pair) => pair !== '')
    .map((pair) => [pair.split(':')[0]!, Number(pair.split(':')[1])]);

test('the committed files are byte for byte what the generator makes', () => {
  const made = demoFiles();
  for (const [name, content] of made) expect(text(name) === content, name).toBe(true);
  const there = [...readdirSync(folder), ...readdirSync(new URL('town/', folder)).map((n) => `town/${n}`)];
  const data = there.filter((name) => /\.(csv|geojson|json|osm)$/.test(name));
  expect(data.sort()).toEqual([...made.keys()].sort());
});

test('every site has a kind, containers, grades, hours, closures and a rule that the importers can read', () => {
  for (const site of sites) {
    expect(SITE_KINDS).toContain(site['kind']);
    for (const [kind] of words(site['containers'])) expect(CONTAINER_KINDS).toContain(kind);
    expect(words(site['containers']).length).toBeGreaterThan(0);
    const shares = words(site['grades']);
    for (const [grade] of shares) expect(GRADES).toContain(grade);
    expect(shares.reduce((sum, [, share]) => sum + share, 0)).toBeCloseTo(1, 9);
    expect(parseHours(site['hours']!).ok, site['key']).toBe(true);
    expect(parseClosures(site['closures']!).ok, site['key']).toBe(true);
    if (site['rule'])
      expect(
        parsePickupRule({
          rrule: site['rule'],
          startsLocal: site['rule_start']!,
          windowMin: site['rule_window_min']!,
          commitment: site['rule_commitment']!,
          exceptDays: site['rule_except']!,
          extraDays: site['rule_extra']!,
        }),
      ).toMatchObject({ ok: true });
  }
  expect(sites.length).toBeGreaterThanOrEqual(40);
});

test('keys are unique and every weigh-in and surge names a site that is in the register', () => {
  const keys = new Set(sites.map((site) => site['key']));
  expect(keys.size).toBe(sites.length);
  expect(new Set(weighIns.map((w) => w['key'])).size).toBe(weighIns.length);
  for (const row of [...weighIns, ...rows('surges.csv')]) expect(keys).toContain(row['site']);
  for (const surge of rows('surges.csv')) expect(EVENT_KINDS).toContain(surge['event_kind']);
});

test('a weigh-in says at least one of mass, bags and full, and its scale readings and grades add up', () => {
  for (const w of weighIns) {
    expect(readInstant(workshop.zone, w['at']!)).toBeDefined();
    expect(w['at']! < workshop.demoToday).toBe(true);
    const net = w['net_kg'] === '' ? undefined : Number(w['net_kg']);
    expect(net !== undefined || w['bags'] !== '' || w['found_full'] === 'yes').toBe(true);
    if (w['gross_kg']) expect(Number(w['gross_kg']) - Number(w['tare_kg'])).toBeCloseTo(net!, 6);
    const sorted = words(w['grades']);
    if (sorted.length > 0) expect(sorted.reduce((sum, [, kg]) => sum + kg, 0)).toBeCloseTo(net!, 6);
    if (w['reject_reason']) expect(REJECT_REASONS).toContain(w['reject_reason']);
    expect(w['rejected_kg'] === '').toBe(w['reject_reason'] === '');
  }
});

test('the stock of the demo day is positive in every grade, and feeds between one and ten days of production', () => {
  const stock = new Map<string, number>();
  const move = (grade: string, kg: number) => stock.set(grade, (stock.get(grade) ?? 0) + kg);
  for (const row of rows('stock.csv')) {
    expect(STOCK_KINDS).toContain(row['kind']);
    expect(isDay(row['day']!)).toBe(true);
    move(row['grade']!, Number(row['kg']));
  }
  for (const w of weighIns) {
    const site = sites.find((s) => s['key'] === w['site'])!;
    const litres = site['containers']!.split(';').reduce((sum, c) => {
      const [, count, each] = c.split(':').map(Number);
      return sum + count! * each!;
    }, 0);
    const full = (litres * workshop.filmKgPerM3) / 1000;
    const kg =
      w['net_kg'] !== '' ? Number(w['net_kg']) : w['bags'] !== '' ? Number(w['bags']) * workshop.bagKg : full;
    const shares = words(w['grades'] || site['grades']);
    const whole = shares.reduce((sum, [, share]) => sum + share, 0);
    for (const [grade, share] of shares) move(grade, ((kg - Number(w['rejected_kg'])) * share) / whole);
  }
  const draw = new Map<string, number>();
  for (const { product, units } of rows('production.csv').slice(0, 2)) {
    const made = rows('products.csv').find((p) => p['key'] === product)!;
    for (const [grade, share] of words(made['grades']))
      draw.set(grade, (draw.get(grade) ?? 0) + Number(units) * Number(made['film_kg_per_unit']) * share);
  }
  for (const { grade } of workshop.grades) {
    const days = stock.get(grade)! / draw.get(grade)!;
    expect(days, grade).toBeGreaterThan(1);
    expect(days, grade).toBeLessThan(10);
  }
  expect([...stock.values()].reduce((sum, kg) => sum + kg, 0)).toBeLessThan(workshop.storeLimitKg);
});

test('without the two bridges no site south of the river reaches the market square', () => {
  const roads = readOsmRoads(text('town/roads.osm'));
  const square = sites.find((s) => s['key'] === 'penny-square')!;
  const places = [square, ...sites].map((s) => ({ lat: Number(s['lat']), lon: Number(s['lon']) }));
  const options = { detourFactor: 1, speedKmh: 1 }; // so slow that a leg without a road stands out
  const whole = roadTable(buildRoadGraph(roads), places, options);
  expect(whole.offRoad).toEqual([]);
  const dry = {
    ...roads,
    streets: roads.streets.filter((street) => !/^(Old|Mill) Bridge$/.test(street.name)),
  };
  const cut = roadTable(buildRoadGraph(dry), places, options).table;
  sites.forEach((site, i) => {
    const isSouth = ['Fullers Green', 'Overwater', 'Ellow Estate'].includes(site['district']!);
    const changed = cut.legS[i + 1] !== whole.table.legS[i + 1];
    expect(changed, `${site['key']} in ${site['district']}`).toBe(isSouth);
    expect(whole.table.legS[i + 1]! < 1200, site['key']).toBe(true); // both ways, by road
    expect(whole.table.legS[(i + 1) * places.length]! < 1200, site['key']).toBe(true);
  });
});

test('shifts and production begin on the demo day, a Monday, and run for three weeks', () => {
  expect(isoWeekday(workshop.demoToday)).toBe(1);
  for (const name of ['shifts.csv', 'production.csv']) {
    const days = rows(name)
      .map((row) => row['day']!)
      .sort();
    expect(days[0]).toBe(workshop.demoToday);
    expect(days.at(-1)! >= '2026-07-03').toBe(true);
  }
});
