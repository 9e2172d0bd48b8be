/** What booking, changing and quoting an extra collection have in common. */
import type { KnownSurge } from '../core/accumulation/site-model.ts';
import { openWindows } from '../core/calendar/opening.ts';
import { addDays, localOf } from '../core/calendar/zone.ts';
import type { HeldBooking } from '../core/planning/quote-held.ts';
import type { Instant } from '../core/quantity/units.ts';
import { type Booking, setBookingState } from '../store/bookings.ts';
import type { Db, Tx } from '../store/db.ts';
import type { CollectionFacts } from '../store/quotes.ts';
import type { Site } from '../store/sites.ts';
import { cancelSurge, getSurge, saveSurge } from '../store/surges.ts';
import { requireWorkshop } from '../store/workshop.ts';

export type FactsRefusal =
  | { readonly kind: 'site-not-found' }
  | { readonly kind: 'closed-all-window' }
  | { readonly kind: 'window-over'; readonly untilAt: Instant };

/** Why no van could ever come in this window; nothing where one could. */
export function windowRefusal(
  db: Db,
  site: Site,
  { fromAt, untilAt }: Pick<CollectionFacts, 'fromAt' | 'untilAt'>,
  at: Instant,
): FactsRefusal | undefined {
  if (untilAt <= at) return { kind: 'window-over', untilAt };
  const { zone } = requireWorkshop(db);
  return isOpenInside(site, zone, Math.max(at, fromAt), untilAt) ? undefined : { kind: 'closed-all-window' };
}

function isOpenInside(site: Site, zone: string, fromAt: Instant, untilAt: Instant): boolean {
  const lastDay = localOf(zone, untilAt).day;
  for (let day = localOf(zone, fromAt).day; day <= lastDay; day = addDays(day, 1))
    if (openWindows(site, zone, day).some((open) => open.fromAt < untilAt && fromAt < open.untilAt))
      return true;
  return false;
}

export const bagKgOf = (db: Db, site: Site): number => site.bagKg ?? requireWorkshop(db).bagKg;

export const bagsOf = (
  db: Db,
  site: Site,
  { expectedBags, expectedKg = 0 }: Pick<CollectionFacts, 'expectedBags' | 'expectedKg'>,
): number => expectedBags ?? expectedKg / bagKgOf(db, site);

/**
 * Sacks come in at an event's end, not evenly through the days before; and they are there for us only from when
 * they can be fetched.
 */
export const sacksAt = ({ eventEndsAt, fromAt }: Pick<CollectionFacts, 'eventEndsAt' | 'fromAt'>): Instant =>
  Math.max(eventEndsAt, fromAt);

/** An event's sacks are filled in its last hour. */
export const SACKS_COME_IN_S = 3600;

export const announcedSurge = (db: Db, site: Site, facts: CollectionFacts): KnownSurge => ({
  eventKind: facts.eventKind,
  startsAt: sacksAt(facts) - SACKS_COME_IN_S,
  endsAt: sacksAt(facts),
  expectedKg: bagsOf(db, site, facts) * bagKgOf(db, site),
});

/** Writes what was announced; null where nothing extra is expected. */
export function announceSacks(
  tx: Tx,
  site: Site,
  facts: CollectionFacts,
  { surgeId, bookingId, at, endsAt }: { surgeId: string; bookingId: string; at: Instant; endsAt: Instant },
): string | null {
  const expectedBags = bagsOf(tx, site, facts);
  if (!(expectedBags > 0)) return null;
  saveSurge(tx, {
    id: surgeId,
    key: `booking-${bookingId}-${surgeId}`,
    siteId: site.id,
    eventKind: facts.eventKind,
    name: '',
    startsAt: endsAt - SACKS_COME_IN_S,
    endsAt,
    expectedBags,
    announcedAt: at,
    cancelledAt: null,
  });
  return surgeId;
}

/** What a booking holds in the plan. */
export function heldBy(db: Db, site: Site, booking: Booking): HeldBooking {
  const surge = booking.surgeId === null ? undefined : getSurge(db, booking.surgeId);
  return {
    siteId: booking.siteId,
    window: { fromAt: booking.fromAt, untilAt: booking.untilAt },
    surge: surge && {
      eventKind: surge.eventKind,
      startsAt: surge.startsAt,
      endsAt: surge.endsAt,
      expectedKg: surge.expectedBags * bagKgOf(db, site),
    },
  };
}

export const isOpenBooking = ({ state }: Booking): boolean => state === 'waiting' || state === 'confirmed';

export function callOff(tx: Tx, booking: Booking, at: Instant): void {
  setBookingState(tx, booking.id, 'cancelled');
  if (booking.surgeId !== null) cancelSurge(tx, booking.surgeId, at);
}
