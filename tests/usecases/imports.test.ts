import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { closeStore, openStore } from '../../src/store/db.ts';
import { ledgerFaults } from '../../src/store/integrity.ts';
import { getSiteByKey, listSites } from '../../src/store/sites.ts';
import { currentStockKg } from '../../src/store/stock.ts';
import { listWeighInsOfSite } from '../../src/store/weigh-ins.ts';
import { exportCsv, exportGeoJson } from '../../src/usecases/export-table.ts';
import { importFolder } from '../../src/usecases/import-folder.ts';
import { importTable } from '../../src/usecases/import-table.ts';
import { TABLE_KINDS, type TableKind } from '../../src/usecases/tables/columns.ts';
import { type Demo, FIXTURES, openDemo } from '../fixtures/demo-app.ts';

const OPTIONS = { dryRun: false, actor: 'test' };
const folder = mkdtempSync(join(tmpdir(), 'feedround-import-'));
let demo: Demo;
let files = 0;

const file = (text: string, end = 'csv'): string => {
  const path = join(folder, `${++files}.${end}`);
  writeFileSync(path, text);
  return path;
};
const load = (kind: TableKind, text: string, options = OPTIONS) =>
  importTable(demo.context, kind, file(text), options);
const exported = (kind: TableKind): string => [...exportCsv(demo.context.store, kind)].join('');
const stockKg = () => [...currentStockKg(demo.context.store).values()].reduce((sum, kg) => sum + kg, 0);

beforeAll(async () => {
  demo = await openDemo();
});
afterAll(() => {
  demo.close();
  rmSync(folder, { recursive: true, force: true });
});

const HEADER =
  'key,name,kind,lat,lon,declared_bags_per_week,bag_kg,service_min,containers,hours,closures,rule,rule_start,rule_window_min,rule_commitment,rule_extra,grades,contact_email,active_from,active_until';
