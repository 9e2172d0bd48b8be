/** One request: what happens next, what was asked for, and a way out. */
import type { Say } from '../messages/say.ts';
import { hazardWords } from '../shared/hazards.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import type { BookingPageView } from './donor-view.ts';

const FRAME = { role: 'donor', here: '/donor', width: 'narrow' } as const;

export const BookingPage = ({
  say,
  view: { workshop, booking },
  notice,
}: {
  readonly say: Say;
  readonly view: BookingPageView;
  readonly notice?: Notice | undefined;
}) => {
  const { zone, phone } = workshop;
  const words = say.booking;
  const tel = telUri(phone);
  const isOpen = booking.state === 'waiting' || booking.state === 'confirmed';
  return (
    <Page
      title={words.states[booking.state]}
      say={say}
      languagePath={`/donor/bookings/${booking.bookingId}`}
      workshop={workshop.name}
      notice={notice}
      {...FRAME}
    >
      <p>
        <a href="/donor">{say.donor.back}</a>
      </p>
      <div>
        <p class="kicker">{booking.siteName}</p>
        <h1>{words.states[booking.state]}</h1>
      </div>
      <p class="lead">{words.whatNext(booking.state, booking.plannedAt, workshop)}</p>
      <dl class="pairs">
        <dt>{words.what}</dt>
        <dd>{words.wanted(booking)}</dd>
        {booking.eventEndsAt !== undefined && (
          <>
            <dt>{words.eventEnds}</dt>
            <dd>{say.f.dateTime(booking.eventEndsAt, zone)}</dd>
          </>
        )}
        <dt>{words.fetchIt}</dt>
        <dd>{words.window(booking.fromAt, booking.untilAt, zone)}</dd>
        {booking.remarks !== '' && (
          <>
            <dt>{words.youSaid}</dt>
            <dd>{booking.remarks}</dd>
          </>
        )}
        <dt>{words.inIt}</dt>
        <dd>{booking.hazards === '' ? words.nothingInIt : hazardWords(booking.hazards, say)}</dd>
        <dt>{words.askedAt}</dt>
        <dd>{say.f.dateTime(booking.requestedAt, zone)}</dd>
      </dl>
      {booking.state === 'confirmed' && (
        <p>
          <a class="button" href={`/donor/bookings/${booking.bookingId}/visit.ics`}>
            {words.calendarFile}
          </a>
        </p>
      )}
      {isOpen && (
        <div class="actions">
          <a class="button" href={`/donor/bookings/${booking.bookingId}/change`}>
            {words.changeIt}
          </a>
          <form method="post" action={`/donor/bookings/${booking.bookingId}/cancel`}>
            <button type="submit">{words.cancelIt}</button>
          </form>
          {tel && (
            <p class="hint">
              <a href={tel}>{say.donor.questions(phone)}</a>
            </p>
          )}
        </div>
      )}
    </Page>
  );
};
