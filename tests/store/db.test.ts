import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { eq } from 'drizzle-orm';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { grades } from '../../db/schema.ts';
import { closeStore, inTransaction, openStore, StoreOpenError } from '../../src/store/db.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'feedround-db-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const reasonOf = (path: string): string => {
  try {
    closeStore(openStore(path));
    return 'opened';
  } catch (error) {
    if (error instanceof StoreOpenError) return error.reason;
    throw error;
  }
};
const film = { grade: 'ldpe-clear', name: 'clear film', buyPriceMicrosPerKg: 800_000 };

test('a new file is migrated, and opens again with what was written', () => {
  const path = join(folder, 'a.db');
  const store = openStore(path);
  inTransaction(store, (tx) => tx.insert(grades).values(film).run());
  closeStore(store);
  const again = openStore(path);
  expect(again.select().from(grades).all()).toEqual([film]);
  closeStore(again);
});

test('every table is STRICT, so that a column cannot hold another type', () => {
  const store = openStore(':memory:');
  const tables = store.$client.pragma('table_list') as { schema: string; name: string; strict: number }[];
  const ours = tables.filter((t) => t.schema === 'main' && !t.name.startsWith('sqlite_'));
  expect(ours.length).toBeGreaterThan(25);
  expect(ours.filter((t) => t.strict !== 1).map((t) => t.name)).toEqual([]);
  closeStore(store);
});

test('references are enforced', () => {
  const store = openStore(':memory:');
  expect(() =>
    store.$client
      .prepare(
        "INSERT INTO stock_movements VALUES ('m', NULL, 0, '2026-01-01', 'nothing', 'opening', 1, NULL, NULL, '')",
      )
      .run(),
  ).toThrow(/FOREIGN KEY/);
  closeStore(store);
});

test('a throw inside a transaction leaves nothing behind', () => {
  const store = openStore(':memory:');
  expect(() =>
    inTransaction(store, (tx) => {
      tx.insert(grades).values(film).run();
      throw new Error('no');
    }),
  ).toThrow('no');
  expect(store.select().from(grades).where(eq(grades.grade, film.grade)).all()).toEqual([]);
  closeStore(store);
});

test('a text file, a foreign database and a missing folder are told apart', () => {
  const text = join(folder, 'sites.csv');
  writeFileSync(text, 'key,name\n'.repeat(200));
  expect(reasonOf(text)).toBe('not-a-database');

  const foreign = join(folder, 'other.db');
  const other = new Database(foreign);
  other.exec('CREATE TABLE birds (name TEXT)');
  other.close();
  expect(reasonOf(foreign)).toBe('not-feedround');

  expect(reasonOf(join(folder, 'no', 'such', 'a.db'))).toBe('no-folder');
});

test('a database of a newer program is refused and left alone', () => {
  const path = join(folder, 'newer.db');
  const store = openStore(path);
  store.$client.exec("INSERT INTO applied_migrations VALUES (99, 'of the future')");
  closeStore(store);
  expect(reasonOf(path)).toBe('newer-version');
});

test('a database whose first migration was rewritten is refused with advice', () => {
  const path = join(folder, 'rewritten.db');
  const store = openStore(path);
  store.$client.exec("UPDATE applied_migrations SET hash = 'else' WHERE seq = 0");
  closeStore(store);
  expect(reasonOf(path)).toBe('other-history');
});
