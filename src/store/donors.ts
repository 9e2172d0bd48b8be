/** Who gives film. A donor may have several sites. */
import { asc, eq } from 'drizzle-orm';
import { donors } from '../../db/schema.ts';
import type { Db, Tx } from './db.ts';

export type Donor = { readonly id: string; readonly key: string; readonly name: string };

const columns = { id: donors.id, key: donors.externalKey, name: donors.name };

export const listDonors = (db: Db): Donor[] =>
  db.select(columns).from(donors).orderBy(asc(donors.externalKey)).all();
export const getDonor = (db: Db, id: string): Donor | undefined =>
  db.select(columns).from(donors).where(eq(donors.id, id)).get();
export const getDonorByKey = (db: Db, key: string): Donor | undefined =>
  db.select(columns).from(donors).where(eq(donors.externalKey, key)).get();

export function saveDonor(tx: Tx, { id, key, name }: Donor): void {
  const row = { id, externalKey: key, name };
  tx.insert(donors).values(row).onConflictDoUpdate({ target: donors.id, set: row }).run();
}
