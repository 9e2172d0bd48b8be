/** The donor's routes: the page, "it is full", one booking and its cancelling; asking for an extra collection is in `extra-pages.tsx`. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import { readForm } from '../shared/form.ts';
import { refusePage } from '../shared/html-error.tsx';
import { Id, idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { BookingPage } from './booking-page.tsx';
import { CalendarPage, calendarNotice } from './calendar-page.tsx';
import type { DonorDeps } from './donor-deps.ts';
import { DonorPage } from './donor-page.tsx';
import type { DonorSiteView, DonorView } from './donor-view.ts';
import { REFUSALS } from './donor-words.ts';
import { extraPages } from './extra-pages.tsx';

const FullForm = z.object({ factId: Id });

export const donorPages = (deps: DonorDeps): Hono<SessionEnv> => {
  const readView = (c: Context<SessionEnv>): DonorView | undefined =>
    deps.readDonor(c.var.session.subjectId, deps.now());

  const findSite = (c: Context<SessionEnv>): { view: DonorView; site: DonorSiteView } | undefined => {
    const siteId = idParam(c);
    const view = readView(c);
    const site = view?.sites.find((own) => own.siteId === siteId);
    return view && site ? { view, site } : undefined;
  };

  const noSite = (c: Context<SessionEnv>) =>
    refusePage(c, 'no-such-site', { detail: REFUSALS['site-not-found'].sentence, role: 'donor' });
  const noBooking = (c: Context<SessionEnv>) =>
    refusePage(c, 'not-found', { detail: REFUSALS['booking-not-found'].sentence, role: 'donor' });

  return new Hono<SessionEnv>()
    .get('/donor', (c) => {
      const view = readView(c);
      if (!view) return refusePage(c, 'not-found', { role: 'donor' });
      const said = view.sites.find(({ siteId }) => siteId === c.req.query('full'));
      const notice = said ? fullNotice(said) : calendarNotice(c.req.query('did'));
      return c.html(<DonorPage view={view} newId={deps.newId} notice={notice} />);
    })
    .post('/donor/sites/:id/full', async (c) => {
      const found = findSite(c);
      if (!found) return noSite(c);
      const read = await readForm(c, FullForm);
      if (!read.ok) return c.redirect('/donor', 303);
      const { siteId } = found.site;
      const done = deps.reportFull({
        factId: read.value.factId,
        donorId: c.var.session.subjectId,
        siteId,
        at: deps.now(),
        fraction: 1,
      });
      return done.ok ? c.redirect(`/donor?full=${siteId}#site-${siteId}`, 303) : noSite(c);
    })
    .route('/', extraPages(deps))
    .post('/donor/calendar', (c) => {
      const view = readView(c);
      const made = deps.createCalendar(c.var.session.subjectId);
      if (!view || !made.ok) return refusePage(c, 'not-found', { role: 'donor' });
      // Not a redirect: the address is a secret and must not stand in another address.
      return c.html(<CalendarPage made={made.value} workshop={view.workshop} />, 201);
    })
    .post('/donor/calendar/withdrawal', (c) => {
      deps.withdrawCalendar(c.var.session.subjectId);
      return c.redirect('/donor?did=calendar-withdrawn', 303);
    })
    .get('/donor/bookings/:id', (c) => {
      const bookingId = idParam(c);
      const view = bookingId && deps.readBooking(c.var.session.subjectId, bookingId, deps.now());
      return view ? c.html(<BookingPage view={view} />) : noBooking(c);
    })
    .post('/donor/bookings/:id/cancel', (c) => {
      const bookingId = idParam(c);
      if (!bookingId) return noBooking(c);
      const donorId = c.var.session.subjectId;
      const done = deps.cancelBooking({ donorId, bookingId, at: deps.now() });
      if (done.ok) return c.redirect(`/donor/bookings/${bookingId}`, 303);
      const view = deps.readBooking(donorId, bookingId, deps.now());
      const { status, sentence } = REFUSALS[done.refusal.kind];
      if (!view || status !== 409) return noBooking(c);
      return c.html(<BookingPage view={view} notice={{ kind: 'warning', text: sentence }} />, status);
    });
};

const fullNotice = (site: DonorSiteView): Notice => ({
  kind: 'done',
  text: `Thank you: we know that ${site.name} is full. We look whether we can come sooner.`,
});
