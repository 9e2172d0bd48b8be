/**
 * kill -9 of a real process at chosen moments of its work on the file, told by the size of the write-ahead log: the
 * clock would hit another moment on every machine. Afterwards all of it is there or nothing, and the file is whole.
 */
import { spawn } from 'node:child_process';
import { copyFileSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { closeStore, openStore } from '../../src/store/db.ts';
import { getPlan, listPlans } from '../../src/store/plans.ts';
import { ENTRY, runHere } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-kill-'));
const town = join(folder, 'town.db');
const young = join(folder, 'young.db');
const bulk = join(folder, 'bulk.csv');
const few = join(folder, 'few.csv');
const ROWS = 30_000;
/** Nothing here takes a fifth of it. */
const BOUND_MS = 30_000;

const sizeOf = (path: string): number => statSync(path, { throwIfNoEntry: false })?.size ?? 0;

/** Runs the command and kills it as soon as `isTime`; its signal, or null if it had ended before. */
const killWhen = (isTime: () => boolean, ...args: string[]) =>
  new Promise<NodeJS.Signals | null>((done, failed) => {
    const child = spawn(process.execPath, [ENTRY, ...args], { stdio: 'ignore' });
    const late = setTimeout(() => {
      child.kill('SIGKILL');
      failed(new Error(`the moment did not come in ${BOUND_MS} ms`));
    }, BOUND_MS);
    const watch = setInterval(() => {
      if (isTime()) child.kill('SIGKILL');
    }, 1);
    child.on('exit', (_code, signal) => {
      clearTimeout(late);
      clearInterval(watch);
      done(signal);
    });
  });

const inStore = <T>(path: string, look: (store: ReturnType<typeof openStore>) => T): T => {
  const store = openStore(path);
  try {
    return look(store);
  } finally {
    closeStore(store);
  }
};
const count = (path: string, table: string): number =>
  inStore(path, (store) => store.$client.prepare(`SELECT count(*) FROM ${table}`).pluck().get() as number);

beforeAll(async () => {
  expect((await runHere('import', 'folder', 'geo-fixtures', '--db', town)).status).toBe(0);
  // Without a history there is nothing to fit first: planning begins with the search.
  for (const kind of ['workshop.json', 'sites.csv', 'vans.csv', 'drivers.csv', 'shifts.csv']) {
    const path = join('geo-fixtures', kind);
    expect((await runHere('import', kind.split('.')[0]!, path, '--db', young)).status).toBe(0);
  }
  const rows = Array.from({ length: ROWS }, (_, i) => {
    const at = new Date(Date.UTC(2025, 0, 1) + i * 900_000).toISOString().slice(0, 16);
    return `bulk-${i},harrow-cash,${at}Z,${(i % 40) + 1}`;
  });
  writeFileSync(bulk, `key,site,at,net_kg\n${rows.join('\n')}\n`);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('during an import of 30,000 weigh-ins', () => {
  const moments: readonly [when: string, isTime: (path: string) => boolean, left: readonly number[]][] = [
    ['while the file is read', (path) => sizeOf(`${path}-shm`) > 0, [0]],
    ['while pages are written that are not kept yet', (path) => sizeOf(`${path}-wal`) > 1_000_000, [0]],
    // From the first page of the keeping to its last there are some milliseconds: either side is right.
    ['while it is kept', (path) => sizeOf(`${path}-wal`) > 5_000_000, [0, ROWS]],
    ['while what is kept moves from the log into the file', (path) => sizeOf(path) > sizeOf(town), [ROWS]],
  ];
  test.each(moments)('%s', async (_when, isTime, left) => {
    const path = join(folder, 'killed.db');
    for (const end of ['', '-wal', '-shm']) rmSync(path + end, { force: true });
    copyFileSync(town, path);
    const before = { weighIns: count(town, 'weigh_ins'), journal: count(town, 'journal') };
    const signal = await killWhen(() => isTime(path), 'import', 'weigh-ins', bulk, '--db', path);
    if (left.includes(0)) expect(signal).toBe('SIGKILL');
    const added = count(path, 'weigh_ins') - before.weighIns;
    expect(left).toContain(added);
    // The journal tells of the import if and only if it is there.
    expect(count(path, 'journal') - before.journal).toBe(added === 0 ? 0 : 1);
    expect(await runHere('check', '--db', path)).toMatchObject({ status: 0 });
    // What was left behind is no obstacle to the next file.
    writeFileSync(few, 'key,site,at,net_kg\nnext,harrow-cash,2025-01-01T07:07,5\n');
    expect((await runHere('import', 'weigh-ins', few, '--db', path)).stdout).toContain('1 added');
  });
});

describe('during planning', () => {
  const plan = ['plan', '--from', '2026-06-15', '--iterations'];
  const check = async (path: string) => {
    expect(await runHere('check', '--db', path)).toMatchObject({ status: 0 });
    return inStore(path, (store) => listPlans(store).map(({ id }) => getPlan(store, id)!.rounds.length));
  };

  test('in the search, no plan is there', async () => {
    const path = join(folder, 'search.db');
    copyFileSync(young, path);
    const before = await check(path);
    let opened = 0;
    const isSearching = () => sizeOf(`${path}-shm`) > 0 && ++opened > 300;
    expect(await killWhen(isSearching, ...plan, '10000000', '--db', path)).toBe('SIGKILL');
    expect(await check(path)).toEqual(before);
  });

  test('as the plan is kept, it is there whole or not at all, and the next one can be made', async () => {
    const path = join(folder, 'keep.db');
    copyFileSync(young, path);
    const before = await check(path);
    let made = before.length;
    // As the first page is written, and between the plan's own row and those of its stops.
    for (const bytes of [0, 20_000]) {
      await killWhen(() => sizeOf(`${path}-wal`) > bytes, ...plan, '20', '--seed', '2', '--db', path);
      const after = await check(path);
      expect(after.length - made).toBeOneOf([0, 1]);
      for (const rounds of after) expect(rounds).toBeGreaterThan(0);
      made = after.length;
    }
    expect((await runHere(...plan, '20', '--seed', '2', '--db', path)).status).toBe(0);
    expect(await check(path)).toHaveLength(made + 1);
  });
});
