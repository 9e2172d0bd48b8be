/** One request: what happens next, what was asked for, and a way out. */
import { dateTime } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import { bookingWords } from './booking-list.tsx';
import type { BookingPageView } from './donor-view.ts';
import { STATE_WORDS, whatNext, windowWords } from './donor-words.ts';

const FRAME = { role: 'donor', here: '/donor', width: 'narrow' } as const;

export const BookingPage = ({
  view: { workshop, booking },
  notice,
}: {
  readonly view: BookingPageView;
  readonly notice?: Notice | undefined;
}) => {
  const { zone, phone } = workshop;
  const tel = telUri(phone);
  const isOpen = booking.state === 'waiting' || booking.state === 'confirmed';
  return (
    <Page title={STATE_WORDS[booking.state]} workshop={workshop.name} notice={notice} {...FRAME}>
      <p>
        <a href="/donor">Back to your collections</a>
      </p>
      <div>
        <p class="kicker">{booking.siteName}</p>
        <h1>{STATE_WORDS[booking.state]}</h1>
      </div>
      <p class="lead">{whatNext(booking.state, booking.plannedAt, workshop)}</p>
      <dl class="pairs">
        <dt>What</dt>
        <dd>{bookingWords(booking)}</dd>
        {booking.eventEndsAt !== undefined && (
          <>
            <dt>Event ends</dt>
            <dd>{dateTime(booking.eventEndsAt, zone)}</dd>
          </>
        )}
        <dt>Fetch it</dt>
        <dd>{windowWords(booking.fromAt, booking.untilAt, zone)}</dd>
        {booking.remarks !== '' && (
          <>
            <dt>You said</dt>
            <dd>{booking.remarks}</dd>
          </>
        )}
        <dt>In it</dt>
        <dd>{booking.hazards === '' ? 'nothing sharp, wet or unknown' : booking.hazards}</dd>
        <dt>Asked</dt>
        <dd>{dateTime(booking.requestedAt, zone)}</dd>
      </dl>
      {isOpen && (
        <div class="actions">
          <a class="button" href={`/donor/bookings/${booking.bookingId}/change`}>
            Change it
          </a>
          <form method="post" action={`/donor/bookings/${booking.bookingId}/cancel`}>
            <button type="submit">Cancel this collection</button>
          </form>
          {tel && (
            <p class="hint">
              Questions? Call <a href={tel}>{phone}</a>.
            </p>
          )}
        </div>
      )}
    </Page>
  );
};
