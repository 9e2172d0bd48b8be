/** Files as people really have them: partial, from other programs, half broken. Nothing is lost or guessed. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { getSiteByKey } from '../../src/store/sites.ts';
import { listVans } from '../../src/store/vans.ts';
import { currentWeighInsByKey } from '../../src/store/weigh-ins.ts';
import { exportCsv } from '../../src/usecases/export-table.ts';
import { importRows, importTable } from '../../src/usecases/import-table.ts';
import type { TableKind } from '../../src/usecases/tables/columns.ts';
import { type Demo, openDemo } from '../fixtures/demo-app.ts';

const OPTIONS = { dryRun: false, actor: 'test' };
const folder = mkdtempSync(join(tmpdir(), 'feedround-odd-'));
let demo: Demo;
let files = 0;
const load = (kind: TableKind, content: string | Buffer, end = 'csv') => {
  const path = join(folder, `${++files}.${end}`);
  writeFileSync(path, content);
  return importTable(demo.context, kind, path, OPTIONS);
};
const exported = (kind: TableKind): string => [...exportCsv(demo.context.store, kind)].join('');
const site = (key: string) => getSiteByKey(demo.context.store, key)!;
const weighIn = (key: string) => currentWeighInsByKey(demo.context.store, [key]).get(key)!;

const VANS = 'key,name,payload_kg,load_space_l,cost_per_km';
const SITES = 'key,name,kind,lat,lon,declared_bags_per_week,containers';
const PLACE = '46.2,-19.34';

beforeAll(async () => {
  demo = await openDemo();
});
afterAll(() => {
  demo.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('a column that the file does not have', () => {
  test('leaves what is known of a site: hours and cautions above all', async () => {
    await load(
      'sites',
      `${SITES},hours,handling_notes,rule,rule_start,rule_window_min,donor,donor_name,contact_name\nodd-1,Odd,shop,${PLACE},5,cage:1:1100,mo-fr 08:00-12:00,glass seen here,FREQ=WEEKLY;BYDAY=TU,2026-01-06T09:00,120,odd-donor,Odd & Sons,Ida`,
    );
    const before = site('odd-1');
    const report = await load('sites', `${SITES}\nodd-1,Odd,shop,${PLACE},9,cage:1:1100`);
    expect(report).toMatchObject({ changed: 1, faultCount: 0 });
    expect(site('odd-1')).toEqual({ ...before, declaredBagsPerWeek: 9 });
    expect(before.hours).toHaveLength(5);
  });

  test('is another thing than an empty cell, which clears', async () => {
    await load('sites', `${SITES},hours,handling_notes,rule\nodd-1,Odd,shop,${PLACE},9,cage:1:1100,,,`);
    expect(site('odd-1')).toMatchObject({ hours: [], handlingNotes: '', rules: [], donorName: 'Odd & Sons' });
  });

  test('is no correction of a weigh-in', async () => {
    const full = `key,site,at,gross_kg,tare_kg,bags,found_full,left_kg,grades,note\nodd-w,odd-1,2026-06-10T09:00,40,10,6,yes,12.5,ldpe-clear:20,from the yard`;
    expect(await load('weigh-ins', full)).toMatchObject({ added: 1, faultCount: 0 });
    const before = weighIn('odd-w');
    expect(before).toMatchObject({ netKg: 30, leftKg: 12.5 });
    const masses = 'key,site,at,net_kg\nodd-w,odd-1,2026-06-10T09:00,';
    expect(await load('weigh-ins', `${masses}30`)).toMatchObject({ unchanged: 1 });
    expect(await load('weigh-ins', `${masses}31`)).toMatchObject({ changed: 1 });
    // Gross less tare would say 30: they go with the mass that they contradict; the rest stays.
    expect(weighIn('odd-w')).toMatchObject({
      netKg: 31,
      grossKg: null,
      tareKg: null,
      bags: 6,
      foundFull: true,
      leftKg: 12.5,
      gradesKg: { 'ldpe-clear': 20 },
      note: 'from the yard',
    });
  });
});

test('two names for one donor are refused, or each import would rename it again', async () => {
  const report = await load(
    'sites',
    `${SITES},donor,donor_name\nodd-2,A,shop,${PLACE},1,sack:1:100,twin,Twin Ltd\nodd-3,B,shop,${PLACE},1,sack:1:100,twin,Twin Limited`,
  );
  expect(report.faults).toEqual([
    {
      line: 3,
      column: 'donor_name',
      value: 'Twin Limited',
      mend: 'line 2 calls the donor twin "Twin Ltd"; write one name',
    },
  ]);
});

describe('numbers', () => {
  test('with a comma are refused where it could part thousands, and read where the file is cut at semicolons', async () => {
    const { faults } = await load('vans', `${VANS}\nodd-van,Odd,"1,234",8000,0.5`);
    expect(faults).toMatchObject([{ line: 2, column: 'payload_kg', value: '1,234' }]);
    expect(faults[0]!.mend).toContain('1.234 or 1234');
    await load('vans', `${VANS.replaceAll(',', ';')}\nodd-van;Odd;"1,234";8000;0,5`);
    expect(listVans(demo.context.store).find((van) => van.key === 'odd-van')).toMatchObject({
      payloadKg: 1.234,
      costMicrosPerKm: 500_000,
    });
  });

  test('are numbers as people write them, not as programs may', async () => {
    for (const value of ['0x1F', '1e', 'Infinity', '1 000', '--5'])
      expect((await load('vans', `${VANS}\nodd-van,Odd,${value},8000,0.5`)).faults, value).toMatchObject([
        { column: 'payload_kg', value },
      ]);
  });

  test('finer than a gram are kept to the gram, and the same file twice still changes nothing', async () => {
    const text =
      'key,site,at,net_kg,gross_kg,tare_kg,rejected_kg,grades\n' +
      'fine-1,odd-1,2026-06-11T09:00,12.34567,,,0.12345,ldpe-clear:5.55555\n' +
      'fine-2,odd-1,2026-06-11T10:00,12.346,22.34567,10.00049,,\n';
    expect(await load('weigh-ins', text)).toMatchObject({ added: 2 });
    expect(await load('weigh-ins', text)).toMatchObject({ unchanged: 2, changed: 0 });
    expect(weighIn('fine-1')).toMatchObject({ netKg: 12.346, gradesKg: { 'ldpe-clear': 5.556 } });
    expect(await load('weigh-ins', exported('weigh-ins'))).toMatchObject({ added: 0, changed: 0 });
  });
});

test('text that begins like a formula, with or without apostrophes before it, survives the round trip', async () => {
  const texts = ['=1+1', "'=1+1", "''=1+1", '+49 30 1', "'tis", '-', '@x'];
  for (const [i, text] of texts.entries()) {
    await importRows(
      demo.context,
      'vans',
      [
        {
          line: 1,
          cells: { key: `text-${i}`, name: text, payload_kg: '1', load_space_l: '1', cost_per_km: '0' },
        },
      ],
      OPTIONS,
    );
  }
  const csv = exported('vans');
  // No cell starts with a character that a spreadsheet takes for a formula (OWASP, CSV injection).
  expect(csv.split('\n').filter((line) => /(^|,)"?[=+@-]\D/.test(line))).toEqual([]);
  expect(await load('vans', csv)).toMatchObject({ added: 0, changed: 0, faultCount: 0 });
  const names = listVans(demo.context.store)
    .filter((van) => van.key.startsWith('text-'))
    .map((van) => van.name);
  expect(names).toEqual(texts);
});

describe('lines', () => {
  test('are counted as an editor shows them, through cells of several lines and empty lines', async () => {
    const bad = 'odd-van,Odd,much,8000,0.5';
    for (const end of ['\n', '\r\n', '\r']) {
      const text = [VANS, 'a,"two', 'lines",1,1,1', '', bad, 'b,"three', '', 'more",1,1,1', bad, bad].join(
        end,
      );
      const { faults } = await load('vans', text);
      expect(
        faults.map((fault) => fault.line),
        JSON.stringify(end),
      ).toEqual([5, 9, 10]);
    }
  });

  test('whose end falls between two blocks of the file are still one', async () => {
    const head = `${VANS}\r\n`;
    const tail = ',1,1,1\r\n';
    // Files are read in blocks of 65,536 bytes: the \r is the last of the first block.
    const row = `block,${'n'.repeat(65_536 - head.length - 'block,'.length - tail.length + 1)}${tail}`;
    const text = `${head}${row}bad,Odd,much,1,1\r\n`;
    expect(text[65_535]).toBe('\r');
    const { faults, rows } = await load('vans', text);
    expect(rows).toBe(2);
    expect(faults).toMatchObject([{ line: 3, column: 'payload_kg' }]);
  });
});

describe('broken rows', () => {
  test('are named among the other mistakes: cells too many, quotes in the wrong place', async () => {
    const text = [
      VANS,
      'a,Big, blue,700,8000,0.5',
      'b,Odd,much,8000,0.5',
      'c,5" pipe,700,8000,0.5',
      'd,Odd,700,little,0.5',
      'e,Odd,700,8000,0.5,,,',
    ].join('\n');
    const { faults, faultCount } = await load('vans', text);
    expect(faultCount).toBe(4);
    expect(faults.map(({ line, column }) => [line, column]).sort()).toEqual([
      [2, ''],
      [3, 'payload_kg'],
      [4, ''],
      [5, 'load_space_l'],
    ]);
    expect(faults.find((fault) => fault.line === 2)!.mend).toMatch(/6 cells under 5 column names/);
    expect(faults.find((fault) => fault.line === 4)!.mend).toMatch(/double quotes/);
  });

  test('a quote that is never closed is said, not swallowed with the rest of the file', async () => {
    const { faults } = await load('vans', `${VANS}\na,"open,1,1,1\nb,Odd,1,1,1\n`);
    expect(faults[0]!.mend).toMatch(/close every quote/);
    const rest = 'b,Odd,1,1,1\n'.repeat(30_000);
    await expect(load('vans', `${VANS}\na,"open,1,1,1\n${rest}`)).rejects.toThrow(/close every quote/);
  });

  test('a file that is not UTF-8 is refused, or accents would be lost', async () => {
    await expect(load('vans', Buffer.from(`${VANS}\na,Caf\xe9,1,1,1\n`, 'latin1'))).rejects.toThrow(
      /CSV UTF-8/,
    );
    await expect(load('vans', Buffer.from(`\ufeff${VANS}\na,x,1,1,1\n`, 'utf16le'))).rejects.toThrow(
      /CSV UTF-8/,
    );
  });

  test('of GeoJSON are named by their number', async () => {
    const feature = (properties: object, coordinates: unknown) => ({
      type: 'Feature',
      geometry: { type: 'Point', coordinates },
      properties: {
        name: 'G',
        kind: 'shop',
        declared_bags_per_week: 1,
        containers: 'sack:1:100',
        ...properties,
      },
    });
    const features = [
      feature({ key: 'geo-1' }, [-19.34, 46.2]),
      { type: 'Feature', geometry: null, properties: {} },
      feature({ key: 'geo-3', hourz: 'mo 08:00-09:00' }, [-19.34, 46.2]),
      feature({ key: 'geo-4' }, [46.2, -19.34]),
    ];
    const { faults } = await load(
      'sites',
      JSON.stringify({ type: 'FeatureCollection', features }),
      'geojson',
    );
    expect(faults.map(({ line, column }) => [line, column])).toEqual([
      [2, ''],
      [3, 'hourz'],
      [4, 'lat'],
    ]);
    expect(faults[1]!.mend).toMatch(/did you mean hours/);
    expect(faults[2]!.mend).toMatch(/swapped/);
  });
});

test('a file of another register, with thousands of unknown keys, is refused: all are counted, the first 500 named', async () => {
  const rows = Array.from({ length: 5000 }, (_, i) => `other-${i},2026-06-10T09:00,5`).join('\n');
  const report = await load('weigh-ins', `site,at,net_kg\n${rows}`);
  expect(report).toMatchObject({ rows: 5000, faultCount: 5000, isKept: false });
  expect(report.faults).toHaveLength(500);
});
