/** What the donor's pages need, wired to the use cases: each call is held to the donor's own sites. */
import { getConnInfo } from '@hono/node-server/conninfo';
import type { Result } from './core/quantity/result.ts';
import { listAccess } from './store/access-tokens.ts';
import { getQuote } from './store/quotes.ts';
import { getSite } from './store/sites.ts';
import { getSurge } from './store/surges.ts';
import { getWorkshop } from './store/workshop.ts';
import { revokeLink } from './usecases/access.ts';
import { announceSurge, callOffSurge } from './usecases/announce-surge.ts';
import { type CalendarRefusal, withdrawCalendarLinks } from './usecases/calendar-links.ts';
import { cancelBooking } from './usecases/cancel-extra-collection.ts';
import { changeContact, pauseSite, resumeSite } from './usecases/change-own-site.ts';
import { confirmExtraCollection } from './usecases/confirm-extra-collection.ts';
import type { Context } from './usecases/context.ts';
import { yearRecord } from './usecases/donor-records/year-record.ts';
import { bagsOf, SACKS_COME_IN_S } from './usecases/extra-collection.ts';
import { quoteExtraCollection } from './usecases/quote-extra-collection.ts';
import { reportFull } from './usecases/report-full.ts';
import { requestExtraCollection } from './usecases/request-extra-collection.ts';
import { requestPlace } from './usecases/request-place.ts';
import type { DonorDeps } from './web/donor/donor-deps.ts';
import { readBooking, readDonor, readOffer } from './web/donor/read-donor.ts';
import type { RequestDeps } from './web/donor/request-pages.tsx';
import { bookingFile } from './web/feeds/booking-file.ts';
import { formGuard } from './web/shared/form-guard.ts';
import type { MadeLink } from './web/shared/made-link.ts';

type CalendarRequest = { readonly of: 'donor'; readonly subjectId: string; readonly actor: string };
type MakeCalendar = (request: CalendarRequest) => Result<MadeLink, CalendarRefusal>;

export function donorFor(context: Context, makeCalendar: MakeCalendar): DonorDeps {
  const { store, now } = context;
  const owns = (donorId: string, siteId: string): boolean => getSite(store, siteId)?.donorId === donorId;
  const notTheirs = { ok: false, refusal: { kind: 'site-not-found' } } as const;
  return {
    now,
    newId: context.newId,
    readDonor: (donorId, nowAt) => readDonor(store, donorId, nowAt),
    readBooking: (donorId, bookingId, nowAt) => readBooking(store, donorId, bookingId, nowAt),
    reportFull: ({ donorId, ...entry }) =>
      owns(donorId, entry.siteId)
        ? reportFull(context, { ...entry, reportedBy: `donor:${donorId}` })
        : notTheirs,
    quoteExtra({ donorId, ...entry }) {
      if (!owns(donorId, entry.siteId)) return notTheirs;
      const quoted = quoteExtraCollection(context, { ...entry, askedBy: `donor:${donorId}` });
      return quoted.ok ? { ok: true, value: { quoteId: quoted.value.quote.id } } : quoted;
    },
    readOffer: (donorId, quoteId) => readOffer(store, donorId, quoteId),
    readAsked: (donorId, quoteId) => readOffer(store, donorId, quoteId) && getQuote(store, quoteId)?.wanted,
    takeOffer: ({ donorId, ...entry }) =>
      readOffer(store, donorId, entry.quoteId)
        ? confirmExtraCollection(context, { ...entry, actor: `donor:${donorId}` })
        : { ok: false, refusal: { kind: 'quote-not-found' } },
    leaveRequest({ donorId, quoteId, factId }) {
      const quote = readOffer(store, donorId, quoteId) && getQuote(store, quoteId);
      return quote
        ? requestExtraCollection(context, { ...quote.wanted, factId, requestedBy: `donor:${donorId}` })
        : notTheirs;
    },
    createCalendar: (donorId) => makeCalendar({ of: 'donor', subjectId: donorId, actor: `donor:${donorId}` }),
    withdrawCalendar: (donorId) =>
      withdrawCalendarLinks(context, { of: 'donor', subjectId: donorId, actor: `donor:${donorId}` }),
    announceSurge({ donorId, factId, siteId, eventKind, eventEndsAt, ...facts }) {
      const site = getSite(store, siteId);
      if (site?.donorId !== donorId) return notTheirs;
      const announced = announceSurge(context, {
        factId,
        siteId,
        eventKind,
        name: '',
        startsAt: eventEndsAt - SACKS_COME_IN_S,
        endsAt: eventEndsAt,
        expectedBags: bagsOf(store, site, facts),
        actor: `donor:${donorId}`,
      });
      return announced.ok ? announced : { ok: false, refusal: { kind: 'fact-differs' } };
    },
    callOffSurge(donorId, surgeId) {
      const surge = getSurge(store, surgeId);
      return (
        surge !== undefined &&
        owns(donorId, surge.siteId) &&
        callOffSurge(context, { surgeId, actor: `donor:${donorId}` }).ok
      );
    },
    pauseSite: ({ donorId, ...entry }) =>
      owns(donorId, entry.siteId) ? pauseSite(context, { ...entry, actor: `donor:${donorId}` }) : notTheirs,
    resumeSite: ({ donorId, ...entry }) =>
      owns(donorId, entry.siteId) ? resumeSite(context, { ...entry, actor: `donor:${donorId}` }) : notTheirs,
    changeContact: ({ donorId, ...entry }) =>
      owns(donorId, entry.siteId)
        ? changeContact(context, { ...entry, actor: `donor:${donorId}` })
        : notTheirs,
    endLink: (donorId, hash) =>
      listAccess(store, { role: 'donor', subjectId: donorId, purpose: 'link' }).some(
        (link) => link.hash === hash,
      ) && revokeLink(context, { hash, actor: `donor:${donorId}` }).ok,
    bookingCalendar: (donorId, bookingId, say) => bookingFile(store, donorId, bookingId, say),
    readYear: (donorId, year) => yearRecord(store, donorId, year, now()),
    cancelBooking: ({ donorId, bookingId, at }) =>
      readBooking(store, donorId, bookingId, at)
        ? cancelBooking(context, { bookingId, actor: `donor:${donorId}` })
        : { ok: false, refusal: { kind: 'booking-not-found' } },
  };
}

export const requestFor = (context: Context): RequestDeps => ({
  now: context.now,
  newId: context.newId,
  readWorkshop() {
    const workshop = getWorkshop(context.store);
    return workshop && { name: workshop.name, zone: workshop.zone, phone: workshop.settings.phone };
  },
  requestPlace: (place) => void requestPlace(context, place),
  guard: formGuard(),
  // A header that anybody can write says nothing; behind a proxy all share its address, and the larger bound holds.
  addressOf: (c) => ('incoming' in (c.env ?? {}) ? (getConnInfo(c).remote.address ?? '') : ''),
});
