/** A booking becomes another one: its day, what is expected, what the driver should know. Its id stays. */
import type { Instant } from '../core/quantity/units.ts';
import { type Booking, updateBooking } from '../store/bookings.ts';
import type { Tx } from '../store/db.ts';
import { cancelSurge } from '../store/surges.ts';

/** Inside the transaction that takes the new offer; what was announced before is called off. */
export function changeBooking(tx: Tx, before: Booking, after: Booking, at: Instant): void {
  if (before.surgeId !== null) cancelSurge(tx, before.surgeId, at);
  updateBooking(tx, {
    ...after,
    id: before.id,
    requestedAt: before.requestedAt,
    requestedBy: before.requestedBy,
    idempotencyKey: before.idempotencyKey,
  });
}
