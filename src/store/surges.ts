/** Bursts of film announced at a site. */
import { and, asc, eq, isNull } from 'drizzle-orm';
import { surges } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { EventKind } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

export type Surge = {
  readonly id: string;
  readonly key: string;
  readonly siteId: string;
  readonly eventKind: EventKind;
  readonly name: string;
  readonly startsAt: Instant;
  readonly endsAt: Instant;
  readonly expectedBags: number;
  readonly announcedAt: Instant;
  readonly cancelledAt: Instant | null;
};

const fromRow = ({ externalKey, ...rest }: typeof surges.$inferSelect): Surge => ({
  ...rest,
  key: externalKey,
});

/** Inserts or replaces. */
export function saveSurge(tx: Tx, { key, ...rest }: Surge): void {
  const row = { ...rest, externalKey: key };
  tx.insert(surges).values(row).onConflictDoUpdate({ target: surges.id, set: row }).run();
}

export function cancelSurge(tx: Tx, id: string, at: Instant): void {
  tx.update(surges)
    .set({ cancelledAt: at })
    .where(and(eq(surges.id, id), isNull(surges.cancelledAt)))
    .run();
}

export const getSurge = (db: Db, id: string): Surge | undefined =>
  db.select().from(surges).where(eq(surges.id, id)).all().map(fromRow)[0];
/** By start; cancelled ones are in the list. */
export const listSurges = (db: Db): Surge[] =>
  db.select().from(surges).orderBy(asc(surges.startsAt), asc(surges.externalKey)).all().map(fromRow);
export const listSurgesOfSite = (db: Db, siteId: string): Surge[] =>
  db.select().from(surges).where(eq(surges.siteId, siteId)).orderBy(asc(surges.startsAt)).all().map(fromRow);
