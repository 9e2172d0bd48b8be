/** The requests of one site, newest first, each with its state and a way to look closer or cancel; and what was announced. */
import type { Say } from '../messages/say.ts';
import { localDay } from '../shared/format.ts';
import type { DonorSiteView, DonorWorkshop } from './donor-view.ts';

type Props = { readonly say: Say; readonly site: DonorSiteView; readonly workshop: DonorWorkshop };

export const BookingList = ({ say: { booking: words }, site, workshop: { zone } }: Props) =>
  site.bookings.length === 0 && site.announced.length === 0 ? null : (
    <div>
      <h3>{words.requests}</h3>
      <ul class="donor-bookings">
        {site.announced.map((surge) => (
          <li>
            <span class="donor-state">{words.announced}</span>
            <span>{words.announcedText(surge, surge.eventEndsAt, zone)}</span>
            <form method="post" action={`/donor/announced/${surge.surgeId}/withdrawal`}>
              <button class="quiet" type="submit">
                {words.callOff}
                <span class="unseen">: {words.wanted(surge)}</span>
              </button>
            </form>
          </li>
        ))}
        {site.bookings.map((booking) => (
          <li>
            <span class={`donor-state donor-state-${booking.state}`}>{words.states[booking.state]}</span>
            <span>
              {words.wanted(booking)}
              <span class="soft">
                {' '}
                {booking.plannedAt === undefined
                  ? words.window(booking.fromAt, booking.untilAt, zone)
                  : words.planned(localDay(booking.plannedAt, zone))}
              </span>
            </span>
            <a href={`/donor/bookings/${booking.bookingId}`}>
              {booking.state === 'waiting' || booking.state === 'confirmed' ? words.lookChange : words.look}
              <span class="unseen">: {words.wanted(booking)}</span>
            </a>
          </li>
        ))}
      </ul>
    </div>
  );
