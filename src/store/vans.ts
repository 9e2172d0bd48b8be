/** The workshop's vans. */
import { asc, eq } from 'drizzle-orm';
import { vans } from '../../db/schema.ts';
import type { Instant, Kg, Litres, LocalDay, Micros } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';
import { toG, toKg } from './grams.ts';

export type Van = {
  readonly id: string;
  readonly key: string;
  readonly name: string;
  readonly payloadKg: Kg;
  readonly loadSpaceL: Litres;
  readonly costMicrosPerKm: Micros;
  readonly offRoadFromAt: Instant | null;
  /** The next safety check, by law or by the workshop's own rule. */
  readonly checkDueDay: LocalDay | null;
};

const fromRow = ({ externalKey, payloadG, ...rest }: typeof vans.$inferSelect): Van => ({
  ...rest,
  key: externalKey,
  payloadKg: toKg(payloadG),
});

/** Inserts or replaces. */
export function saveVan(tx: Tx, { key, payloadKg, ...rest }: Van): void {
  const row = { ...rest, externalKey: key, payloadG: toG(payloadKg) };
  tx.insert(vans).values(row).onConflictDoUpdate({ target: vans.id, set: row }).run();
}

export const listVans = (db: Db): Van[] =>
  db.select().from(vans).orderBy(asc(vans.externalKey)).all().map(fromRow);
export const getVan = (db: Db, id: string): Van | undefined =>
  db.select().from(vans).where(eq(vans.id, id)).all().map(fromRow)[0];
