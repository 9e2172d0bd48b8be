/** What happened, in order. Rows are only ever added, in the transaction that writes the state they tell of. */
import { and, asc, desc, eq, gt, max, notInArray } from 'drizzle-orm';
import { journal, reactionCursors } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';

export type NewEntry = {
  readonly at: Instant;
  /** Past tense, with subject: `weigh-in-recorded`. */
  readonly kind: string;
  /** What it is about: `site:abc`, `plan:def`. */
  readonly subject: string;
  readonly actor: string;
  /** Plain data; parsed by whoever reads it. */
  readonly facts: unknown;
};
export type Entry = NewEntry & { readonly seq: number };

/** Gives the entry's place in the journal. */
export const appendEntry = (tx: Tx, entry: NewEntry): number =>
  tx.insert(journal).values(entry).returning({ seq: journal.seq }).get().seq;

/** In order, from the one after `afterSeq` (0 is the beginning). */
export const readEntriesAfter = (db: Db, afterSeq: number, limit = 500): Entry[] =>
  db.select().from(journal).where(gt(journal.seq, afterSeq)).orderBy(asc(journal.seq)).limit(limit).all();

/** Newest first; of one kind, or of all. */
export const readEntriesAbout = (db: Db, subject: string, kind?: string, limit = 200): Entry[] =>
  db
    .select()
    .from(journal)
    .where(and(eq(journal.subject, subject), kind === undefined ? undefined : eq(journal.kind, kind)))
    .orderBy(desc(journal.seq))
    .limit(limit)
    .all();

/** Place of the newest entry, 0 when there is none. */
export const lastSeq = (db: Db): number =>
  db
    .select({ seq: max(journal.seq) })
    .from(journal)
    .get()?.seq ?? 0;

/** The same, leaving out entries of these kinds. */
export const lastSeqBeside = (db: Db, kinds: readonly string[]): number =>
  db
    .select({ seq: journal.seq })
    .from(journal)
    .where(notInArray(journal.kind, [...kinds]))
    .orderBy(desc(journal.seq))
    .limit(1)
    .get()?.seq ?? 0;

/** How far a reaction has read. */
export const getCursor = (db: Db, reaction: string): number =>
  db.select().from(reactionCursors).where(eq(reactionCursors.reaction, reaction)).get()?.seq ?? 0;

export function setCursor(tx: Tx, reaction: string, seq: number): void {
  const row = { reaction, seq };
  tx.insert(reactionCursors)
    .values(row)
    .onConflictDoUpdate({ target: reactionCursors.reaction, set: row })
    .run();
}
