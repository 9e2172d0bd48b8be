/** Asking for an extra collection, or changing one: what there is, the days that are possible, one of them taken. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import { addDays, localText } from '../../core/calendar/zone.ts';
import { type FieldErrors, readForm, readTyped, type Typed } from '../shared/form.ts';
import { localDay } from '../shared/format.ts';
import { Id, idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import type { DonorDeps, TakeRefusal } from './donor-deps.ts';
import type { BookingView, DonorSiteView, DonorView } from './donor-view.ts';
import { type ExtraFacts, extraFacts, typedExtra } from './extra-entry.ts';
import { ExtraPage } from './extra-page.tsx';
import { OfferPage } from './offer-page.tsx';
import { noBooking, noQuote, noSite, ownSite } from './own.ts';
import { REFUSED } from './refused.ts';

const TakeForm = z.object({ factId: Id, slotFromAt: z.coerce.number().int() });
const WaitForm = z.object({ factId: Id });
/** A first guess of how long film may wait: common practice, no source. */
const WINDOW_DAYS = 5;

/** What the form is for: a new collection at a site, or a booking that is to be another one. */
type Asking = {
  readonly view: DonorView;
  readonly site: DonorSiteView;
  readonly action: string;
  readonly changes?: BookingView;
};

export const extraPages = (deps: DonorDeps): Hono<SessionEnv> => {
  const donorOf = (c: Context<SessionEnv>): string => c.var.session.subjectId;
  const askingAt = (c: Context<SessionEnv>): Asking | undefined => {
    const own = ownSite(c, deps);
    return own && { ...own, action: `/donor/sites/${own.site.siteId}/extra` };
  };
  const changing = (c: Context<SessionEnv>): Asking | undefined => {
    const bookingId = idParam(c);
    const booking = bookingId && deps.readBooking(donorOf(c), bookingId, deps.now())?.booking;
    const view = deps.readDonor(donorOf(c), deps.now());
    const site = booking && view?.sites.find((own) => own.siteId === booking.siteId);
    const isOpen = booking && (booking.state === 'waiting' || booking.state === 'confirmed');
    return view && site && isOpen
      ? { view, site, action: `/donor/bookings/${booking.bookingId}/change`, changes: booking }
      : undefined;
  };

  const show = (
    c: Context<SessionEnv>,
    { view, site, action, changes }: Asking,
    typed: Typed,
    errors: FieldErrors,
    status: 200 | 409 | 422,
  ) => {
    const isChange = changes !== undefined;
    const page = { say: sayOf(c), view, site, action, isChange, typed, errors };
    return c.html(<ExtraPage {...page} />, status);
  };
  const open = (c: Context<SessionEnv>, asking: Asking) => {
    const { zone } = asking.view.workshop;
    const asked = deps.readAsked(donorOf(c), c.req.query('quote') ?? '');
    const { changes } = asking;
    const typed = asked
      ? typedExtra(asked, zone)
      : changes
        ? typedExtra({ ...changes, eventEndsAt: changes.eventEndsAt ?? changes.fromAt }, zone)
        : blankExtra(asking.view);
    return show(c, asking, { ...typed, factId: deps.newId() }, {}, 200);
  };
  const quote = async (c: Context<SessionEnv>, asking: Asking) => {
    const { view, site, changes } = asking;
    const typed = await readTyped(c);
    const { fill } = site;
    const say = sayOf(c);
    const read = extraFacts(typed, { zone: view.workshop.zone, nowAt: deps.now(), fill, say });
    if (!read.ok) return show(c, asking, typed, read.errors, 422);
    if (typed['only'] === 'tell' && !changes) return announce(c, asking, typed, read.value);
    const quoted = deps.quoteExtra({
      ...read.value,
      donorId: donorOf(c),
      siteId: site.siteId,
      ...(changes ? { changesId: changes.bookingId } : {}),
    });
    if (quoted.ok) return c.redirect(`/donor/quotes/${quoted.value.quoteId}`, 303);
    const { status, field } = REFUSED[quoted.refusal.kind];
    const errors = { [field]: say.booking.refusals[quoted.refusal.kind] };
    return status === 404 ? noQuote(c) : show(c, asking, typed, errors, status);
  };

  /** No visit of its own: what an event will leave is counted on in the next plan. */
  const announce = (c: Context<SessionEnv>, asking: Asking, typed: Typed, facts: ExtraFacts) => {
    const factId = Id.safeParse(typed['factId']);
    const announced = deps.announceSurge({
      ...facts,
      factId: factId.success ? factId.data : deps.newId(),
      donorId: donorOf(c),
      siteId: asking.site.siteId,
    });
    if (announced.ok) return c.redirect(`/donor?did=announced#site-${asking.site.siteId}`, 303);
    if (announced.refusal.kind === 'site-not-found') return noSite(c);
    return show(c, asking, typed, { '': sayOf(c).booking.refusals['fact-differs'] }, 409);
  };
  const offers = (c: Context<SessionEnv>, quoteId: string, status: 200 | 409 | 422, notice?: Notice) => {
    const view = deps.readOffer(donorOf(c), quoteId);
    return view
      ? c.html(<OfferPage say={sayOf(c)} view={view} factId={deps.newId()} notice={notice} />, status)
      : noQuote(c);
  };
  /** Gone: the days that are left stand on the same page, with what was asked. */
  const refuseOffer = (c: Context<SessionEnv>, quoteId: string, refusal: TakeRefusal) => {
    const { status } = REFUSED[refusal.kind];
    const text = sayOf(c).booking.refusals[refusal.kind];
    const shown = 'quote' in refusal ? refusal.quote.id : quoteId;
    return status === 404 ? noQuote(c) : offers(c, shown, status, { kind: 'warning', text });
  };

  return new Hono<SessionEnv>()
    .get('/donor/sites/:id/extra', (c) => {
      const asking = askingAt(c);
      return asking ? open(c, asking) : noSite(c);
    })
    .post('/donor/sites/:id/extra', (c) => {
      const asking = askingAt(c);
      return asking ? quote(c, asking) : noSite(c);
    })
    .get('/donor/bookings/:id/change', (c) => {
      const asking = changing(c);
      return asking ? open(c, asking) : noBooking(c);
    })
    .post('/donor/bookings/:id/change', (c) => {
      const asking = changing(c);
      return asking ? quote(c, asking) : noBooking(c);
    })
    .get('/donor/quotes/:id', (c) => offers(c, idParam(c) ?? '', 200))
    .post('/donor/quotes/:id/take', async (c) => {
      const quoteId = idParam(c) ?? '';
      const form = await readForm(c, TakeForm);
      if (!form.ok) return offers(c, quoteId, 422);
      const taken = deps.takeOffer({ ...form.value, quoteId, donorId: donorOf(c) });
      return taken.ok
        ? c.redirect(`/donor/bookings/${taken.value.bookingId}`, 303)
        : refuseOffer(c, quoteId, taken.refusal);
    })
    .post('/donor/quotes/:id/wait', async (c) => {
      const quoteId = idParam(c) ?? '';
      const form = await readForm(c, WaitForm);
      if (!form.ok) return offers(c, quoteId, 422);
      const left = deps.leaveRequest({ ...form.value, quoteId, donorId: donorOf(c) });
      if (left.ok) return c.redirect(`/donor/bookings/${left.value.bookingId}`, 303);
      const { status } = REFUSED[left.refusal.kind];
      const text = sayOf(c).booking.refusals[left.refusal.kind];
      return status === 404 ? noQuote(c) : offers(c, quoteId, status, { kind: 'warning', text });
    });
};

/** Filled with what is likely, so that most people only type how much there is. */
function blankExtra({ workshop: { zone }, nowAt }: DonorView): Typed {
  const today = localDay(nowAt, zone);
  const tomorrow = addDays(today, 1);
  return {
    eventEndsLocal: localText(zone, nowAt),
    fromDay: tomorrow,
    untilDay: addDays(tomorrow, WINDOW_DAYS - 1),
    unit: 'sacks',
  };
}
