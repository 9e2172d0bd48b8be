/**
 * Word to people, written in the transaction that makes it true and handed over afterwards. A mail takes its words
 * under an id of its own before it goes, and keeps it when it must go again.
 */
import { and, asc, desc, eq, inArray, isNotNull, isNull, lte, or, sql } from 'drizzle-orm';
import { outbox } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { UnsaidReason } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

export type Word = {
  readonly id: string;
  /** An address in small letters; empty where nobody gave one. */
  readonly recipient: string;
  /** Who is meant: `donor:abc`. */
  readonly person: string;
  readonly template: string;
  readonly facts: unknown;
  readonly createdAt: Instant;
  readonly notBeforeAt: Instant;
  readonly unsaid: UnsaidReason | null;
};
export type StoredWord = Word & {
  readonly mailId: string | null;
  readonly leasedUntilAt: Instant | null;
  readonly attempts: number;
  readonly sentAt: Instant | null;
  readonly parkedAt: Instant | null;
  readonly error: string | null;
};

/** Saying the same thing twice (same id) leaves the first. */
export function queueWord(tx: Tx, word: Word): void {
  tx.insert(outbox).values(word).onConflictDoNothing({ target: outbox.id }).run();
}

const isOpen = () => and(isNull(outbox.sentAt), isNull(outbox.unsaid), isNull(outbox.parkedAt));
const isFree = (at: Instant) => or(isNull(outbox.leasedUntilAt), lte(outbox.leasedUntilAt, at));

/** The oldest word that is due and that nobody is sending right now. */
export const nextDue = (db: Db, at: Instant): StoredWord | undefined =>
  db
    .select()
    .from(outbox)
    .where(and(isOpen(), isFree(at), lte(outbox.notBeforeAt, at)))
    .orderBy(asc(outbox.notBeforeAt), asc(outbox.createdAt), asc(outbox.id))
    .limit(1)
    .get();

/** Not yet in any mail, whether due or not: a mail that goes anyway takes them along. */
export const wordsFor = (db: Db, recipient: string): StoredWord[] =>
  db
    .select()
    .from(outbox)
    .where(and(isOpen(), isNull(outbox.mailId), eq(outbox.recipient, recipient)))
    .orderBy(asc(outbox.createdAt), asc(outbox.id))
    .all();

export const wordsOfMail = (db: Db, mailId: string): StoredWord[] =>
  db
    .select()
    .from(outbox)
    .where(eq(outbox.mailId, mailId))
    .orderBy(asc(outbox.createdAt), asc(outbox.id))
    .all();

/** Nobody else sends these until then. */
export function leaseWords(
  tx: Tx,
  ids: readonly string[],
  lease: { readonly mailId: string; readonly leasedUntilAt: Instant; readonly attempts: number },
): void {
  tx.update(outbox)
    .set(lease)
    .where(inArray(outbox.id, [...ids]))
    .run();
}

export function markMailSent(tx: Tx, mailId: string, sentAt: Instant): void {
  tx.update(outbox)
    .set({ sentAt, leasedUntilAt: null, error: null })
    .where(and(eq(outbox.mailId, mailId), isNull(outbox.sentAt)))
    .run();
}

/** Kept for another go at `notBeforeAt`, or, without, until a person says so. */
export function markMailFailed(
  tx: Tx,
  mailId: string,
  error: string,
  then: { readonly notBeforeAt: Instant } | { readonly parkedAt: Instant },
): void {
  tx.update(outbox)
    .set({ error, leasedUntilAt: null, ...then })
    .where(and(eq(outbox.mailId, mailId), isNull(outbox.sentAt)))
    .run();
}

/** At once, with all its tries. */
export function unparkMail(tx: Tx, mailId: string, at: Instant): void {
  tx.update(outbox)
    .set({ parkedAt: null, attempts: 0, notBeforeAt: at })
    .where(and(eq(outbox.mailId, mailId), isNotNull(outbox.parkedAt)))
    .run();
}

export function postpone(tx: Tx, ids: readonly string[], notBeforeAt: Instant): void {
  tx.update(outbox)
    .set({ notBeforeAt })
    .where(inArray(outbox.id, [...ids]))
    .run();
}

export function markUnsaid(tx: Tx, ids: readonly string[], unsaid: UnsaidReason): void {
  tx.update(outbox)
    .set({ unsaid })
    .where(inArray(outbox.id, [...ids]))
    .run();
}

/** What has not gone out and has nobody or nothing against it: parked first, then by time. */
export const listUnsent = (db: Db, limit = 200): StoredWord[] =>
  db
    .select()
    .from(outbox)
    .where(and(isNull(outbox.sentAt), isNull(outbox.unsaid)))
    .orderBy(sql`${outbox.parkedAt} IS NULL`, asc(outbox.notBeforeAt), asc(outbox.id))
    .limit(limit)
    .all();

/** What was said, and what was left unsaid, newest first. */
export const listDoneWords = (db: Db, limit = 100): StoredWord[] =>
  db
    .select()
    .from(outbox)
    .where(or(isNotNull(outbox.sentAt), isNotNull(outbox.unsaid)))
    .orderBy(desc(sql`coalesce(${outbox.sentAt}, ${outbox.createdAt})`), desc(outbox.id))
    .limit(limit)
    .all();
