/** Whatever a workshop keeps, its exports hold all of it: into the same database nothing changes, into a fresh one the same comes out. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, test } from 'vitest';
import { closeStore, openStore } from '../../src/store/db.ts';
import { ledgerFaults } from '../../src/store/integrity.ts';
import type { Context } from '../../src/usecases/context.ts';
import { exportCsv, exportGeoJson } from '../../src/usecases/export-table.ts';
import { IMPORT_ORDER } from '../../src/usecases/import-folder.ts';
import { importRows, importTable } from '../../src/usecases/import-table.ts';
import { importWorkshop } from '../../src/usecases/import-workshop.ts';
import type { TableKind } from '../../src/usecases/tables/columns.ts';
import { FIXTURES } from '../fixtures/demo-app.ts';

const OPTIONS = { dryRun: false, actor: 'test' };
const folder = mkdtempSync(join(tmpdir(), 'feedround-round-trip-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The demo's workshop without its maps, which are no tables. */
const workshopFile = join(folder, 'workshop.json');
const { roads: _, maps: __, ...workshop } = JSON.parse(readFileSync(join(FIXTURES, 'workshop.json'), 'utf8'));
writeFileSync(workshopFile, JSON.stringify(workshop));

function openWorkshop(): Context {
  let ids = 0;
  const context = {
    store: openStore(':memory:'),
    now: () => Date.UTC(2026, 5, 15) / 1000,
    newId: () => `id${++ids}`,
  };
  importWorkshop(context, workshopFile, OPTIONS);
  return context;
}

type Cells = { readonly [column: string]: string };
type Tables = { readonly [kind in TableKind]: readonly Cells[] };

// ---- rows as the JSON interface takes them: any text, nothing guarded ---------------------------------------

const odd = fc.constantFrom(
  '=1+1',
  "'=1+1",
  "''@x",
  '+49 30',
  '-',
  '@home',
  "'quoted'",
  'a,b;"c"\td',
  '""',
  'two\nlines',
  'two\r\nlines',
  'a\rb',
  'ünï ✓ 🏠',
  'torn \uFFFD letter',
  '\uFEFFmarked',
  'null',
  '0x10',
);
const text = fc.oneof(odd, fc.string({ unit: 'grapheme', maxLength: 20 })).map((s) => s.trim());
const word = text.map((s) => s || 'x');
const keys = (most: number) =>
  fc.uniqueArray(
    word.map((s) => s.replace(/[\n\r\t~]/g, '_').slice(0, 40)),
    {
      minLength: 1,
      maxLength: most,
    },
  );
const amount = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map(String);
const whole = (min: number, max: number) => fc.integer({ min, max }).map(String);
const day = fc
  .integer({ min: 0, max: 700 })
  .map((n) => new Date(Date.UTC(2025, 0, 1) + n * 86_400_000).toISOString().slice(0, 10));
const instant = fc
  .integer({ min: Date.UTC(2025, 0, 1) / 1000, max: Date.UTC(2026, 5, 14) / 1000 })
  .map((at) => new Date(at * 1000).toISOString().replace('.000Z', 'Z'));
const shares = fc.constantFrom(
  'ldpe-clear:1',
  'ldpe-printed:0.3;ldpe-clear:0.7',
  'hdpe-white:0.333;ldpe-clear:0.667',
);
const perhaps = (value: fc.Arbitrary<string>) => fc.oneof(fc.constant(''), value);
/** One of the keys of another table, whatever they are. */
const oneOf = (from: readonly string[]) => fc.constantFrom(...from);
const withKeys = (own: readonly string[], cells: { readonly [column: string]: fc.Arbitrary<string> }) =>
  fc.tuple(...own.map((key) => fc.record(cells).map((row): Cells => ({ key, ...row }))));

const rule = fc.constantFrom<Cells>(
  { rule: '', rule_start: '', rule_window_min: '', rule_commitment: '', rule_except: '', rule_extra: '' },
  {
    rule: 'FREQ=WEEKLY;BYDAY=TU,FR;INTERVAL=2',
    rule_start: '2026-01-06T09:00',
    rule_window_min: '180',
    rule_commitment: 'must',
    rule_except: '2026-12-29;2026-12-25',
    rule_extra: '2026-12-30',
  },
  {
    rule: 'freq=monthly;byday=-1MO',
    rule_start: '2026-01-26T07:15',
    rule_window_min: '1',
    rule_commitment: 'usual',
    rule_except: '',
    rule_extra: '',
  },
);

const siteRow = {
  donor: perhaps(fc.constantFrom('donor a', "'=d")),
  name: word,
  kind: fc.constantFrom('shop', 'market', 'one-off'),
  lat: amount(46.1, 46.3),
  lon: amount(-19.5, -19.2),
  address: text,
  district: text,
  declared_bags_per_week: amount(0, 60),
  bag_kg: perhaps(amount(0.01, 12)),
  service_min: perhaps(amount(0, 60)),
  containers: fc.constantFrom('cage:1:1100', 'sack:10:100;cage:2:770.5', 'cage:1:1100;cage:1:1100'),
  hours: fc.constantFrom('', 'fr 13:00-15:00,08:00-12:00; mo 00:00-24:00', 'sa-su 09:00-10:30'),
  closures: fc.constantFrom(
    '',
    '2026-12-24..2027-01-02 Christmas, "big"; 2026-05-01',
    '2026-05-01..2026-05-03; 2026-05-01 one',
  ),
  grades: perhaps(shares),
  access_notes: text,
  handling_notes: text,
  contact_name: text,
  contact_phone: text,
  contact_email: fc.constantFrom('', 'a@b.example', '=x@b.example'),
  active_from: fc.constantFrom('', '2025-03-01'),
  active_until: fc.constantFrom('', '2027-01-01'),
};

