/** The command as people run it: words, exit codes, files, and the same bytes every time. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { COMMANDS } from '../../src/cli.ts';
import { TABLE_KINDS } from '../../src/usecases/tables/columns.ts';
import { ENTRY, runHere, runProcess } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-cli-'));
const db = join(folder, 'town.db');
const said = (text: string | RegExp) =>
  typeof text === 'string' ? expect.stringContaining(text) : expect.stringMatching(text);

beforeAll(async () => {
  expect(await runHere('import', 'folder', 'geo-fixtures', '--db', db)).toMatchObject({
    status: 0,
    stderr: '',
  });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a process', () => {
  test('exits with 1 when refused, 2 when the words are off, 0 (below) when done', () => {
    expect(runProcess('sites', '--db', join(folder, 'nothing.db'))).toMatchObject({ status: 1, stdout: '' });
    expect(runProcess('plann')).toMatchObject({ status: 2, stdout: '' });
  });

  test('whose reader stops reading ends in peace', () => {
    // `true` reads nothing; the table is longer than any pipe holds.
    const script = `"${process.execPath}" ${ENTRY} export weigh-ins --db "${db}" | true; echo "\${PIPESTATUS[0]}"`;
    expect(spawnSync('bash', ['-c', script], { encoding: 'utf8' })).toMatchObject({
      stdout: '0\n',
      stderr: '',
    });
  });

  test('starts from plain JavaScript that an old Node can read, and checks the version before anything native', () => {
    const text = readFileSync(ENTRY, 'utf8');
    expect(text.indexOf('process.versions.node')).toBeLessThan(text.indexOf('import('));
    expect(text).not.toMatch(/^import /m);
  });
});

describe('a plan that nobody could drive', () => {
  test.each([
    ['2020-01-06', /2020-01-06 is in the past \(today is \d{4}-\d\d-\d\d\)/],
    ['2031-01-06', /No shift is on the road from 2031-01-06 to 2031-01-07.*feedround import shifts/],
  ])('from %s says so beside the plan', async (from, note) => {
    const words = ['plan', '--from', from, '--days', '2', '--iterations', '0', '--json', '--db', db];
    const { status, stdout, stderr } = await runHere(...words);
    expect(status).toBe(0);
    expect(stderr).toMatch(note);
    expect(JSON.parse(stdout).firstDay).toBe(from);
  });
});

describe('words', () => {
  test('every command explains itself and all its options', async () => {
    for (const { name, options, summary } of COMMANDS) {
      const { status, stdout } = await runHere(name, '--help');
      expect(status, name).toBe(0);
      expect(stdout).toContain(summary);
      for (const option of options) expect(stdout, name).toContain(`--${option.name}`);
    }
    const overview = await runHere('--help');
    expect(overview.status).toBe(0);
    for (const { name } of COMMANDS) expect(overview.stdout).toContain(`  ${name} `);
    expect(await runHere()).toEqual({ ...overview, status: 2 });
    expect(await runHere('--version')).toMatchObject({ status: 0, stdout: said(/^\d+\.\d+\.\d+\n$/) });
  });

  test.each<[words: string[], says: string | RegExp]>([
    [['plann'], 'There is no command "plann"'],
    [['plan', '--dayz', '3'], "'--dayz'"],
    [['plan', '--days', '99', '--db', db], 'from 1 to 28, not "99"'],
    [['plan', '--seed', '1.5', '--db', db], '--seed takes a whole number'],
    [['plan', '--from', '2026-02-30', '--db', db], 'not "2026-02-30"'],
    [['plan', 'monday', '--db', db], '"monday" is one word too many'],
    [['import', 'vans', 'geo-fixtures/vans.csv', 'more.csv', '--db', db], '"more.csv" is one word too many'],
    [['import', 'vens', 'geo-fixtures/vans.csv', '--db', db], 'There is no table "vens"'],
    [['export', 'vens', '--db', db], 'Export what?'],
    [['export', 'vans', 'vans.geojson', '--db', db], 'Only sites have a place'],
    [['link', 'neighbour', '--db', db], 'which one?'],
    [['backup', '--db', db], 'Where to?'],
  ])('that are off are a usage error: %j', async (words, says) => {
    expect(await runHere(...words)).toMatchObject({ status: 2, stdout: '', stderr: said(says) });
  });

  test('that are off make no database', async () => {
    const path = join(folder, 'never.db');
    expect((await runHere('import', '--db', path)).status).toBe(2);
    expect((await runHere('import', 'vans', join(folder, 'no.csv'), '--db', path)).status).toBe(1);
    expect((await runHere('sites', '--db', path)).status).toBe(1);
    expect(existsSync(path)).toBe(false);
  });
});

describe('what cannot be done is refused in one sentence that says what to do', () => {
  const text = join(folder, 'text.db');
  const dir = join(folder, 'dir');
  const bare = join(folder, 'bare.db');
  beforeAll(async () => {
    writeFileSync(text, 'not a database at all, only words. '.repeat(100));
    mkdirSync(dir);
    expect((await runHere('import', 'vans', 'geo-fixtures/vans.csv', '--db', bare)).status).toBe(0);
  });
  test.each<[words: string[], says: string | RegExp]>([
    [['sites', '--db', join(folder, 'nothing.db')], 'Import the workshop first'],
    [['sites', '--db', text], 'is not a database'],
    [['sites', '--db', dir], 'cannot be opened'],
    [['import', 'vans', 'geo-fixtures/vans.csv', '--db', join(text, 'a.db')], 'cannot be made'],
    [['plan', '--db', bare], 'has no workshop yet'],
    [['import', 'vans', dir, '--db', bare], 'is no file'],
    [['import', 'folder', dir, '--db', bare], /holds none of workshop\.json, sites\.csv/],
    [['import', 'folder', join(dir, 'no'), '--db', bare], 'There is no folder'],
    [['import', 'workshop', 'geo-fixtures/vans.csv', '--db', bare], 'is no JSON'],
    [['export', 'vans', join(folder, 'no', 'x.csv'), '--db', bare], 'cannot be written'],
    [['export', 'vans', dir, '--db', bare], 'cannot be written'],
    [['backup', text, '--db', bare], 'exists already'],
    [['backup', join(folder, 'no', 'x.db'), '--db', bare], 'There is no folder'],
    [['link', 'driver', 'nobody', '--db', db], /There is no driver "nobody"\. Known: driver-/],
  ])('%j', async (words, says) => {
    const { status, stdout, stderr } = await runHere(...words);
    expect({ status, stdout, stderr }).toMatchObject({ status: 1, stdout: '', stderr: said(says) });
    // A stack trace is no sentence.
    expect(stderr.trimEnd()).not.toMatch(/\n\s+at /);
  });
});

describe('files', () => {
  test('with mistakes exit with 1, name them in text and in JSON, and keep nothing', async () => {
    const path = join(folder, 'bad.csv');
    writeFileSync(
      path,
      'key,name,payload_kg,load_space_l,cost_per_km\nv,Van,heavy,9000,0.4\nw,Good,700,9000,0.4\n',
    );
    const inText = await runHere('import', 'vans', path, '--db', db);
    expect(inText).toMatchObject({
      status: 1,
      stdout: said('line 2, payload_kg "heavy": write a number in kg'),
    });
    const { status, stdout } = await runHere('import', 'vans', path, '--json', '--db', db);
    expect(status).toBe(1);
    expect(JSON.parse(stdout)).toMatchObject({
      isKept: false,
      faults: [{ line: 2, column: 'payload_kg', value: 'heavy' }],
    });
    expect((await runHere('export', 'vans', '--db', db)).stdout).not.toContain('Good');
  });

  test('tried with --dry-run are kept only without it', async () => {
    const path = join(folder, 'new.csv');
    writeFileSync(path, 'key,name,payload_kg,load_space_l,cost_per_km\ndry,Dry,700,9000,0.4\n');
    const vans = async () => (await runHere('export', 'vans', '--db', db)).stdout;
    const before = await vans();
    expect((await runHere('import', 'vans', path, '--dry-run', '--db', db)).stdout).toContain('1 added');
    expect(await vans()).toBe(before);
    expect((await runHere('import', 'vans', path, '--db', db)).stdout).toContain('1 added');
    expect(await vans()).not.toBe(before);
  });

  test.each([...TABLE_KINDS.map((kind) => `${kind}.csv`), 'sites.geojson'])(
    '%s that was exported comes back unchanged',
    async (name) => {
      const path = join(folder, name);
      const kind = name.split('.')[0]!;
      expect(await runHere('export', kind, path, '--db', db)).toEqual({ status: 0, stdout: '', stderr: '' });
      const { stdout } = await runHere('import', kind, path, '--db', db);
      expect(stdout).toMatch(/: 0 added, 0 changed, [1-9][\d,]* unchanged/);
      if (name.endsWith('.csv'))
        expect((await runHere('export', kind, '--db', db)).stdout).toBe(readFileSync(path, 'utf8'));
    },
  );

  test('of a backup are the same workshop', async () => {
    const path = join(folder, 'backup.db');
    expect((await runHere('backup', path, '--db', db)).status).toBe(0);
    const weighIns = (file: string) => runHere('export', 'weigh-ins', '--db', file);
    expect(await weighIns(path)).toEqual(await weighIns(db));
  });
});

test('sites --json lists each site once, the fullest first, with an interval around its median', async () => {
  const { status, stdout } = await runHere('sites', '--json', '--db', db);
  expect(status).toBe(0);
  const rows: { [name: string]: number }[] = JSON.parse(stdout);
  const keys = readFileSync('geo-fixtures/sites.csv', 'utf8')
    .trimEnd()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',')[0]!);
  // The one that no longer gives, by its active_until.
  const active = keys.filter((key) => key !== 'amber-cafe');
  expect(active).toHaveLength(keys.length - 1);
  expect(rows.map((row) => String(row['key'])).sort()).toEqual(active.sort());
  const fullness = rows.map((row) => row['median_kg']! / row['capacity_kg']!);
  expect(fullness).toEqual(fullness.toSorted((a, b) => b - a));
  for (const row of rows) {
    expect(row['low_kg']).toBeLessThanOrEqual(row['median_kg']!);
    expect(row['median_kg']).toBeLessThanOrEqual(row['high_kg']!);
    expect(row['high_kg']).toBeLessThanOrEqual(row['capacity_kg']!);
  }
  expect((await runHere('sites', 'harrow', '--db', db)).stdout).toContain('harrow-cash');
  expect((await runHere('sites', 'no', 'such', '--db', db)).stdout).toBe('No site matches "no such".\n');
});

test('the same facts, seed and iterations print the same bytes, in two databases that were loaded apart', async () => {
  const other = join(folder, 'other.db');
  expect((await runHere('import', 'folder', 'geo-fixtures', '--db', other)).status).toBe(0);
  // The van that a test above added.
  expect((await runHere('import', 'vans', join(folder, 'vans.csv'), '--db', other)).status).toBe(0);
  const words = [
    'plan',
    '--from',
    '2026-06-15',
    '--days',
    '7',
    '--seed',
    '1',
    '--iterations',
    '60',
    '--json',
    '--db',
  ];
  const once = await runHere(...words, db);
  expect(once).toMatchObject({ status: 0, stderr: '' });
  expect((await runHere(...words, db)).stdout).toBe(once.stdout);
  expect(runProcess(...words, other).stdout).toBe(once.stdout);
  const printed = JSON.parse(once.stdout);
  expect(printed.rounds.length).toBeGreaterThan(3);
  expect(printed.rounds[0].stops[0].site).toMatch(/^[a-z-]+$/);
  expect((await runHere('check', '--db', db)).stdout).toMatch(/fine {3}The newest draft.* holds/);
});

test('check finds what is wrong, and exits with 1', async () => {
  expect(await runHere('check', '--db', db)).toMatchObject({ status: 0, stdout: said('fine') });
  const path = join(folder, 'short.db');
  expect((await runHere('backup', path, '--db', db)).status).toBe(0);
  const { default: Database } = await import('better-sqlite3');
  const raw = new Database(path);
  raw.exec(
    "UPDATE stock_movements SET g = g + 1 WHERE rowid = (SELECT min(rowid) FROM stock_movements WHERE kind = 'collected')",
  );
  raw.close();
  const { status, stdout } = await runHere('check', '--json', '--db', path);
  expect(status).toBe(1);
  const { fine, findings } = JSON.parse(stdout);
  expect(fine).toBe(false);
  expect(findings.filter((finding: { isFault: boolean }) => finding.isFault)).toMatchObject([
    { what: said(/^Weigh-in w\d+: [\d.]+ kg weighed, [\d.]+ kg booked/) },
  ]);
});