const good = (i: number): Record<string, string> => ({
  key: `bulk-${i}`,
  name: `Site ${i}`,
  kind: 'shop',
  lat: String(46.2 + (i % 100) / 10_000),
  lon: String(-19.34 + (i % 70) / 10_000),
  declared_bags_per_week: String(i % 30),
  containers: 'cage:1:1100',
  hours: 'mo-fr 08:00-18:00',
});
const line = (row: Record<string, string>): string =>
  HEADER.split(',')
    .map((name) =>
      /[",;\n]/.test(row[name] ?? '') ? `"${(row[name] ?? '').replaceAll('"', '""')}"` : (row[name] ?? ''),
    )
    .join(',');

describe('a register of 1,000 rows with 30 mistakes', () => {
  const mistakes: readonly [column: string, value: string, mend: RegExp][] = [
    ['key', '', /must not be empty/],
    ['name', '', /must not be empty/],
    ['kind', 'shoop', /did you mean shop/],
    ['lat', 'north', /number in degrees/],
    ['lat', '91', /between -90 and 90/],
    ['lon', '-181', /between -180 and 180/],
    ['lat', '', /must not be empty/],
    ['lat', '-19.34', /lies far from the workshop/],
    ['closures', '2026-05-01;2026-05-01 again', /2026-05-01\.\.2026-05-01 stands there twice/],
    ['declared_bags_per_week', 'many', /number in bags/],
    ['declared_bags_per_week', '-3', /between 0/],
    ['bag_kg', '0', /between 0.01/],
    ['containers', '', /such as cage:2:1100/],
    ['containers', 'cag:1:1100', /did you mean cage/],
    ['containers', 'cage:0:1100', /whole count/],
    ['containers', 'cage:1:lots', /litres of one/],
    ['hours', 'mo-fr 8 to 6', /write/],
    ['hours', 'mo-fr 18:00-08:00', /over midnight are two pieces/],
    ['hours', 'mo 08:00-12:00,11:00-13:00', /overlaps other hours of mo/],
    ['closures', '2026-05-02..2026-05-01', /write/],
    ['rule', 'FREQ=WEEKLY;BYDAY=XX', /BYDAY/],
    ['rule', 'FREQ=SOMETIMES', /FREQ/],
    ['rule_start', '2026-01-06T09:00', /rule is empty/],
    ['rule_extra', '2026-01-06', /rule is empty/],
    ['grades', 'ldpe-clear:0.6;ldpe-printed:0.2', /sum to 0.8/],
    ['grades', 'ldpe-cleer:1', /did you mean ldpe-clear/],
    ['contact_email', 'nobody', /e-mail/],
    ['active_from', 'May', /write a day/],
    ['active_until', '2026-02-30', /write a day/],
    ['key', 'bulk-1', /stands on line 3 already/],
  ];

  const text = (() => {
    const rows = Array.from({ length: 1000 }, (_, i) => good(i));
    mistakes.forEach(([column, value], i) => {
      const row = rows[30 * i + 29]!;
      row[column] = value;
      if (column === 'rule' && value !== '')
        Object.assign(row, {
          rule_start: '2026-01-06T09:00',
          rule_window_min: '120',
          rule_commitment: 'must',
        });
    });
    return [HEADER, ...rows.map(line)].join('\n');
  })();

  test('names all thirty, each with its line, column, value and what would be right, and keeps nothing', async () => {
    const before = listSites(demo.context.store).length;
    const report = await load('sites', text);
    expect(mistakes).toHaveLength(30);
    expect(report.rows).toBe(1000);
    mistakes.forEach(([column, value, mend], i) => {
      const at = 30 * i + 29 + 2;
      const named = report.faults.filter((fault) => fault.line === at);
      expect(named, `line ${at}`).toHaveLength(1);
      expect(named[0]).toMatchObject({ column, value });
      expect(named[0]!.mend).toMatch(mend);
    });
    expect(report.faultCount).toBe(30);
    expect(report.isKept).toBe(false);
    expect(listSites(demo.context.store)).toHaveLength(before);
  });
});

describe('the same file', () => {
  test.each(TABLE_KINDS)(
    'of %s twice changes nothing, and what is exported comes back unchanged',
    async (kind) => {
      const first = await importTable(demo.context, kind, join(FIXTURES, `${kind}.csv`), OPTIONS);
      expect(first).toMatchObject({ added: 0, changed: 0, unchanged: first.rows, faultCount: 0 });
      const again = await load(kind, exported(kind));
      expect(again).toMatchObject({ added: 0, changed: 0, unchanged: again.rows, faultCount: 0 });
      expect(again.rows).toBe(first.rows);
    },
  );

  test('as GeoJSON is the same register', async () => {
    const report = await importTable(
      demo.context,
      'sites',
      file(exportGeoJson(demo.context.store), 'geojson'),
      OPTIONS,
    );
    expect(report).toMatchObject({ added: 0, changed: 0, faultCount: 0 });
    const fromFixture = await importTable(demo.context, 'sites', join(FIXTURES, 'sites.geojson'), OPTIONS);
    expect(fromFixture).toMatchObject({ added: 0, changed: 0, faultCount: 0 });
  });

  test('in a fresh database gives the same exports', async () => {
    const other = await openDemo();
    for (const kind of TABLE_KINDS)
      expect([...exportCsv(other.context.store, kind)].join(''), kind).toBe(exported(kind));
    other.close();
  });
});

test('a dry run says what would happen and keeps nothing', async () => {
  const text = `${HEADER}\n${line(good(5001))}`;
  expect(await load('sites', text, { ...OPTIONS, dryRun: true })).toMatchObject({ added: 1, isKept: false });
  expect(getSiteByKey(demo.context.store, 'bulk-5001')).toBeUndefined();
});

describe('headers', () => {
  test('an unknown column is named with the nearest right one', async () => {
    await expect(load('vans', 'key,nam,payload_kg,load_space_l,cost_per_km\nx,y,1,1,1')).rejects.toThrow(
      /"nam" is no column of vans \(did you mean name\?\); column name is missing/,
    );
  });
  test('a column that stands there twice, and an empty file, are named', async () => {
    await expect(
      load('vans', 'key,key,name,payload_kg,load_space_l,cost_per_km\nx,x,y,1,1,1'),
    ).rejects.toThrow(/twice/);
    await expect(load('vans', '')).rejects.toThrow(/is empty/);
    await expect(importTable(demo.context, 'vans', '/no/such/file.csv', OPTIONS)).rejects.toThrow(
      /There is no file/,
    );
  });
});

test('files as spreadsheets write them are read: BOM, CRLF, semicolons, decimal commas, quotes, empty lines', async () => {
  const text =
    '\uFEFFkey;name;payload_kg;load_space_l;cost_per_km\r\n"van-x";"Big; ""blue"" one";700,5;8000;0,45\r\n\r\n;;;;\r\n';
  expect(await load('vans', text)).toMatchObject({ added: 1, rows: 1, faultCount: 0 });
  expect(exported('vans')).toContain('van-x,"Big; ""blue"" one",700.5,8000,0.45');
});

test('any text survives export and import, formulas of spreadsheets included', async () => {
  const words = fc
    .string({ unit: 'grapheme', maxLength: 30 })
    .map((text) => text.replace(/[\r\0]/g, '').trim());
  const odd = fc.constantFrom(
    '=1+1',
    '+49 30',
    '-x',
    '@home',
    'a,b;"c"',
    "'quoted",
    'line\nbreak',
    'ünïcode ✓',
  );
  await fc.assert(
    fc.asyncProperty(fc.oneof(words, odd), async (note) => {
      const { context } = demo;
      const row = line({ ...good(6000), name: 'Any text' });
      await load('sites', `${HEADER}\n${row}`);
      const site = getSiteByKey(context.store, 'bulk-6000')!;
      const withNotes = `key,name,kind,lat,lon,declared_bags_per_week,containers,hours,access_notes\nbulk-6000,Any text,shop,${site.lat},${site.lon},0,cage:1:1100,mo-fr 08:00-18:00,"${note.replaceAll('"', '""')}"`;
      await load('sites', withNotes);
      const kept = getSiteByKey(context.store, 'bulk-6000')!.accessNotes;
      const back = await load('sites', exported('sites'));
      expect(back).toMatchObject({ added: 0, changed: 0, faultCount: 0 });
      expect(getSiteByKey(context.store, 'bulk-6000')!.accessNotes).toBe(kept);
    }),
    { numRuns: 25 },
  );
});

describe('weigh-ins', () => {
  const rows = (...lines: string[]) =>
    `key,site,at,net_kg,gross_kg,tare_kg,bags,found_full,rejected_kg,reject_reason,grades,note\n${lines.join('\n')}`;

  test('move into stock once; a corrected row takes back exactly what it replaces, and the first stays in history', async () => {
    const before = stockKg();
    await load(
      'weigh-ins',
      rows(
        'new-1,harrow-cash,2026-06-12T09:00,24.5,,,,no,,,,',
        'new-2,harrow-cash,2026-06-12T15:00,,60,12.5,,no,7,food,,',
      ),
    );
    // 24.5 in, 47.5 in, 7 thrown out.
    expect(stockKg() - before).toBeCloseTo(65, 9);
    const report = await load('weigh-ins', rows('new-1,harrow-cash,2026-06-12T09:00,20.25,,,,no,,,,'));
    expect(report).toMatchObject({ added: 0, changed: 1 });
    expect(stockKg() - before).toBeCloseTo(60.75, 9);
    const site = getSiteByKey(demo.context.store, 'harrow-cash')!;
    expect(
      listWeighInsOfSite(demo.context.store, site.id, { includeReplaced: true })
        .filter((w) => w.key === 'new-1')
        .map((w) => w.netKg)
        .sort(),
    ).toEqual([20.25, 24.5]);
    expect(ledgerFaults(demo.context.store)).toEqual([]);
  });

  test.each([
    ['bad-1,harow-cash,2026-06-12T09:00,20,,,,no,,,,', 'site', /did you mean harrow-cash/],
    ['bad-1,harrow-cash,2027-06-12T09:00,20,,,,no,,,,', 'at', /future/],
    ['bad-1,harrow-cash,yesterday,20,,,,no,,,,', 'at', /write a time/],
    ['bad-1,harrow-cash,2026-02-30T09:00Z,20,,,,no,,,,', 'at', /write a time/],
    ['bad-1,harrow-cash,2026-06-12T09:00,20,50,12,,no,,,,', 'net_kg', /less tare 12 kg is 38 kg/],
    ['bad-1,harrow-cash,2026-06-12T09:00,,12,50,,no,,,,', 'tare_kg', /swapped/],
    ['bad-1,harrow-cash,2026-06-12T09:00,,50,,,no,,,,', 'tare_kg', /come together/],
    ['bad-1,harrow-cash,2026-06-12T09:00,,,,,no,,,,', 'net_kg', /nothing says how much/],
    ['bad-1,harrow-cash,2026-06-12T09:00,24500,,,,no,,,,', 'net_kg', /between 0 and 10000/],
    ['bad-1,harrow-cash,2026-06-12T09:00,20,,,,perhaps,,,,', 'found_full', /yes or no/],
    ['bad-1,harrow-cash,2026-06-12T09:00,20,,,,no,30,food,,', 'rejected_kg', /more than the net mass/],
    ['bad-1,harrow-cash,2026-06-12T09:00,20,,,,no,2,foot,,', 'reject_reason', /did you mean food/],
    ['bad-1,harrow-cash,2026-06-12T09:00,20,,,,no,,,ldpe-clear:50,', 'grades', /more than the net mass/],
  ])('%s is refused at %s', async (row, column, mend) => {
    const { faults } = await load('weigh-ins', rows(row));
    expect(faults.map((fault) => fault.column)).toContain(column);
    expect(faults.find((fault) => fault.column === column)!.mend).toMatch(mend);
  });
});

test('swapped coordinates are called swapped', async () => {
  const { faults } = await load('sites', `${HEADER}\n${line({ ...good(7000), lat: '-19.34', lon: '46.2' })}`);
  expect(faults).toEqual([
    { line: 2, column: 'lat', value: '-19.34', mend: '-19.34, 46.2: latitude and longitude look swapped' },
  ]);
});

test('amounts finer than a gram are kept as grams, and the same file stays the same', async () => {
  const files: readonly [TableKind, string][] = [
    ['vans', 'key,name,payload_kg,load_space_l,cost_per_km\nfine,Fine,700.0004,8000.25,0.1234567'],
    [
      'products',
      'key,name,film_kg_per_unit,yield,off_cut_return,grades\nfine,Fine,2.50049,0.93,0.5,ldpe-clear:1',
    ],
    ['stock', 'key,day,grade,kind,kg\nfine,2026-06-01,ldpe-clear,correction,0.0004'],
    [
      'weigh-ins',
      [
        'key,site,at,net_kg,gross_kg,tare_kg,rejected_kg,grades',
        'fine-1,harrow-cash,2026-06-12T09:00,20.5004,,,1.0004,ldpe-printed:3.0004',
        // The scale's own net and its two readings may differ by the last figure: the readings count.
        'fine-2,harrow-cash,2026-06-12T09:01,47.5,60,12.501,,',
        'fine-3,harrow-cash,2026-06-12T09:02,,60.0006,12.0004,,',
      ].join('\n'),
    ],
  ];
  for (const [kind, text] of files) {
    const { rows } = await load(kind, text);
    expect(await load(kind, text), kind).toMatchObject({ unchanged: rows, faultCount: 0 });
    expect(await load(kind, exported(kind)), kind).toMatchObject({ added: 0, changed: 0, faultCount: 0 });
  }
  expect(ledgerFaults(demo.context.store)).toEqual([]);
});

test('a folder without any of the files, or none at all, is no silent success', async () => {
  const empty = mkdtempSync(join(folder, 'empty-'));
  await expect(importFolder(demo.context, empty, OPTIONS)).rejects.toThrow(
    /holds none of workshop\.json, sites/,
  );
  await expect(importFolder(demo.context, join(empty, 'no'), OPTIONS)).rejects.toThrow(/There is no folder/);
  await expect(importTable(demo.context, 'vans', empty, OPTIONS)).rejects.toThrow(/is no file/);
});

test('a folder is read in the order in which its files need each other', async () => {
  const store = openStore(':memory:');
  const context = { ...demo.context, store };
  const report = await importFolder(context, FIXTURES, OPTIONS);
  expect(report.workshop).toMatchObject({ isNew: true });
  expect(report.workshop!.roads).toBeGreaterThan(300);
  expect(report.tables.every((table) => table.isKept)).toBe(true);
  closeStore(store);
});