const mass = fc.oneof(
  fc.record({ net_kg: amount(5, 80), rejected_kg: perhaps(amount(0, 5)) }),
  fc.record({ gross_kg: amount(40, 90), tare_kg: amount(0, 20), rejected_kg: perhaps(amount(0, 5)) }),
  // On a scale that shows grams, what it says and what two readings leave may differ by one.
  fc.record({ tenths: fc.integer({ min: 100, max: 900 }), off: fc.integer({ min: -1, max: 1 }) }).map(
    ({ tenths, off }): Cells => ({
      gross_kg: String((tenths * 100 + 12_345) / 1000),
      tare_kg: '12.345',
      net_kg: String((tenths * 100 + off) / 1000),
    }),
  ),
  fc.record({ bags: amount(0, 40), net_kg: fc.constant('') }),
  fc.record({ found_full: fc.constant('yes') }),
);
const sorted = fc.constantFrom(
  '',
  'ldpe-clear:1.5',
  'ldpe-printed:0.0005;ldpe-clear:2.0004',
  'hdpe-white:0.25',
);

const tables: fc.Arbitrary<Tables> = fc
  .record({ sites: keys(4), vans: keys(2), drivers: keys(2), products: keys(2), others: keys(5) })
  .chain((k) =>
    fc.record({
      sites: withKeys(k.sites, siteRow).chain((rows) =>
        fc
          .array(rule, { minLength: rows.length, maxLength: rows.length })
          .map((rules) => rows.map((row, i): Cells => ({ ...row, ...rules[i] }))),
      ),
      vans: withKeys(k.vans, {
        name: word,
        payload_kg: amount(1, 3000),
        load_space_l: amount(1, 20_000),
        cost_per_km: amount(0, 5),
      }),
      drivers: withKeys(k.drivers, { name: word, cost_per_hour: amount(0, 90) }),
      shifts: withKeys(k.others, {
        van: oneOf(k.vans),
        driver: oneOf(k.drivers),
        day,
        starts: fc.constantFrom('0:00', '07:30'),
        ends: fc.constantFrom('15:05', '24:00'),
      }),
      products: withKeys(k.products, {
        name: word,
        film_kg_per_unit: amount(0.001, 20),
        yield: amount(0.01, 1),
        off_cut_return: amount(0, 1),
        grades: shares,
      }),
      production: fc.uniqueArray(fc.record({ product: oneOf(k.products), day, units: whole(0, 500) }), {
        maxLength: 5,
        selector: (row) => `${row.day} ${row.product}`,
      }),
      surges: withKeys(k.others, {
        site: oneOf(k.sites),
        event_kind: fc.constantFrom('festival', 'other'),
        name: text,
        starts_at: instant,
        ends_at: fc.constant('2026-08-01T15:00:30Z'),
        expected_bags: amount(0.1, 500),
        announced_at: perhaps(instant),
      }),
      'weigh-ins': withKeys(k.others, {
        site: oneOf(k.sites),
        at: instant,
        grades: sorted,
        note: text,
      }).chain((rows) =>
        fc
          .array(mass, { minLength: rows.length, maxLength: rows.length })
          .map((masses) => rows.map((row, i): Cells => ({ ...row, ...masses[i] }))),
      ),
      stock: withKeys(k.others, {
        day,
        grade: fc.constantFrom('ldpe-clear', 'hdpe-white'),
        kind: fc.constant('correction'),
        kg: amount(-90, 90),
        note: text,
      }),
    }),
  );

const exportsOf = ({ store }: Context): Map<TableKind, string> =>
  new Map(IMPORT_ORDER.map((kind) => [kind, [...exportCsv(store, kind)].join('')]));

async function importExports(context: Context, exports: ReadonlyMap<TableKind, string>) {
  const reports = [];
  for (const [kind, csv] of exports) {
    const path = join(folder, `${kind}.csv`);
    writeFileSync(path, csv);
    reports.push(await importTable(context, kind, path, OPTIONS));
  }
  return reports;
}

describe('any rows that are accepted', () => {
  test('come out, change nothing where they came from, and make an equal register elsewhere', async () => {
    await fc.assert(
      fc.asyncProperty(tables, async (given) => {
        const here = openWorkshop();
        const there = openWorkshop();
        for (const kind of IMPORT_ORDER) {
          const rows = given[kind].map((cells, i) => ({ line: i + 1, cells }));
          const report = importRows(here, kind, rows, OPTIONS);
          expect(report.faults, kind).toEqual([]);
          expect(importRows(here, kind, rows, OPTIONS), `${kind} again`).toMatchObject({
            added: 0,
            changed: 0,
            unchanged: rows.length,
          });
        }
        const exports = exportsOf(here);
        for (const report of await importExports(here, exports))
          expect(report).toMatchObject({
            added: 0,
            changed: 0,
            faults: [],
            unchanged: given[report.kind].length,
          });
        for (const report of await importExports(there, exports))
          expect(report).toMatchObject({ added: given[report.kind].length, changed: 0, faults: [] });
        expect(exportsOf(there)).toEqual(exports);
        expect(exportGeoJson(there.store)).toBe(exportGeoJson(here.store));
        expect([...ledgerFaults(here.store), ...ledgerFaults(there.store)]).toEqual([]);
        for (const { store } of [here, there]) closeStore(store);
      }),
      { numRuns: 25 },
    );
  });
});
