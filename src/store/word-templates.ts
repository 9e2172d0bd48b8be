/** Texts that the workshop has put in place of the program's own. */
import { eq } from 'drizzle-orm';
import { wordTemplates } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';
import type { WordKind } from './word-kinds.ts';

export type OwnTemplate = {
  readonly template: WordKind;
  readonly subject: string;
  readonly body: string;
  readonly changedBy: string;
  readonly changedAt: Instant;
};

/** Inserts or replaces. */
export function saveTemplate(tx: Tx, row: OwnTemplate): void {
  tx.insert(wordTemplates).values(row).onConflictDoUpdate({ target: wordTemplates.template, set: row }).run();
}

/** The program's own text holds again. */
export function removeTemplate(tx: Tx, template: WordKind): void {
  tx.delete(wordTemplates).where(eq(wordTemplates.template, template)).run();
}

export const getTemplate = (db: Db, template: WordKind): OwnTemplate | undefined =>
  db.select().from(wordTemplates).where(eq(wordTemplates.template, template)).get() as
    | OwnTemplate
    | undefined;
