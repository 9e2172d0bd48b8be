/** The command as people run it: a process of its own, a real file, exit codes, and kill -9 at any moment. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { COMMANDS } from '../../src/cli.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-cli-'));
const db = join(folder, 'town.db');
const run = (...args: string[]) => {
  const { status, stdout, stderr } = spawnSync(process.execPath, ['src/feedround.js', ...args], {
    encoding: 'utf8',
  });
  return { status, stdout, stderr };
};

beforeAll(() => {
  const loaded = run('import', 'folder', 'geo-fixtures', '--db', db);
  expect(loaded.stderr).toBe('');
  expect(loaded.status).toBe(0);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('words', () => {
  test('every command explains itself', () => {
    for (const { name, options } of COMMANDS) {
      const { status, stdout } = run(name, '--help');
      expect(status, name).toBe(0);
      for (const option of options) expect(stdout, name).toContain(`--${option.name}`);
    }
  });

  test('an unknown command or option is a usage error, and says what there is', () => {
    expect(run('plann')).toMatchObject({
      status: 2,
      stderr: expect.stringContaining('There is no command "plann"'),
    });
    expect(run('plan', '--dayz', '3')).toMatchObject({
      status: 2,
      stderr: expect.stringContaining("'--dayz'"),
    });
    expect(run('plan', '--days', '99', '--db', db)).toMatchObject({
      status: 2,
      stderr: expect.stringContaining('from 1 to 28'),
    });
    expect(run()).toMatchObject({ status: 2, stdout: expect.stringContaining('feedround COMMAND') });
  });

  test('a missing database, and a file that is none, are refused with what to do', () => {
    const missing = run('sites', '--db', join(folder, 'nothing.db'));
    expect(missing).toMatchObject({
      status: 1,
      stderr: expect.stringContaining('Import the workshop first'),
    });
    const text = join(folder, 'text.db');
    writeFileSync(text, 'not a database at all, only words. '.repeat(100));
    expect(run('sites', '--db', text)).toMatchObject({
      status: 1,
      stderr: expect.stringContaining('is not a database'),
    });
  });
});

test('the same facts, seed and iterations print the same bytes, in two databases that were loaded apart', () => {
  const other = join(folder, 'other.db');
  run('import', 'folder', 'geo-fixtures', '--db', other);
  const plan = (path: string) =>
    run(
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
      path,
    );
  const once = plan(db);
  expect(once.status).toBe(0);
  expect(plan(db).stdout).toBe(once.stdout);
  expect(plan(other).stdout).toBe(once.stdout);
  const printed = JSON.parse(once.stdout);
  expect(printed.rounds.length).toBeGreaterThan(3);
  expect(printed.rounds[0].stops[0].site).toMatch(/^[a-z-]+$/);
});

test('what is exported to a file comes back unchanged, and check finds no fault', () => {
  const path = join(folder, 'sites.csv');
  expect(run('export', 'sites', path, '--db', db).status).toBe(0);
  expect(run('import', 'sites', path, '--db', db).stdout).toMatch(/0 added, 0 changed, \d+ unchanged/);
  expect(run('check', '--db', db)).toMatchObject({
    status: 0,
    stdout: expect.stringContaining('The database file is whole'),
  });
});

test('a file with mistakes exits with 1 and names them', () => {
  const path = join(folder, 'bad.csv');
  writeFileSync(path, 'key,name,payload_kg,load_space_l,cost_per_km\nv,Van,heavy,9000,0.4\n');
  const { status, stdout } = run('import', 'vans', path, '--db', db);
  expect(status).toBe(1);
  expect(stdout).toContain('line 2, payload_kg "heavy": write a number in kg');
});

describe('kill -9', () => {
  const killedAfter = (ms: number, ...args: string[]) =>
    new Promise<NodeJS.Signals | null>((done) => {
      const child = spawn(process.execPath, ['src/feedround.js', ...args], { stdio: 'ignore' });
      const timer = setTimeout(() => child.kill('SIGKILL'), ms);
      child.on('exit', (_code, signal) => {
        clearTimeout(timer);
        done(signal);
      });
    });
  const weighIns = (path: string) =>
    run('export', 'weigh-ins', '--db', path).stdout.trimEnd().split('\n').length - 1;

  test('during an import leaves all of the file or nothing, and a whole database', async () => {
    const path = join(folder, 'killed.db');
    run('import', 'folder', 'geo-fixtures', '--db', path);
    const before = weighIns(path);
    const ROWS = 12_000;
    const rows = Array.from({ length: ROWS }, (_, i) => {
      const at = new Date(Date.UTC(2026, 0, 1) + i * 600_000).toISOString().slice(0, 16);
      return `bulk-${i},harrow-cash,${at}Z,${(i % 40) + 1}`;
    });
    const file = join(folder, 'bulk.csv');
    writeFileSync(file, `key,site,at,net_kg\n${rows.join('\n')}\n`);
    const signals: (NodeJS.Signals | null)[] = [];
    for (const ms of [250, 600, 900, 1200, 1600]) {
      signals.push(await killedAfter(ms, 'import', 'weigh-ins', file, '--db', path));
      const added = weighIns(path) - before;
      expect([0, ROWS]).toContain(added);
      expect(run('check', '--db', path), `killed after ${ms} ms`).toMatchObject({ status: 0 });
      if (added === ROWS) break;
    }
    expect(signals[0]).toBe('SIGKILL');
    // Again, undisturbed: whatever was left behind is no obstacle.
    expect(run('import', 'weigh-ins', file, '--db', path).status).toBe(0);
    expect(weighIns(path) - before).toBe(ROWS);
  });

  test('during planning leaves a whole database and no half plan', async () => {
    const args = ['plan', '--from', '2026-06-15', '--iterations', '1000000', '--db', db];
    for (const ms of [300, 900]) {
      expect(await killedAfter(ms, ...args)).toBe('SIGKILL');
      expect(run('check', '--db', db)).toMatchObject({ status: 0 });
    }
  });
});

test('the entry is plain JavaScript that an old Node can read, and checks the version before anything native', () => {
  const text = readFileSync('src/feedround.js', 'utf8');
  expect(text.indexOf('process.versions.node')).toBeLessThan(text.indexOf('import('));
  expect(text).not.toMatch(/^import /m);
});
