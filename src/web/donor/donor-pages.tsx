/** The donor's routes: the page, "it is full", links and calendar; asking, bookings, places and records are beside it. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import { readForm } from '../shared/form.ts';
import { refusePage } from '../shared/html-error.tsx';
import { Id } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import { bookingPages } from './booking-pages.tsx';
import { CalendarPage } from './calendar-page.tsx';
import type { DonorDeps } from './donor-deps.ts';
import { DonorPage } from './donor-page.tsx';
import type { DonorView } from './donor-view.ts';
import { extraPages } from './extra-pages.tsx';
import { SAID_FRACTIONS } from './how-full.tsx';
import { noSite, ownSite } from './own.ts';
import { placePages } from './place-pages.tsx';
import { recordFiles } from './record-files.ts';
import { SortingPage } from './sorting-page.tsx';

const FullForm = z.object({ factId: Id, said: z.enum(['half', 'most', 'full']).default('full') });
const EndForm = z.object({ hash: z.string().max(64) });

export const donorPages = (deps: DonorDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .get('/donor', (c) => {
      const view = deps.readDonor(c.var.session.subjectId, deps.now());
      if (!view) return refusePage(c, 'not-found', { role: 'donor' });
      return c.html(<DonorPage say={sayOf(c)} view={view} newId={deps.newId} notice={noticeOf(c, view)} />);
    })
    .post('/donor/sites/:id/full', async (c) => {
      const own = ownSite(c, deps);
      if (!own) return noSite(c);
      const read = await readForm(c, FullForm);
      if (!read.ok) return c.redirect('/donor', 303);
      const { siteId } = own.site;
      const done = deps.reportFull({
        factId: read.value.factId,
        donorId: c.var.session.subjectId,
        siteId,
        at: deps.now(),
        fraction: SAID_FRACTIONS[read.value.said],
      });
      return done.ok ? c.redirect(`/donor?full=${siteId}#site-${siteId}`, 303) : noSite(c);
    })
    .get('/donor/sorting', (c) => {
      const view = deps.readDonor(c.var.session.subjectId, deps.now());
      if (!view) return refusePage(c, 'not-found', { role: 'donor' });
      return c.html(<SortingPage say={sayOf(c)} workshop={view.workshop} />);
    })
    .route('/', extraPages(deps))
    .route('/', bookingPages(deps))
    .route('/', placePages(deps))
    .route('/', recordFiles(deps))
    .post('/donor/links/end', async (c) => {
      const read = await readForm(c, EndForm);
      const donorId = c.var.session.subjectId;
      if (!read.ok || !deps.endLink(donorId, read.value.hash))
        return refusePage(c, 'not-found', { role: 'donor' });
      return c.redirect('/donor?did=link-ended', 303);
    })
    .post('/donor/calendar', (c) => {
      const view = deps.readDonor(c.var.session.subjectId, deps.now());
      const made = deps.createCalendar(c.var.session.subjectId);
      if (!view || !made.ok) return refusePage(c, 'not-found', { role: 'donor' });
      // Not a redirect: the address is a secret and must not stand in another address.
      return c.html(<CalendarPage say={sayOf(c)} made={made.value} workshop={view.workshop} />, 201);
    })
    .post('/donor/calendar/withdrawal', (c) => {
      deps.withdrawCalendar(c.var.session.subjectId);
      return c.redirect('/donor?did=calendar-withdrawn', 303);
    });

/** What has just been done, by the address; nothing where the page does not know it. */
function noticeOf(c: Context<SessionEnv>, view: DonorView): Notice | undefined {
  const { donor, booking } = sayOf(c);
  const site = view.sites.find(({ siteId }) => siteId === c.req.query('full'));
  const fraction = site?.fill.said?.fraction ?? 1;
  const said =
    site && (fraction >= 1 ? donor.full.thanks(site.name) : donor.full.thanksPart(site.name, fraction));
  const done: { readonly [did: string]: string } = {
    'calendar-withdrawn': donor.calendar.withdrawn,
    'link-ended': donor.people.ended,
    announced: booking.announcedDone,
    'called-off': booking.calledOff,
  };
  const text = said ?? done[c.req.query('did') ?? ''];
  return text === undefined ? undefined : { kind: 'done', text };
}
