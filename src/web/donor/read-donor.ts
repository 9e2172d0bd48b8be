/** The donor's views, read from the store: this donor's own sites and nobody else's. */
import { fillAt, quantileKg } from '../../core/accumulation/forecast.ts';
import type { SiteModel } from '../../core/accumulation/site-model.ts';
import { isClosedOn } from '../../core/calendar/opening.ts';
import { occurrences } from '../../core/calendar/pickup-rule.ts';
import { addDays, localOf } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import { listAccess } from '../../store/access-tokens.ts';
import { type Booking, getBooking, listBookingsOfSite } from '../../store/bookings.ts';
import type { Db } from '../../store/db.ts';
import { getDonor } from '../../store/donors.ts';
import { listFillReportsOfSite } from '../../store/fill-reports.ts';
import { publishedPlan } from '../../store/plans.ts';
import { getQuote } from '../../store/quotes.ts';
import { getSite, listSitesOfDonor, type Site } from '../../store/sites.ts';
import { listSurgesOfSite } from '../../store/surges.ts';
import { listWeighInsOfSite } from '../../store/weigh-ins.ts';
import { requireWorkshop, type Workshop } from '../../store/workshop.ts';
import { whatItBecame } from '../../usecases/donor-records/what-it-became.ts';
import { learnFills } from '../../usecases/learn-fills.ts';
import { runningRounds } from '../../usecases/running-rounds.ts';
import type {
  BookingPageView,
  BookingView,
  DonorFill,
  DonorSiteView,
  DonorView,
  OfferView,
} from './donor-view.ts';

const DAY_S = 86_400;
const DATES_SHOWN = 5;
const DATES_AHEAD_DAYS = 120;
const FULL_WITHIN_DAYS = 60;

export function readDonor(db: Db, donorId: string, nowAt: Instant): DonorView | undefined {
  const donor = getDonor(db, donorId);
  if (!donor) return undefined;
  const workshop = requireWorkshop(db);
  const models = learnFills(db);
  const { zone } = workshop;
  return {
    workshop: donorWorkshop(workshop),
    donorName: donor.name,
    nowAt,
    todayDay: localOf(zone, nowAt).day,
    sites: listSitesOfDonor(db, donorId).map((site) =>
      siteView(db, workshop, site, models.get(site.id)!, nowAt),
    ),
    became: whatItBecame(db, donorId, models, { zone, nowAt }),
    people: listAccess(db, { role: 'donor', subjectId: donorId, purpose: 'link' })
      .filter(({ revokedAt, expiresAt }) => revokedAt === null && expiresAt > nowAt)
      .map(({ hash, label, createdAt, expiresAt }) => ({ hash, label, createdAt, expiresAt })),
  };
}

export function readBooking(
  db: Db,
  donorId: string,
  bookingId: string,
  nowAt: Instant,
): BookingPageView | undefined {
  const booking = getBooking(db, bookingId);
  const site = booking && getSite(db, booking.siteId);
  const donor = getDonor(db, donorId);
  if (!booking || !site || !donor || site.donorId !== donorId) return undefined;
  return {
    workshop: donorWorkshop(requireWorkshop(db)),
    donorName: donor.name,
    nowAt,
    booking: bookingView(db, booking, site),
  };
}

/** Days offered at one of the donor's own sites. */
export function readOffer(db: Db, donorId: string, quoteId: string): OfferView | undefined {
  const quote = getQuote(db, quoteId);
  const site = quote && getSite(db, quote.siteId);
  if (!quote || site?.donorId !== donorId) return undefined;
  const { wanted, slots, expiresAt, changesId } = quote;
  const workshop = requireWorkshop(db);
  const { eventKind, expectedBags, expectedKg, fromAt, untilAt } = wanted;
  return {
    workshop: { ...donorWorkshop(workshop), currency: workshop.currency },
    quoteId,
    siteId: site.id,
    siteName: site.name,
    asked: {
      eventKind,
      ...(expectedBags === undefined ? {} : { expectedBags }),
      ...(expectedKg === undefined ? {} : { expectedKg }),
      fromAt,
      untilAt,
    },
    slots,
    expiresAt,
    isChange: changesId !== null,
    editPath: `${changesId === null ? `/donor/sites/${site.id}/extra` : `/donor/bookings/${changesId}/change`}?quote=${quoteId}`,
  };
}

const donorWorkshop = ({ name, zone, settings }: Workshop) => ({ name, zone, phone: settings.phone });

