/** Who drives. */
import { asc, eq } from 'drizzle-orm';
import { drivers } from '../../db/schema.ts';
import type { Micros } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';

export type Driver = {
  readonly id: string;
  readonly key: string;
  readonly name: string;
  readonly costMicrosPerHour: Micros;
  /** Where run sheets are told of; empty when nowhere. */
  readonly email: string;
};

const fromRow = ({ externalKey, ...rest }: typeof drivers.$inferSelect): Driver => ({
  ...rest,
  key: externalKey,
});

/** Inserts or replaces. */
export function saveDriver(tx: Tx, { key, ...rest }: Driver): void {
  const row = { ...rest, externalKey: key };
  tx.insert(drivers).values(row).onConflictDoUpdate({ target: drivers.id, set: row }).run();
}

export const listDrivers = (db: Db): Driver[] =>
  db.select().from(drivers).orderBy(asc(drivers.externalKey)).all().map(fromRow);
export const getDriver = (db: Db, id: string): Driver | undefined =>
  db.select().from(drivers).where(eq(drivers.id, id)).all().map(fromRow)[0];
