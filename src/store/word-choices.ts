/** What an address wants to be told, and the token by which whoever has its mail may say so. */
import { eq } from 'drizzle-orm';
import { wordChoices } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { WordChoice } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

export type ChoiceOfAddress = {
  /** In small letters. */
  readonly address: string;
  readonly choice: WordChoice;
  readonly remindDayBefore: boolean;
  readonly token: string;
  readonly changedAt: Instant;
};

export const getChoice = (db: Db, address: string): ChoiceOfAddress | undefined =>
  db.select().from(wordChoices).where(eq(wordChoices.address, address)).get();
export const getChoiceByToken = (db: Db, token: string): ChoiceOfAddress | undefined =>
  db.select().from(wordChoices).where(eq(wordChoices.token, token)).get();

/** Inserts or replaces. */
export function saveChoice(tx: Tx, row: ChoiceOfAddress): void {
  tx.insert(wordChoices).values(row).onConflictDoUpdate({ target: wordChoices.address, set: row }).run();
}
