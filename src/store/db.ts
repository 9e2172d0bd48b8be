/**
 * Opens the database file: one SQLite file, migrated to the program's schema, or a clear refusal.
 *
 * `Db` is enough to read. `Tx` in a signature means: only inside a transaction; a store is not a transaction,
 * so the compiler holds callers to it.
 */
import { existsSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import type { ExtractTablesWithRelations } from 'drizzle-orm';
import { drizzle } from 'drizzle-orm/better-sqlite3';
import { readMigrationFiles } from 'drizzle-orm/migrator';
import type { BaseSQLiteDatabase, SQLiteTransaction } from 'drizzle-orm/sqlite-core';
import * as schema from '../../db/schema.ts';

type Schema = typeof schema;
/** The store, or a transaction on it: enough to read. */
export type Db = BaseSQLiteDatabase<'sync', Database.RunResult, Schema>;
/** Only a transaction: for writes that must not stand alone. */
export type Tx = SQLiteTransaction<'sync', Database.RunResult, Schema, ExtractTablesWithRelations<Schema>>;
/** The open database. `$client` is for the store's own use. */
export type Store = Db & {
  transaction<T>(fn: (tx: Tx) => T, config?: { behavior?: 'deferred' | 'immediate' | 'exclusive' }): T;
  readonly $client: Database.Database;
};

/** Why a file could not be opened; the message says what to do. */
export class StoreOpenError extends Error {
  override readonly name = 'StoreOpenError';
  readonly reason:
    | 'no-folder'
    | 'cannot-open'
    | 'not-a-database'
    | 'not-feedround'
    | 'newer-version'
    | 'other-history';
  constructor(reason: StoreOpenError['reason'], message: string) {
    super(message);
    this.reason = reason;
  }
}

/** SQLite's own mark for "whose file is this" (PRAGMA application_id): the letters `Feed`. */
const APPLICATION_ID = 0x46656564;
/** How long a writer waits for another process's transaction before it gives up. */
const BUSY_TIMEOUT_MS = 10_000;
const MIGRATIONS_FOLDER = fileURLToPath(new URL('../../db/migrations', import.meta.url));

/** Opens (and creates, if absent) the database at `path`, or a private one in memory. Close it with `closeStore`. */
export function openStore(path: string): Store {
  const inMemory = path === ':memory:';
  const folder = dirname(resolve(path));
  if (!inMemory && !existsSync(folder))
    throw new StoreOpenError(
      'no-folder',
      `There is no folder ${folder} for the database. Create it, or name another file.`,
    );
  const client = connect(path);
  try {
    prepareClient(client, path);
  } catch (error) {
    client.close();
    throw error;
  }
  return drizzle({ client, schema }) as unknown as Store;
}

function connect(path: string): Database.Database {
  try {
    return new Database(path, { timeout: BUSY_TIMEOUT_MS });
  } catch (error) {
    if (!(error instanceof Database.SqliteError) || !error.code.startsWith('SQLITE_CANTOPEN')) throw error;
    throw new StoreOpenError(
      'cannot-open',
      `${path} cannot be opened. Name a file, not a folder, that you may read and write.`,
    );
  }
}

/** Where the open database lies, for a thread that opens it too. */
export const databasePathOf = (store: Store): string => store.$client.name;

export function closeStore(store: Store): void {
  store.$client.close();
}

/**
 * Runs `fn` in one transaction that takes the write lock at once, so that what it read cannot have changed when
 * it writes. All of it or nothing: a throw rolls back. `fn` must not be async.
 */
export function inTransaction<T>(store: Store, fn: (tx: Tx) => T): T {
  const value = store.transaction(fn, { behavior: 'immediate' });
  for (const tell of listeners.get(store) ?? []) tell();
  return value;
}

/**
 * Calls `tell` after each transaction of this store that was kept; what other processes write must be looked for.
 * `tell` only takes note: it must not write. Ends with the function that it gives.
 */
export function afterWrites(store: Store, tell: () => void): () => void {
  const own = listeners.get(store) ?? new Set();
  listeners.set(store, own.add(tell));
  return () => void own.delete(tell);
}
const listeners = new WeakMap<Store, Set<() => void>>();

/**
 * One transaction around work that waits for a file. Takes the write lock at once and keeps it; nobody else may
 * use this store meanwhile, so it is for a command of its own, not for a server. `fn` says whether to keep it.
 */
export async function inLongTransaction<T>(
  store: Store,
  fn: (tx: Tx) => Promise<{ readonly keep: boolean; readonly value: T }>,
): Promise<T> {
  const client = store.$client;
  client.exec('BEGIN IMMEDIATE');
  try {
    // The store is inside the transaction now, which is all that `Tx` means.
    const { keep, value } = await fn(store as unknown as Tx);
    client.exec(keep ? 'COMMIT' : 'ROLLBACK');
    return value;
  } catch (error) {
    if (client.inTransaction) client.exec('ROLLBACK');
    throw error;
  }
}

/**
 * A statement prepared once per connection; pass a module-level builder. An ad hoc query costs ten times as much
 * (about 190 µs against 17), which counts where an import asks 100,000 times.
 */
export function prepared<P>(db: Db, build: (db: Db) => P): P {
  // A transaction is a new object each time, on the same session as its store.
  const session = (db as unknown as { readonly session: object }).session;
  const built = statements.get(session) ?? new Map<unknown, unknown>();
  statements.set(session, built);
  if (!built.has(build)) built.set(build, build(db));
  return built.get(build) as P;
}
const statements = new WeakMap<object, Map<unknown, unknown>>();

function prepareClient(client: Database.Database, path: string): void {
  requireOurs(client, path);
  // Readers do not wait for the writer, nor the writer for readers.
  client.pragma('journal_mode = WAL');
  // FULL, not NORMAL: a phone forgets a weigh-in as soon as we say we have it, so it must survive a power cut.
  client.pragma('synchronous = FULL');
  migrate(client, path);
  client.pragma('foreign_keys = ON');
}

function requireOurs(client: Database.Database, path: string): void {
  try {
    const id = client.pragma('application_id', { simple: true });
    const objects = client.prepare('SELECT count(*) FROM sqlite_schema').pluck().get();
    if (id === APPLICATION_ID || objects === 0) return;
  } catch (error) {
    if (!(error instanceof Database.SqliteError) || error.code !== 'SQLITE_NOTADB') throw error;
    throw new StoreOpenError(
      'not-a-database',
      `${path} is not a database. Name the Feedround database file, or a file that does not exist yet.`,
    );
  }
  throw new StoreOpenError(
    'not-feedround',
    `${path} is a database of another program. Name the Feedround database file, or a file that does not exist yet.`,
  );
}

/** Asked without a lock, so that opening to read never waits for another process's import. */
function isUpToDate(client: Database.Database, migrations: readonly { readonly hash: string }[]): boolean {
  const isMade = client
    .prepare("SELECT count(*) FROM sqlite_schema WHERE name = 'applied_migrations'")
    .pluck();
  if (isMade.get() === 0 || client.pragma('application_id', { simple: true }) !== APPLICATION_ID)
    return false;
  const applied = client.prepare('SELECT hash FROM applied_migrations ORDER BY seq').pluck().all();
  return applied.length === migrations.length && migrations.every(({ hash }, i) => hash === applied[i]);
}

/** Applies what is missing, in order, in one transaction; two processes that open at once do it once. */
function migrate(client: Database.Database, path: string): void {
  const migrations = readMigrationFiles({ migrationsFolder: MIGRATIONS_FOLDER });
  if (isUpToDate(client, migrations)) return;
  // Rebuilding a table drops it for a moment; references are checked below instead.
  client.pragma('foreign_keys = OFF');
  client
    .transaction(() => {
      client.exec(
        'CREATE TABLE IF NOT EXISTS applied_migrations (seq INTEGER PRIMARY KEY, hash TEXT NOT NULL) STRICT',
      );
      const applied = client
        .prepare('SELECT hash FROM applied_migrations ORDER BY seq')
        .pluck()
        .all() as string[];
      if (applied.length > migrations.length)
        throw new StoreOpenError(
          'newer-version',
          `${path} was last used by a newer Feedround (its schema has ${applied.length} steps, this program knows ${migrations.length}). Update Feedround, or restore a backup made before the update.`,
        );
      if (applied.some((hash, i) => hash !== migrations[i]?.hash))
        throw new StoreOpenError(
          'other-history',
          `${path} was made by a development version whose schema was rewritten since. Export from it with that version and import into a new file.`,
        );
      const note = client.prepare('INSERT INTO applied_migrations (seq, hash) VALUES (?, ?)');
      for (let seq = applied.length; seq < migrations.length; seq++) {
        const { sql, hash } = migrations[seq]!;
        for (const statement of sql) client.exec(statement);
        note.run(seq, hash);
      }
      const dangling = client.pragma('foreign_key_check') as unknown[];
      if (dangling.length > 0)
        throw new Error(`${path}: ${dangling.length} rows point at rows that are gone; nothing was migrated`);
      client.pragma(`application_id = ${APPLICATION_ID}`);
    })
    .immediate();
}
