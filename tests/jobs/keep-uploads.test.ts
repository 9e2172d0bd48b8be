/** Files that wait for a yes leave nothing behind once they are old, too many, or dealt with. */
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { keepUploads } from '../../src/jobs/keep-uploads.ts';

let folder: string;
let nowAt = 0;
let ids = 0;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'feedround-uploads-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const keeper = () => keepUploads({ now: () => nowAt, newId: () => `upload${++ids}` }, folder);
const file = { kind: 'vans', name: 'C:\\desk\\vans.csv', bytes: new TextEncoder().encode('key\n') } as const;

test('a file is found by its id, under the name that its owner knows', async () => {
  const uploads = keeper();
  const { id, path } = await uploads.put(file);
  expect(uploads.find(id)).toMatchObject({ kind: 'vans', name: 'vans.csv' });
  expect(existsSync(path)).toBe(true);
  await uploads.drop(id);
  expect(uploads.find(id)).toBeUndefined();
  expect(readdirSync(folder)).toEqual([]);
});

test('after an hour the next one sweeps it away', async () => {
  const uploads = keeper();
  const old = await uploads.put(file);
  nowAt += 3601;
  const fresh = await uploads.put(file);
  expect(uploads.find(old.id)).toBeUndefined();
  expect(uploads.find(fresh.id)).toBeDefined();
  expect(readdirSync(folder)).toHaveLength(1);
});

test('of many at once the newest eight stay', async () => {
  const uploads = keeper();
  const made = [];
  for (let i = 0; i < 11; i++) made.push(await uploads.put(file));
  expect(made.map(({ id }) => uploads.find(id) !== undefined)).toEqual([
    ...Array(3).fill(false),
    ...Array(8).fill(true),
  ]);
  expect(readdirSync(folder)).toHaveLength(8);
});
