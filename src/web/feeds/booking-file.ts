/** One extra collection as a file for any calendar program; the planned hour where there is one. */
import { getBooking } from '../../store/bookings.ts';
import type { Db } from '../../store/db.ts';
import { publishedPlan } from '../../store/plans.ts';
import { getSite } from '../../store/sites.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import type { Say } from '../messages/say.ts';
import { writeCalendar } from './icalendar.ts';

const A_DAY_S = 86_400;

/** Nothing for a booking that is not at one of this donor's sites. */
export function bookingFile(db: Db, donorId: string, bookingId: string, say: Say): string | undefined {
  const booking = getBooking(db, bookingId);
  const site = booking && getSite(db, booking.siteId);
  if (!booking || site?.donorId !== donorId) return undefined;
  const { name, zone, settings } = requireWorkshop(db);
  const stop = (publishedPlan(db)?.rounds ?? [])
    .flatMap((round) => round.stops)
    .find((one) => one.siteId === site.id && one.startAt >= booking.fromAt && one.startAt < booking.untilAt);
  const plannedAt = stop?.startAt;
  return writeCalendar({
    name: say.booking.title,
    refreshS: A_DAY_S,
    events: [
      {
        // The name that the donor's feed has for it, so that a program that reads both shows it once.
        uid: `booking-${booking.id}@feedround`,
        sequence: booking.state === 'waiting' ? 0 : 1,
        changedAt: booking.requestedAt,
        fromAt: plannedAt ?? booking.fromAt,
        untilAt: stop?.departAt ?? booking.untilAt,
        status:
          booking.state === 'cancelled'
            ? 'CANCELLED'
            : booking.state === 'waiting'
              ? 'TENTATIVE'
              : 'CONFIRMED',
        summary: say.booking.calendarEntry(site.name, name),
        description: say.booking.whatNext(booking.state, plannedAt, { zone, phone: settings.phone }),
        location: [site.name, site.address].filter(Boolean).join(', '),
        position: { lat: site.lat, lon: site.lon },
      },
    ],
  });
}
