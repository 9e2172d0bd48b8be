/** Requests of people who are no donors yet. */
import { asc, eq, isNull } from 'drizzle-orm';
import { placeRequests } from '../../db/schema.ts';
import type { Instant, LocalDay } from '../core/quantity/units.ts';
import type { EventKind } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

export type PlaceRequest = {
  readonly id: string;
  readonly name: string;
  readonly contact: string;
  readonly place: string;
  readonly eventKind: EventKind;
  readonly eventEndsAt: Instant;
  readonly expectedBags: number;
  /** Last day on which it can be fetched. */
  readonly untilDay: LocalDay;
  readonly remarks: string;
  readonly requestedAt: Instant;
  readonly answeredAt: Instant | null;
  readonly answeredBy: string | null;
};

export function savePlaceRequest(tx: Tx, request: PlaceRequest): void {
  tx.insert(placeRequests)
    .values(request)
    .onConflictDoUpdate({ target: placeRequests.id, set: request })
    .run();
}
export const getPlaceRequest = (db: Db, id: string): PlaceRequest | undefined =>
  db.select().from(placeRequests).where(eq(placeRequests.id, id)).get();
/** Not answered yet, oldest first. */
export const listOpenPlaceRequests = (db: Db): PlaceRequest[] =>
  db
    .select()
    .from(placeRequests)
    .where(isNull(placeRequests.answeredAt))
    .orderBy(asc(placeRequests.requestedAt), asc(placeRequests.id))
    .all();
