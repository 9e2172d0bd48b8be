/** Two commands at once on one database: who reads does not wait for who writes, and a second writer is told. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { runHere } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-two-'));
const db = join(folder, 'town.db');
let writer: Database.Database;
beforeAll(async () => {
  expect((await runHere('import', 'folder', 'geo-fixtures', '--db', db)).status).toBe(0);
  // Holds the write lock as a long import does.
  writer = new Database(db);
  writer.exec("BEGIN IMMEDIATE; UPDATE vans SET name = 'renamed'");
});
afterAll(() => {
  writer.close();
  rmSync(folder, { recursive: true, force: true });
});

test('reading goes on while another process writes, and sees what was kept before', async () => {
  const vans = await runHere('export', 'vans', '--db', db);
  expect(vans).toMatchObject({ status: 0, stderr: '' });
  expect(vans.stdout).not.toContain('renamed');
  expect((await runHere('sites', '--db', db)).status).toBe(0);
  expect((await runHere('check', '--db', db)).status).toBe(0);
  // A reader that waited for the writer would have failed, as the writer below does.
});

test('a second writer waits a while, then says so and keeps nothing', async () => {
  const words = ['import', 'vans', 'geo-fixtures/vans.csv', '--db', db];
  expect(await runHere(...words)).toEqual({
    status: 1,
    stdout: '',
    stderr: 'Another command is writing to the database. Wait until it has ended and try again.\n',
  });
  writer.exec('COMMIT');
  expect((await runHere(...words)).stdout).toContain('2 changed');
});