function siteView(db: Db, workshop: Workshop, site: Site, model: SiteModel, nowAt: Instant): DonorSiteView {
  const { zone } = workshop;
  const todayDay = localOf(zone, nowAt).day;
  const pickups = listWeighInsOfSite(db, site.id);
  const last = pickups[0];
  const own = listBookingsOfSite(db, site.id);
  const stop = nextStop(db, site.id, nowAt);
  // A confirmed collection that no round has yet comes before a later stop.
  const isBookedBefore = own.some(
    ({ state, untilAt }) => state === 'confirmed' && untilAt > nowAt && untilAt <= (stop?.startAt ?? 0),
  );
  const next = isBookedBefore ? undefined : stop;
  return {
    siteId: site.id,
    name: site.name,
    address: site.address,
    ...(next ? { next } : {}),
    fill: fillView(db, site, model, nowAt),
    ...(last
      ? {
          lastPickup: {
            at: last.at,
            ...(last.netKg === null ? {} : { netKg: last.netKg }),
            ...(last.bags === null ? {} : { bags: last.bags }),
          },
        }
      : {}),
    rules: site.rules,
    nextDates: site.rules
      .flatMap((rule) =>
        occurrences(rule, zone, todayDay, addDays(todayDay, DATES_AHEAD_DAYS))
          .filter((date) => date.untilAt > nowAt && !isClosedOn(site.closures, date.day))
          .map(({ fromAt, untilAt }) => ({ fromAt, untilAt, commitment: rule.commitment })),
      )
      .sort((a, b) => a.fromAt - b.fromAt)
      .slice(0, DATES_SHOWN),
    closures: site.closures.filter((closure) => closure.untilDay >= todayDay),
    bookings: own.map((booking) => bookingView(db, booking, site)),
    announced: listSurgesOfSite(db, site.id)
      .filter(
        (surge) =>
          surge.cancelledAt === null &&
          surge.endsAt >= nowAt &&
          !own.some(({ surgeId }) => surgeId === surge.id),
      )
      .map(({ id, eventKind, endsAt, expectedBags }) => ({
        surgeId: id,
        eventKind,
        eventEndsAt: endsAt,
        expectedBags,
      })),
    accessNotes: site.accessNotes,
    contact: site.contacts[0] ?? { name: '', phone: '', email: '' },
  };
}

function nextStop(db: Db, siteId: string, nowAt: Instant): DonorSiteView['next'] {
  const running = runningRounds(db, nowAt);
  const ahead = (publishedPlan(db)?.rounds ?? []).filter((round) => !running.has(round.shiftId));
  for (const round of [...running.values(), ...ahead])
    for (const stop of round.stops)
      if (stop.siteId === siteId && stop.startAt >= nowAt)
        return { startAt: stop.startAt, day: round.day, ...(stop.reason ? { reason: stop.reason } : {}) };
  return undefined;
}

function fillView(db: Db, site: Site, model: SiteModel, nowAt: Instant): DonorFill {
  const forecast = fillAt(model, nowAt);
  const held = (p: number): number => Math.min(model.capacityKg, quantileKg(forecast, p));
  const fullAt = halfChanceFullAt(model, nowAt);
  const [said] = listFillReportsOfSite(db, site.id)
    .filter((report) => report.at >= model.emptiedAt)
    .toSorted((a, b) => b.fraction - a.fraction);
  return {
    medianKg: held(0.5),
    lowKg: held(0.1),
    highKg: held(0.9),
    bagKg: model.bagKg,
    capacityKg: model.capacityKg,
    capacityL: model.capacityL,
    ...(fullAt === undefined ? {} : { fullAt }),
    ...(said ? { said: { at: said.at, fraction: said.fraction } } : {}),
    basis: model.basis,
  };
}

/** By halving: the median rises with time. */
function halfChanceFullAt(model: SiteModel, nowAt: Instant): Instant | undefined {
  const isFull = (at: Instant): boolean => quantileKg(fillAt(model, at), 0.5) >= model.capacityKg;
  let late = nowAt + FULL_WITHIN_DAYS * DAY_S;
  if (!isFull(late)) return undefined;
  let early = nowAt;
  while (late - early > 3600) {
    const middle = Math.round((early + late) / 2);
    if (isFull(middle)) late = middle;
    else early = middle;
  }
  return late;
}

function bookingView(db: Db, booking: Booking, site: Site): BookingView {
  const surge = listSurgesOfSite(db, site.id).find((one) => one.id === booking.surgeId);
  const planned = (publishedPlan(db)?.rounds ?? [])
    .flatMap((round) => round.stops)
    .find(
      (stop) => stop.siteId === site.id && stop.startAt >= booking.fromAt && stop.startAt < booking.untilAt,
    );
  return {
    bookingId: booking.id,
    siteId: site.id,
    siteName: site.name,
    state: booking.state,
    fromAt: booking.fromAt,
    untilAt: booking.untilAt,
    requestedAt: booking.requestedAt,
    remarks: booking.remarks,
    hazards: booking.hazards,
    ...(surge
      ? {
          eventKind: surge.eventKind,
          // A surge that was moved to the window's start no longer says when the event ended.
          ...(surge.endsAt > booking.fromAt ? { eventEndsAt: surge.endsAt } : {}),
          expectedBags: surge.expectedBags,
        }
      : {}),
    ...(planned ? { plannedAt: planned.startAt } : {}),
  };
}
