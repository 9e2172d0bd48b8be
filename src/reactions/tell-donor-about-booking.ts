/** An extra collection was asked for, confirmed, changed or cancelled: whoever is asked at the site hears of it. */

import { getBooking } from '../store/bookings.ts';
import { reaction } from '../usecases/reaction.ts';
import { tell } from '../usecases/word/queue-word.ts';

const WORDS = {
  'extra-collection-requested': 'booking-received',
  'extra-collection-confirmed': 'booking-confirmed',
  'extra-collection-changed': 'booking-changed',
  'extra-collection-cancelled': 'booking-cancelled',
} as const;

export const tellDonorAboutBooking = reaction({
  name: 'tell-donor-about-booking',
  on: [
    'extra-collection-requested',
    'extra-collection-confirmed',
    'extra-collection-changed',
    'extra-collection-cancelled',
  ],
  run: (context, { kind, facts: { bookingId }, seq }) => {
    const booking = getBooking(context.tx, bookingId);
    // Bookings are never deleted.
    if (!booking) throw new Error(`There is no booking ${bookingId}.`);
    const { siteId, fromAt, untilAt } = booking;
    tell(context, { template: WORDS[kind], facts: { siteId, bookingId, fromAt, untilAt } }, `entry ${seq}`);
  },
});
