/** Prices, production and simulated years from the command line, over the demo town. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { localOf } from '../../src/core/calendar/zone.ts';
import { closeStore, inTransaction, openStore } from '../../src/store/db.ts';
import { listShifts, saveShift } from '../../src/store/shifts.ts';
import { saveSite } from '../../src/store/sites.ts';
import { listWorthRuns } from '../../src/store/worth-runs.ts';
import { aSite, smallStore } from '../fixtures/small-store.ts';
import { runHere } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-settings-'));
const db = join(folder, 'town.db');
beforeAll(async () => {
  expect((await runHere('import', 'folder', 'geo-fixtures', '--db', db)).status).toBe(0);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type Settings = { settings: { [key: string]: number }; changed: unknown[] };
const settings = async (...words: string[]): Promise<Settings> => {
  const { status, stdout } = await runHere('settings', ...words, '--json', '--db', db);
  expect(status).toBe(0);
  return JSON.parse(stdout) as Settings;
};

test('settings are listed with their units and defaults, changed in the same units, and put back', async () => {
  const { stdout } = await runHere('settings', '--db', db);
  expect(stdout).toMatch(/prices\.unloadS +20 +min +20 +How long the van stands/);
  expect(stdout).toMatch(/vans\/\S+ +0\.42 +EUR per km/);
  expect((await settings('prices.unloadS=12,5', 'loadQuantile=80')).settings).toMatchObject({
    'prices.unloadS': 750,
    loadQuantile: 0.8,
  });
  const back = await settings('prices.unloadS=default', 'loadQuantile=default');
  expect(back.settings).toMatchObject({ 'prices.unloadS': 1200, loadQuantile: 0.5 });
  expect(back.changed).toHaveLength(2);
});

test('a wrong setting is refused with its bounds, and nothing is changed', async () => {
  const refused = await runHere('settings', 'prices.unloadS=5', 'horizonDays=99', 'nothing=1', '--db', db);
  expect(refused.status).toBe(1);
  expect(refused.stderr).toContain('horizonDays: At most 28\u00a0days.');
  expect(refused.stderr).toContain('nothing: There is no setting nothing.');
  expect((await settings()).settings['prices.unloadS']).toBe(1200);
  expect((await runHere('settings', 'prices.unloadS', '--db', db)).status).toBe(2);
  expect((await runHere('settings', 'prices.unloadS=soon', '--db', db)).status).toBe(2);
});

test('a printed plan says what is to be bought in, and what to leave out when a van is full early', async () => {
  const { status, stdout } = await runHere('plan', '--from', '2026-06-15', '--iterations', '50', '--db', db);
  expect(status).toBe(0);
  expect(stdout).toMatch(/No film will have to be bought|will have to be bought within these/);
  expect(stdout).toMatch(/If the van is full early: Leave out .+ first/);
});

describe('simulated years', () => {
  const small = join(folder, 'small.db');
  beforeAll(() => {
    const store = smallStore(small);
    inTransaction(store, (tx) => {
      for (const id of ['s3', 's4']) saveSite(tx, aSite(id));
    });
    closeStore(store);
  });

  test('need a shift near today, and say so', async () => {
    // The small register's shifts are long over: this command goes by the clock on the wall.
    const { status, stderr } = await runHere('worth', '--worlds', '1', '--db', small);
    expect(status).toBe(1);
    expect(stderr).toContain('No shift stands within four weeks from today. Import shifts first');
  });

  test('are driven, kept and told in words and in JSON', async () => {
    const store = openStore(small);
    const today = localOf('Europe/Vienna', Math.floor(Date.now() / 1000)).day;
    inTransaction(store, (tx) =>
      saveShift(tx, { ...listShifts(tx)[0]!, id: 'h9', key: 'today', day: today }),
    );
    closeStore(store);
    const told = await runHere('worth', '--worlds', '1', '--weeks', '16', '--db', small);
    expect(told).toMatchObject({ status: 0, stderr: '' });
    expect(told.stdout).toContain('one drawn year cannot tell');
    expect(told.stdout).toMatch(/^Fetch whoever called +€/m);
    const run = JSON.parse(
      (await runHere('worth', '--worlds', '1', '--weeks', '16', '--json', '--db', small)).stdout,
    );
    expect(run).toMatchObject({ outcome: 'done', startedBy: 'command-line', comparison: { worlds: 1 } });
    const kept = openStore(small);
    expect(listWorthRuns(kept).map(({ outcome }) => outcome)).toEqual(['done', 'done']);
    closeStore(kept);
  });
});
