/** Weigh-ins of which a person says that the figure is right, however odd it looks. One row a weigh-in. */
import { eq } from 'drizzle-orm';
import { weighInConfirmations } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';

export type Confirmation = {
  readonly weighInId: string;
  readonly confirmedBy: string;
  readonly confirmedAt: Instant;
};

/** Fails on a weigh-in that is confirmed already: look it up first. */
export function recordConfirmation(tx: Tx, confirmation: Confirmation): void {
  tx.insert(weighInConfirmations).values(confirmation).run();
}

export function removeConfirmation(tx: Tx, weighInId: string): void {
  tx.delete(weighInConfirmations).where(eq(weighInConfirmations.weighInId, weighInId)).run();
}

export const getConfirmation = (db: Db, weighInId: string): Confirmation | undefined =>
  db.select().from(weighInConfirmations).where(eq(weighInConfirmations.weighInId, weighInId)).get();

/** By weigh-in. Few, since only odd weigh-ins are asked about. */
export const listConfirmations = (db: Db): Map<string, Confirmation> =>
  new Map(
    db
      .select()
      .from(weighInConfirmations)
      .all()
      .map((row) => [row.weighInId, row]),
  );
