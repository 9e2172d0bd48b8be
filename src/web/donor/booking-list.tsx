/** The requests of one site, newest first, each with its state and a way to look closer or cancel. */
import { dayShort, kg, localDay, number } from '../shared/format.ts';
import { EVENT_WORDS } from '../shared/words.ts';
import type { BookingView, DonorWorkshop } from './donor-view.ts';
import { STATE_WORDS, windowWords } from './donor-words.ts';

type Props = { readonly bookings: readonly BookingView[]; readonly workshop: DonorWorkshop };

/** "40 sacks after a festival". */
export function bookingWords({
  expectedBags,
  expectedKg,
  eventKind,
}: Pick<BookingView, 'expectedBags' | 'expectedKg' | 'eventKind'>): string {
  const much =
    expectedBags !== undefined
      ? `${number(expectedBags)} ${expectedBags === 1 ? 'sack' : 'sacks'}`
      : expectedKg !== undefined
        ? kg(expectedKg)
        : 'an extra collection';
  return eventKind === undefined ? much : `${much}, ${EVENT_WORDS[eventKind]}`;
}

export const BookingList = ({ bookings, workshop: { zone } }: Props) =>
  bookings.length === 0 ? null : (
    <div>
      <h3>Your requests</h3>
      <ul class="donor-bookings">
        {bookings.map((booking) => (
          <li>
            <span class={`donor-state donor-state-${booking.state}`}>{STATE_WORDS[booking.state]}</span>
            <span>
              {bookingWords(booking)}
              <span class="soft">
                {' '}
                {booking.plannedAt === undefined
                  ? windowWords(booking.fromAt, booking.untilAt, zone)
                  : `planned ${dayShort(localDay(booking.plannedAt, zone))}`}
              </span>
            </span>
            <a href={`/donor/bookings/${booking.bookingId}`}>
              {booking.state === 'waiting' || booking.state === 'confirmed'
                ? 'Look, change or cancel'
                : 'Look'}
              <span class="unseen">: {bookingWords(booking)}</span>
            </a>
          </li>
        ))}
      </ul>
    </div>
  );
