/** Whole-load totals found at unloading, to be apportioned over their stops. */
import { asc, eq } from 'drizzle-orm';
import { loadWeighIns } from '../../db/schema.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';
import { toG, toKg } from './grams.ts';

export type LoadWeighIn = {
  readonly id: string;
  readonly key: string;
  readonly at: Instant;
  readonly netKg: Kg;
  readonly roundId: string | null;
  readonly recordedBy: string;
  readonly recordedAt: Instant;
};

export function recordLoadWeighIn(tx: Tx, { key, netKg, ...rest }: LoadWeighIn): void {
  tx.insert(loadWeighIns)
    .values({ ...rest, externalKey: key, netG: toG(netKg) })
    .run();
}

export const listLoadWeighIns = (db: Db): LoadWeighIn[] =>
  db
    .select()
    .from(loadWeighIns)
    .orderBy(asc(loadWeighIns.at), asc(loadWeighIns.externalKey))
    .all()
    .map(fromRow);

export function getLoadWeighIn(db: Db, id: string): LoadWeighIn | undefined {
  const row = db.select().from(loadWeighIns).where(eq(loadWeighIns.id, id)).get();
  return row && fromRow(row);
}

const fromRow = ({ externalKey, netG, ...rest }: typeof loadWeighIns.$inferSelect): LoadWeighIn => ({
  ...rest,
  key: externalKey,
  netKg: toKg(netG),
});
