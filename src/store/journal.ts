/** What happened, in order. Rows are only ever added, in the transaction that writes the state they tell of. */
import { and, asc, desc, eq, gt, inArray, lt, max, notInArray } from 'drizzle-orm';
import { journal } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import { type Db, prepared, type Tx } from './db.ts';
import { ENTRY_KINDS, type EntryKind, type FactsOf } from './journal-kinds.ts';

type Told<K extends string, F> = {
  readonly at: Instant;
  /** Past tense, with subject: `weigh-in-recorded`. */
  readonly kind: K;
  /** What it is about: `site:abc`, `plan:def`. */
  readonly subject: string;
  readonly actor: string;
  readonly facts: F;
};
export type NewEntry = { readonly [K in EntryKind]: Told<K, FactsOf<K>> }[EntryKind];
/** As stored; `readFacts` makes sense of its facts. */
export type Entry = Told<string, unknown> & { readonly seq: number };

/** Gives the entry's place in the journal. @throws ZodError when the facts are not those of the kind */
export function appendEntry(tx: Tx, entry: NewEntry): number {
  const facts = ENTRY_KINDS[entry.kind].parse(entry.facts);
  return tx
    .insert(journal)
    .values({ ...entry, facts })
    .returning({ seq: journal.seq })
    .get().seq;
}

/** In order, from the one after `afterSeq` (0 is the beginning). */
export const readEntriesAfter = (db: Db, afterSeq: number, limit = 500): Entry[] =>
  db.select().from(journal).where(gt(journal.seq, afterSeq)).orderBy(asc(journal.seq)).limit(limit).all();

/** Of these kinds, after `afterSeq`, in order. */
export const readEntriesOfKinds = (
  db: Db,
  kinds: readonly EntryKind[],
  afterSeq: number,
  limit: number,
): Entry[] =>
  db
    .select()
    .from(journal)
    .where(and(gt(journal.seq, afterSeq), inArray(journal.kind, [...kinds])))
    .orderBy(asc(journal.seq))
    .limit(limit)
    .all();

/** Newest first, from the one before `beforeSeq`. */
export const readEntriesBefore = (db: Db, beforeSeq: number, limit: number): Entry[] =>
  db.select().from(journal).where(lt(journal.seq, beforeSeq)).orderBy(desc(journal.seq)).limit(limit).all();

export const getEntry = (db: Db, seq: number): Entry | undefined =>
  db.select().from(journal).where(eq(journal.seq, seq)).get();

/** Newest first; of one kind, or of all. */
export const readEntriesAbout = (db: Db, subject: string, kind?: string, limit = 200): Entry[] =>
  db
    .select()
    .from(journal)
    .where(and(eq(journal.subject, subject), kind === undefined ? undefined : eq(journal.kind, kind)))
    .orderBy(desc(journal.seq))
    .limit(limit)
    .all();

export const newestEntry = (db: Db, kind: EntryKind): Entry | undefined =>
  db.select().from(journal).where(eq(journal.kind, kind)).orderBy(desc(journal.seq)).limit(1).get();

/** Place of the newest entry, 0 when there is none. */
export const lastSeq = (db: Db): number => prepared(db, selectLast).get()?.seq ?? 0;
const selectLast = (db: Db) =>
  db
    .select({ seq: max(journal.seq) })
    .from(journal)
    .prepare();

/** The same, leaving out entries of these kinds. */
export const lastSeqBeside = (db: Db, kinds: readonly string[]): number =>
  db
    .select({ seq: journal.seq })
    .from(journal)
    .where(notInArray(journal.kind, [...kinds]))
    .orderBy(desc(journal.seq))
    .limit(1)
    .get()?.seq ?? 0;
