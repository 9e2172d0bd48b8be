/** Requests for an extra collection inside a window. */
import { and, asc, desc, eq, gt, inArray } from 'drizzle-orm';
import { bookings } from '../../db/schema.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { BookingState } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

export type Booking = {
  readonly id: string;
  readonly siteId: string;
  readonly state: BookingState;
  readonly fromAt: Instant;
  readonly untilAt: Instant;
  readonly surgeId: string | null;
  readonly remarks: string;
  readonly hazards: string;
  readonly requestedAt: Instant;
  readonly requestedBy: string;
  /** So that a request sent twice makes one booking. */
  readonly idempotencyKey: string | null;
};

/** Fails on an idempotency key that is taken: look it up first. */
export function recordBooking(tx: Tx, booking: Booking): void {
  tx.insert(bookings).values(booking).run();
}
export function setBookingState(tx: Tx, id: string, state: BookingState): void {
  tx.update(bookings).set({ state }).where(eq(bookings.id, id)).run();
}
/** Everything of it but its id. */
export function updateBooking(tx: Tx, { id, ...row }: Booking): void {
  tx.update(bookings).set(row).where(eq(bookings.id, id)).run();
}
export function setBookingWindow(tx: Tx, id: string, fromAt: Instant, untilAt: Instant): void {
  tx.update(bookings).set({ fromAt, untilAt }).where(eq(bookings.id, id)).run();
}

export const getBooking = (db: Db, id: string): Booking | undefined =>
  db.select().from(bookings).where(eq(bookings.id, id)).get();
export const getBookingByIdempotencyKey = (db: Db, key: string): Booking | undefined =>
  db.select().from(bookings).where(eq(bookings.idempotencyKey, key)).get();
/** Newest request first. */
export const listBookingsOfSite = (db: Db, siteId: string): Booking[] =>
  db.select().from(bookings).where(eq(bookings.siteId, siteId)).orderBy(desc(bookings.requestedAt)).all();
/** Waiting or confirmed, whenever their window is. */
export const listOpenBookings = (db: Db): Booking[] =>
  db
    .select()
    .from(bookings)
    .where(inArray(bookings.state, ['waiting', 'confirmed']))
    .orderBy(asc(bookings.fromAt), asc(bookings.id))
    .all();
/** In any of these states, with a window that is not over at `at`; by start of the window. */
export const listBookingsAhead = (db: Db, states: readonly BookingState[], at: Instant): Booking[] =>
  db
    .select()
    .from(bookings)
    .where(and(inArray(bookings.state, [...states]), gt(bookings.untilAt, at)))
    .orderBy(asc(bookings.fromAt), asc(bookings.id))
    .all();
