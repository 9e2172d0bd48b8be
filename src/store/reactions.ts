/** How far each reaction has read the journal, and the entries behind that place which it could not deal with yet. */
import { and, asc, count, eq, isNull, lte, min, sql } from 'drizzle-orm';
import { journal, parkedReactions, reactionCursors } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import { type Db, prepared, type Tx } from './db.ts';

/** Everything up to here has been dealt with or stands among the waiting; nothing where it never ran. */
export const getCursor = (db: Db, reaction: string): number | undefined =>
  db.select().from(reactionCursors).where(eq(reactionCursors.reaction, reaction)).get()?.seq;

export function setCursor(tx: Tx, reaction: string, seq: number): void {
  const row = { reaction, seq };
  tx.insert(reactionCursors)
    .values(row)
    .onConflictDoUpdate({ target: reactionCursors.reaction, set: row })
    .run();
}

export type Waiting = {
  readonly reaction: string;
  readonly seq: number;
  readonly subject: string;
  /** 0 where it only waits behind an earlier entry of its subject. */
  readonly attempts: number;
  /** Null once it has been given up: a person must say what to do. */
  readonly nextAt: Instant | null;
  readonly error: string;
};

/** Inserts or replaces. */
export function saveWaiting(tx: Tx, row: Waiting): void {
  tx.insert(parkedReactions)
    .values(row)
    .onConflictDoUpdate({ target: [parkedReactions.reaction, parkedReactions.seq], set: row })
    .run();
}

const isRow = (reaction: string, seq: number) =>
  and(eq(parkedReactions.reaction, reaction), eq(parkedReactions.seq, seq));

export const getWaiting = (db: Db, reaction: string, seq: number): Waiting | undefined =>
  db.select().from(parkedReactions).where(isRow(reaction, seq)).get();

export function removeWaiting(tx: Tx, reaction: string, seq: number): void {
  tx.delete(parkedReactions).where(isRow(reaction, seq)).run();
}

/** Whether anything waits for this reaction: mostly nothing does, and this costs little. */
export const hasWaiting = (db: Db, reaction: string): boolean =>
  prepared(db, selectAny).get({ reaction }) !== undefined;
const selectAny = (db: Db) =>
  db
    .select({ seq: parkedReactions.seq })
    .from(parkedReactions)
    .where(eq(parkedReactions.reaction, sql.placeholder('reaction')))
    .limit(1)
    .prepare();

export const isSubjectHeldUp = (db: Db, reaction: string, subject: string): boolean =>
  db
    .select({ seq: parkedReactions.seq })
    .from(parkedReactions)
    .where(and(eq(parkedReactions.reaction, reaction), eq(parkedReactions.subject, subject)))
    .limit(1)
    .get() !== undefined;

/** The earliest waiting entry of each subject; only these may run. */
const firstOfSubject = (db: Db) =>
  db
    .select({ reaction: parkedReactions.reaction, seq: min(parkedReactions.seq).as('first_seq') })
    .from(parkedReactions)
    .groupBy(parkedReactions.reaction, parkedReactions.subject)
    .as('first');

/** The next to be tried, if its time has come. */
export function nextWaiting(db: Db, reaction: string, at: Instant): Waiting | undefined {
  const first = firstOfSubject(db);
  return db
    .select()
    .from(parkedReactions)
    .innerJoin(
      first,
      and(eq(first.reaction, parkedReactions.reaction), eq(sql`first_seq`, parkedReactions.seq)),
    )
    .where(and(eq(parkedReactions.reaction, reaction), lte(parkedReactions.nextAt, at)))
    .orderBy(asc(parkedReactions.seq))
    .limit(1)
    .get()?.parked_reactions;
}

export type Parked = Waiting & {
  readonly kind: string;
  readonly at: Instant;
  readonly actor: string;
  readonly facts: unknown;
};

const parkedEntries = (db: Db) =>
  db
    .select({
      reaction: parkedReactions.reaction,
      seq: parkedReactions.seq,
      subject: parkedReactions.subject,
      attempts: parkedReactions.attempts,
      nextAt: parkedReactions.nextAt,
      error: parkedReactions.error,
      kind: journal.kind,
      at: journal.at,
      actor: journal.actor,
      facts: journal.facts,
    })
    .from(parkedReactions)
    .innerJoin(journal, eq(journal.seq, parkedReactions.seq))
    .$dynamic();

/** All that wait, whether for their time, for an earlier one, or for a person; oldest first. */
export const listWaiting = (db: Db): Parked[] =>
  parkedEntries(db).orderBy(asc(parkedReactions.seq), asc(parkedReactions.reaction)).all();

/** How many wait for a person. */
export const countGivenUp = (db: Db): number =>
  db.select({ count: count() }).from(parkedReactions).where(isNull(parkedReactions.nextAt)).get()?.count ?? 0;
