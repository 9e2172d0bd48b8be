/**
 * A donor's calendar: visits that were published, extra collections that have no visit yet, and what the pickup
 * rules give beyond the plan's last day.
 */
import { isClosedOn } from '../../core/calendar/opening.ts';
import { occurrences } from '../../core/calendar/pickup-rule.ts';
import { followVisits, type VisitEntry } from '../../core/calendar/told-visits.ts';
import { addDays, instantOf, localOf } from '../../core/calendar/zone.ts';
import type { Instant, LocalDay } from '../../core/quantity/units.ts';
import type { BookingState } from '../../core/vocabulary.ts';
import { type Booking, listBookingsOfSite } from '../../store/bookings.ts';
import type { Db } from '../../store/db.ts';
import { readEntriesAbout } from '../../store/journal.ts';
import { publishedPlan } from '../../store/plans.ts';
import { listSitesOfDonor, type Site } from '../../store/sites.ts';
import type { ToldPlan, ToldStop } from '../../store/told-plans.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { dateTime } from '../shared/format.ts';
import type { CalendarEvent } from './icalendar.ts';

type Asked = {
  readonly donorId: string;
  readonly plans: readonly ToldPlan[];
  readonly firstDay: LocalDay;
  readonly nowAt: Instant;
};

/** Eight weeks of rules beyond the plan: enough to arrange a holiday. Common practice, no source. */
const RULES_AHEAD_DAYS = 56;

export function donorEvents(db: Db, { donorId, plans, firstDay, nowAt }: Asked): CalendarEvent[] {
  const { zone } = requireWorkshop(db);
  const sites = listSitesOfDonor(db, donorId);
  const byId = new Map(sites.map((site) => [site.id, site]));
  const visits = followVisits(
    plans.map(({ publishedAt, stops }) => ({
      publishedAt,
      visits: stops
        .filter((stop) => stop.siteId !== null && byId.has(stop.siteId))
        .map((stop) => toldVisit(zone, stop)),
    })),
  );
  const shown = visits.filter(({ day }) => day >= firstDay);
  const rulesFrom = dayAfterPlan(db, localOf(zone, nowAt).day);
  return [
    ...shown.map((entry) => visitEvent(entry, byId.get(entry.subject)!)),
    ...sites.flatMap((site) => [
      ...bookingEvents(db, site, visits, nowAt),
      ...ruleEvents(site, zone, rulesFrom, addDays(rulesFrom, RULES_AHEAD_DAYS - 1)),
    ]),
  ];
}

const toldVisit = (zone: string, stop: ToldStop) => ({
  id: stop.stopId,
  subject: stop.siteId ?? '',
  shiftId: stop.shiftId,
  leavesAt: instantOf(zone, stop.day, stop.shiftStartsMinute),
  day: stop.day,
  fromAt: stop.startAt,
  untilAt: stop.departAt,
  text: '',
});

function dayAfterPlan(db: Db, today: LocalDay): LocalDay {
  const lastDay = publishedPlan(db)?.plan.days.at(-1);
  return lastDay !== undefined && lastDay >= today ? addDays(lastDay, 1) : today;
}

const place = (site: Site) => ({
  location: [site.name, site.address].filter(Boolean).join(', '),
  position: { lat: site.lat, lon: site.lon },
});

const visitEvent = (entry: VisitEntry, site: Site): CalendarEvent => ({
  uid: `visit-${entry.name}@feedround`,
  sequence: entry.sequence,
  changedAt: entry.changedAt,
  fromAt: entry.fromAt,
  untilAt: entry.untilAt,
  status: entry.isCancelled ? 'CANCELLED' : 'CONFIRMED',
  summary: `Film collection, ${site.name}`,
  description: entry.isCancelled
    ? 'This visit was called off.'
    : 'We plan to come about then; traffic may shift it. The page behind your private link says why then.',
  ...place(site),
});

const BOOKING_STATUS: { readonly [state in BookingState]: CalendarEvent['status'] } = {
  waiting: 'TENTATIVE',
  confirmed: 'CONFIRMED',
  done: 'CONFIRMED',
  cancelled: 'CANCELLED',
};

/** Until a visit stands in its window: then the visit says more, and a window of days would only be in the way. */
function bookingEvents(db: Db, site: Site, visits: readonly VisitEntry[], nowAt: Instant): CalendarEvent[] {
  const { zone } = requireWorkshop(db);
  const isMet = ({ fromAt, untilAt }: Booking): boolean =>
    visits.some(
      (visit) =>
        visit.subject === site.id && !visit.isCancelled && fromAt <= visit.fromAt && visit.fromAt < untilAt,
    );
  const open = listBookingsOfSite(db, site.id).filter(
    (booking) => booking.state !== 'done' && booking.untilAt > nowAt && !isMet(booking),
  );
  if (open.length === 0) return [];
  const journal = readEntriesAbout(db, `site:${site.id}`);
  return open.map((booking): CalendarEvent => {
    const told = journal.filter((entry) => isAbout(entry.facts, booking.id));
    return {
      uid: `booking-${booking.id}@feedround`,
      // The first entry of the journal is the request itself; a state that has none counts as well.
      sequence: Math.max(told.length - 1, booking.state === 'waiting' ? 0 : 1),
      changedAt: told[0]?.at ?? booking.requestedAt,
      fromAt: booking.fromAt,
      untilAt: booking.untilAt,
      status: BOOKING_STATUS[booking.state],
      summary: `Extra film collection, ${site.name}`,
      description:
        booking.state === 'cancelled'
          ? 'This extra collection was cancelled.'
          : `Asked for ${dateTime(booking.requestedAt, zone)}. The hour follows when the visit is planned.`,
      ...place(site),
    };
  });
}

const isAbout = (facts: unknown, bookingId: string): boolean =>
  typeof facts === 'object' && facts !== null && 'bookingId' in facts && facts.bookingId === bookingId;

/** The window is part of the name: a rule with another hour gives other entries, and the old ones end. */
const ruleEvents = (site: Site, zone: string, fromDay: LocalDay, untilDay: LocalDay): CalendarEvent[] =>
  site.rules.flatMap((rule) =>
    occurrences(rule, zone, fromDay, untilDay)
      .filter(({ day }) => !isClosedOn(site.closures, day))
      .filter(({ day }) => site.activeUntilDay === null || day <= site.activeUntilDay)
      .map(
        ({ fromAt, untilAt }): CalendarEvent => ({
          uid: `rule-${site.id}-${rule.commitment}-${fromAt}-${untilAt}@feedround`,
          sequence: 0,
          changedAt: site.registeredAt,
          fromAt,
          untilAt,
          status: rule.commitment === 'must' ? 'CONFIRMED' : 'TENTATIVE',
          summary: `Film collection, ${site.name}`,
          description:
            rule.commitment === 'must'
              ? 'A day that was promised. The hour follows when the visit is planned.'
              : 'Our usual day. Whether we come is settled when the visit is planned.',
          ...place(site),
        }),
      ),
  );
