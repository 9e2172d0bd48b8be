/** A donor asks for an extra collection that nothing can be offered for yet: it waits, and the coordinator sees it. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { type Booking, getBookingByIdempotencyKey, recordBooking } from '../store/bookings.ts';
import { type Db, inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import type { CollectionFacts } from '../store/quotes.ts';
import { getSite, type Site } from '../store/sites.ts';
import { getSurge } from '../store/surges.ts';
import type { Context } from './context.ts';
import { announceSacks, bagsOf, type FactsRefusal, sacksAt, windowRefusal } from './extra-collection.ts';
import { isSame } from './tables/count-writes.ts';

export type ExtraCollection = CollectionFacts & {
  /** Made by the form or given as Idempotency-Key: the same id again is the same request. */
  readonly factId: string;
  readonly requestedBy: string;
};

export type ExtraCollectionRefusal = FactsRefusal | { readonly kind: 'fact-differs' };

export function requestExtraCollection(
  context: Context,
  { factId, requestedBy, ...facts }: ExtraCollection,
): Result<{ readonly bookingId: string }, ExtraCollectionRefusal> {
  return inTransaction(context.store, (tx) => {
    const site = getSite(tx, facts.siteId);
    if (!site) return refuse({ kind: 'site-not-found' });
    const before = getBookingByIdempotencyKey(tx, factId);
    if (before)
      return isSameRequest(tx, site, before, facts)
        ? ok({ bookingId: before.id })
        : refuse({ kind: 'fact-differs' });
    const refusal = windowRefusal(tx, site, facts, context.now());
    if (refusal) return refuse(refusal);
    return ok({ bookingId: recordWaiting(tx, context, facts, site, factId, requestedBy) });
  });
}

/** Answers the booking's id. */
export function recordWaiting(
  tx: Tx,
  { now, newId }: Pick<Context, 'now' | 'newId'>,
  facts: CollectionFacts,
  site: Site,
  factId: string,
  requestedBy: string,
): string {
  const at = now();
  const bookingId = newId();
  const endsAt = sacksAt(facts);
  const { fromAt, untilAt, remarks, hazards } = facts;
  recordBooking(tx, {
    id: bookingId,
    siteId: site.id,
    state: 'waiting',
    fromAt,
    untilAt,
    surgeId: announceSacks(tx, site, facts, { surgeId: newId(), bookingId, at, endsAt }),
    remarks,
    hazards,
    requestedAt: at,
    requestedBy,
    idempotencyKey: factId,
  });
  appendEntry(tx, {
    at,
    kind: 'extra-collection-requested',
    subject: `site:${site.id}`,
    actor: requestedBy,
    facts: { bookingId, fromAt, untilAt, expectedBags: bagsOf(tx, site, facts) },
  });
  return bookingId;
}

function isSameRequest(db: Db, site: Site, booking: Booking, request: CollectionFacts): boolean {
  const bags = bagsOf(db, site, request);
  const surge = booking.surgeId === null ? undefined : getSurge(db, booking.surgeId);
  return (
    booking.siteId === request.siteId &&
    booking.fromAt === request.fromAt &&
    booking.untilAt === request.untilAt &&
    booking.remarks === request.remarks &&
    booking.hazards === request.hazards &&
    (surge === undefined
      ? !(bags > 0)
      : isSame(surge.expectedBags, bags) &&
        surge.eventKind === request.eventKind &&
        surge.endsAt === sacksAt(request))
  );
}
