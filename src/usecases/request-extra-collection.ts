/** A donor asks for an extra collection after an event: a surge at the site and a booking that must be kept. */
import { openWindows } from '../core/calendar/opening.ts';
import { addDays, localOf } from '../core/calendar/zone.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import type { EventKind } from '../core/vocabulary.ts';
import {
  type Booking,
  getBooking,
  getBookingByIdempotencyKey,
  recordBooking,
  setBookingState,
} from '../store/bookings.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getSite, type Site } from '../store/sites.ts';
import { cancelSurge, listSurgesOfSite, saveSurge } from '../store/surges.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { Context } from './context.ts';
import { isSame } from './tables/count-writes.ts';

export type ExtraCollection = {
  /** Made by the form or given as Idempotency-Key: the same id again is the same request. */
  readonly factId: string;
  readonly siteId: string;
  readonly eventKind: EventKind;
  readonly eventEndsAt: Instant;
  readonly expectedBags?: number;
  readonly expectedKg?: Kg;
  readonly fromAt: Instant;
  readonly untilAt: Instant;
  readonly remarks: string;
  readonly hazards: string;
  readonly requestedBy: string;
};

export type ExtraCollectionRefusal =
  | { readonly kind: 'site-not-found' }
  | { readonly kind: 'closed-all-window' }
  | { readonly kind: 'window-over'; readonly untilAt: Instant }
  | { readonly kind: 'fact-differs' };

export function requestExtraCollection(
  { store, now, newId }: Context,
  request: ExtraCollection,
): Result<{ readonly bookingId: string }, ExtraCollectionRefusal> {
  return inTransaction(store, (tx) => {
    const site = getSite(tx, request.siteId);
    if (!site) return refuse({ kind: 'site-not-found' });
    const before = getBookingByIdempotencyKey(tx, request.factId);
    if (before)
      return isSameRequest(tx, site, before, request)
        ? ok({ bookingId: before.id })
        : refuse({ kind: 'fact-differs' });
    const at = now();
    if (request.untilAt <= at) return refuse({ kind: 'window-over', untilAt: request.untilAt });
    const { zone } = requireWorkshop(tx);
    if (!isOpenInside(site, zone, Math.max(at, request.fromAt), request.untilAt))
      return refuse({ kind: 'closed-all-window' });

    const bookingId = newId();
    const surgeId = newId();
    const bags = bagsOf(tx, site, request);
    const hasSurge = bags > 0;
    if (hasSurge)
      saveSurge(tx, {
        id: surgeId,
        key: `booking-${bookingId}`,
        siteId: site.id,
        eventKind: request.eventKind,
        name: '',
        startsAt: sacksAt(request) - 3600,
        endsAt: sacksAt(request),
        expectedBags: bags,
        announcedAt: at,
        cancelledAt: null,
      });
    recordBooking(tx, {
      id: bookingId,
      siteId: site.id,
      state: 'waiting',
      fromAt: request.fromAt,
      untilAt: request.untilAt,
      surgeId: hasSurge ? surgeId : null,
      remarks: request.remarks,
      hazards: request.hazards,
      requestedAt: at,
      requestedBy: request.requestedBy,
      idempotencyKey: request.factId,
    });
    appendEntry(tx, {
      at,
      kind: 'extra-collection-requested',
      subject: `site:${site.id}`,
      actor: request.requestedBy,
      facts: { bookingId, fromAt: request.fromAt, untilAt: request.untilAt, expectedBags: bags },
    });
    return ok({ bookingId });
  });
}

export type CancelBookingRefusal =
  | { readonly kind: 'booking-not-found' }
  | { readonly kind: 'booking-closed'; readonly state: 'done' | 'cancelled' };

export function cancelBooking(
  { store, now }: Context,
  request: { readonly bookingId: string; readonly actor: string },
): Result<{ readonly bookingId: string }, CancelBookingRefusal> {
  return inTransaction(store, (tx) => {
    const booking = getBooking(tx, request.bookingId);
    if (!booking) return refuse({ kind: 'booking-not-found' });
    if (booking.state === 'done' || booking.state === 'cancelled')
      return refuse({ kind: 'booking-closed', state: booking.state });
    const at = now();
    setBookingState(tx, booking.id, 'cancelled');
    if (booking.surgeId !== null) cancelSurge(tx, booking.surgeId, at);
    appendEntry(tx, {
      at,
      kind: 'extra-collection-cancelled',
      subject: `site:${booking.siteId}`,
      actor: request.actor,
      facts: { bookingId: booking.id },
    });
    return ok({ bookingId: booking.id });
  });
}

const bagsOf = (tx: Tx, site: Site, { expectedBags, expectedKg = 0 }: ExtraCollection): number =>
  expectedBags ?? expectedKg / (site.bagKg ?? requireWorkshop(tx).bagKg);

/**
 * Sacks come in at an event's end, not evenly through the days before; and they are there for us only from when
 * they can be fetched.
 */
const sacksAt = ({ eventEndsAt, fromAt }: ExtraCollection): Instant => Math.max(eventEndsAt, fromAt);

function isSameRequest(tx: Tx, site: Site, booking: Booking, request: ExtraCollection): boolean {
  const bags = bagsOf(tx, site, request);
  const surge = surgeOfBooking(tx, booking);
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

function isOpenInside(site: Site, zone: string, fromAt: Instant, untilAt: Instant): boolean {
  const lastDay = localOf(zone, untilAt).day;
  for (let day = localOf(zone, fromAt).day; day <= lastDay; day = addDays(day, 1))
    if (openWindows(site, zone, day).some((open) => open.fromAt < untilAt && fromAt < open.untilAt))
      return true;
  return false;
}

/** What the surge of a booking announced, for pages. */
export const surgeOfBooking = (tx: Tx | Context['store'], booking: Booking) =>
  booking.surgeId === null
    ? undefined
    : listSurgesOfSite(tx, booking.siteId).find((surge) => surge.id === booking.surgeId);
