/** Word to people, written in the transaction that makes it true and handed to a transport afterwards. */
import { and, asc, eq, isNull, lte } from 'drizzle-orm';
import { outbox } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';

export type Word = {
  readonly id: string;
  readonly recipient: string;
  readonly template: string;
  readonly facts: unknown;
  readonly createdAt: Instant;
  readonly notBeforeAt: Instant;
};

/** Saying the same thing twice (same id) leaves the first. */
export function queueWord(tx: Tx, word: Word): void {
  tx.insert(outbox).values(word).onConflictDoNothing({ target: outbox.id }).run();
}

/** Not sent yet, and not to be held back any more at `at`; oldest first. */
export const wordsDue = (db: Db, at: Instant, limit = 100): Word[] =>
  db
    .select({
      id: outbox.id,
      recipient: outbox.recipient,
      template: outbox.template,
      facts: outbox.facts,
      createdAt: outbox.createdAt,
      notBeforeAt: outbox.notBeforeAt,
    })
    .from(outbox)
    .where(and(isNull(outbox.sentAt), lte(outbox.notBeforeAt, at)))
    .orderBy(asc(outbox.notBeforeAt), asc(outbox.createdAt), asc(outbox.id))
    .limit(limit)
    .all();

export function markSent(tx: Tx, id: string, sentAt: Instant): void {
  tx.update(outbox).set({ sentAt, error: null }).where(eq(outbox.id, id)).run();
}

/** Tried and failed: kept for another go. */
export function markFailed(tx: Tx, id: string, error: string, notBeforeAt: Instant): void {
  tx.update(outbox).set({ error, notBeforeAt }).where(eq(outbox.id, id)).run();
}
