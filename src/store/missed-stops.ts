/** Stops that were not collected, with the reason. */
import { eq, inArray } from 'drizzle-orm';
import { missedStops } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { MissedReason } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

export type MissedStop = {
  readonly id: string;
  readonly siteId: string;
  readonly stopId: string | null;
  readonly at: Instant;
  readonly reason: MissedReason;
  readonly note: string;
  readonly recordedBy: string;
  readonly recordedAt: Instant;
};

/** Fails when the stop was reported missed before. */
export function recordMissedStop(tx: Tx, missed: MissedStop): void {
  tx.insert(missedStops).values(missed).run();
}

export const getMissedStop = (db: Db, id: string): MissedStop | undefined =>
  db.select().from(missedStops).where(eq(missedStops.id, id)).get();

export const listMissedOfStops = (db: Db, stopIds: readonly string[]): MissedStop[] =>
  stopIds.length === 0
    ? []
    : db
        .select()
        .from(missedStops)
        .where(inArray(missedStops.stopId, [...stopIds]))
        .all();
