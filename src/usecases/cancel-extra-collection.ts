/** A donor does not want it after all: the booking and what it announced are called off, and the stop goes out. */
import { roundsOfPlan, roundsWithout } from '../core/planning/quote-held.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { getBooking } from '../store/bookings.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { publishedPlan } from '../store/plans.ts';
import { getSite } from '../store/sites.ts';
import type { Context } from './context.ts';
import { callOff, heldBy } from './extra-collection.ts';
import { publishWithRounds } from './publish-small-change.ts';

export type CancelBookingRefusal =
  | { readonly kind: 'booking-not-found' }
  | { readonly kind: 'booking-closed'; readonly state: 'done' | 'cancelled' };

export function cancelBooking(
  context: Context,
  request: { readonly bookingId: string; readonly actor: string },
): Result<{ readonly bookingId: string }, CancelBookingRefusal> {
  return inTransaction(context.store, (tx) => {
    const booking = getBooking(tx, request.bookingId);
    const site = booking && getSite(tx, booking.siteId);
    if (!booking || !site) return refuse({ kind: 'booking-not-found' });
    if (booking.state === 'done' || booking.state === 'cancelled')
      return refuse({ kind: 'booking-closed', state: booking.state });
    const at = context.now();
    const held = heldBy(tx, site, booking);
    callOff(tx, booking, at);
    appendEntry(tx, {
      at,
      kind: 'extra-collection-cancelled',
      subject: `site:${booking.siteId}`,
      actor: request.actor,
      facts: { bookingId: booking.id },
    });
    const told = publishedPlan(tx)?.plan;
    if (told && booking.state === 'confirmed') {
      const rounds = roundsOfPlan({ rounds: roundsWithout(told, held) });
      publishWithRounds(tx, context, { rounds, siteIds: [site.id], actor: request.actor });
    }
    return ok({ bookingId: booking.id });
  });
}
