/** The coordinator's pages. Mount behind `defaultDeny`; each handler reads a view and shows it. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import type { ConfirmRefusal } from '../../usecases/confirm-weigh-in.ts';
import { readForm, readTyped } from '../shared/form.ts';
import { refusePage } from '../shared/html-error.tsx';
import { Id, idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { BacktestPage } from './backtest-page.tsx';
import { SITE_ORDERS } from './backtest-view.ts';
import { ChangesPage, RequestsPage } from './changes-page.tsx';
import type { CoordinatorDeps } from './coordinator-deps.ts';
import { WelcomePage } from './first-steps.tsx';
import { inboxPages } from './inbox/inbox-routes.tsx';
import { LinksPage, MadeCalendarPage, MadeLinkPage } from './links-page.tsx';
import { mapPages } from './map/map-routes.tsx';
import { positionPages } from './map/position-routes.tsx';
import { planningRunPages } from './planning-run-routes.tsx';
import { ProductionPage } from './production-page.tsx';
import { RoundPage } from './round-page.tsx';
import { settingsPages } from './settings-routes.tsx';
import { SitePage } from './site-page.tsx';
import { SitesPage } from './sites-page.tsx';
import { WeekSheetPage } from './week-sheet.tsx';
import { correctionFacts } from './weigh-in-correction.ts';
import { type CorrectionForm, freshCorrection, WeighInPage } from './weigh-in-page.tsx';
import type { WeighInView } from './weigh-in-view.ts';
import { worthPages } from './worth-routes.tsx';

const BACK_TO_WEEK = { path: '/week', label: 'To the week sheet' };

const BACK_TO_SITES = { path: '/sites', label: 'To the list of sites' };
const BACK_TO_LINKS = { path: '/links', label: 'To the private links' };

const LinkForm = z.strictObject({
  role: z.enum(['driver', 'donor']),
  driver: Id.optional(),
  donor: Id.optional(),
  person: z.string().trim().max(80).optional(),
});
const CalendarForm = z.strictObject({ whose: z.string().regex(/^(driver|van|donor):[A-Za-z0-9_-]{1,64}$/) });
const Hash = z.string().regex(/^[A-Za-z0-9_-]{16,128}$/);

/** What has just been done, told after the redirect. */
const DONE: { readonly [did: string]: Notice } = {
  planned: { kind: 'done', text: 'Planned on the facts of today. It is a draft until you publish it.' },
  'planned-early': {
    kind: 'done',
    text: 'Stopped early: this is the best week found until then. It is a draft until you publish it.',
  },
  published: { kind: 'done', text: 'Published. Drivers see it on their run sheets, donors on their pages.' },
  changed: { kind: 'done', text: 'Kept as a draft. Nobody is told before you publish it.' },
  'taken-back': { kind: 'done', text: 'Taken back. This is the plan as it was before.' },
  dropped: { kind: 'done', text: 'Dropped. What was told stays.' },
  moved: { kind: 'done', text: 'Corrected: vans are sent there from the next plan on.' },
  confirmed: {
    kind: 'done',
    text: 'Confirmed: the weigh-in counts in full from now on. The estimates follow at once.',
  },
  corrected: { kind: 'done', text: 'Corrected. Stock and estimates follow; the old entry is kept.' },
  doubted: { kind: 'done', text: 'Taken back: the estimate judges the weigh-in for itself again.' },
  withdrawn: { kind: 'done', text: 'Withdrawn. Whoever held that link, or came in by it, is shut out.' },
};

const actorNamed = (label: string | undefined): string => label || 'coordinator';
const actorOf = (session: SessionEnv['Variables']['session'] | undefined): string =>
  actorNamed(session?.label);

/** Every page that reads the register; middleware on `*` would catch the drivers' and donors' pages as well. */
const READING = [
  '/week',
  '/inbox',
  '/map',
  '/changes',
  '/requests',
  '/sites',
  '/sites/:id',
  '/sites/:id/position',
  '/rounds/:id',
  '/production',
  '/links',
  '/weigh-ins/:id',
  '/backtest',
  '/settings',
  '/worth',
];

export const coordinatorPages = (deps: CoordinatorDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .on('GET', READING, (c, next) => (deps.hasWorkshop() ? next() : c.html(<WelcomePage />)))
    .route('/', settingsPages(deps, actorNamed))
    .route('/', worthPages(deps, actorNamed))
    .route('/', planningRunPages(deps, actorNamed))
    .route('/', inboxPages(deps))
    .route('/', mapPages(deps))
    .route('/', positionPages(deps, actorNamed))
    .get('/', (c) => c.redirect('/week', 302))
    .get('/week', (c) => {
      const view = deps.readWeekSheet(c.req.query('plan'));
      if (!view) return refusePage(c, 'no-such-plan', { role: 'coordinator', back: BACK_TO_WEEK });
      const notice = DONE[c.req.query('did') ?? ''];
      const isWhole = c.req.query('all') === 'yes';
      return c.html(<WeekSheetPage view={view} notice={notice} isWhole={isWhole} news={deps.readNews()} />);
    })
    .post('/plans/:id/publish', (c) => {
      const planId = idParam(c);
      if (planId === undefined) return refusePage(c, 'no-such-plan', { role: 'coordinator' });
      const published = deps.publishPlan({ planId, actor: actorOf(c.var.session) });
      if (published.ok) return c.redirect('/week?did=published', 303);
      const { refusal } = published;
      const isDriven = refusal.kind === 'out-of-date' && refusal.shiftIds.length > 0;
      const detail =
        refusal.kind === 'out-of-date' ? { detail: isDriven ? DRIVES_ANOTHER : MISSES_BOOKINGS } : {};
      return refusePage(c, refusal.kind, { ...detail, role: 'coordinator', back: BACK_TO_WEEK });
    })
    .post('/plans/:id/drop', (c) => {
      const planId = idParam(c) ?? '';
      const dropped = deps.dropDraft({ planId, actor: actorOf(c.var.session) });
      if (dropped.ok) return c.redirect('/week?did=dropped', 303);
      return refusePage(c, dropped.refusal.kind, { role: 'coordinator', back: BACK_TO_WEEK });
    })
    .get('/changes', (c) => {
      const view = deps.readChanges(c.req.query('plan'));
      if (!view) return refusePage(c, 'no-such-plan', { role: 'coordinator', back: BACK_TO_WEEK });
      return c.html(<ChangesPage view={view} />);
    })
    .get('/requests', (c) => c.html(<RequestsPage view={deps.readRequests()} />))
    .post('/requests/places/:id/answered', (c) => {
      const requestId = idParam(c) ?? '';
      const done = deps.answerPlaceRequest({ requestId, actor: actorOf(c.var.session) });
      return done.ok ? c.redirect('/requests', 303) : refusePage(c, 'not-found', { role: 'coordinator' });
    })
    .get('/sites', (c) => c.html(<SitesPage view={deps.readSites(c.req.query('q')?.trim() ?? '')} />))
    .get('/backtest', async (c) => {
      const order = SITE_ORDERS.find((one) => one === c.req.query('order')) ?? 'error';
      const refreshes = c.req.query('refresh') !== 'no';
      return c.html(<BacktestPage view={{ ...(await deps.readBacktest()), order, refreshes }} />);
    })
    .get('/sites/:id', (c) => {
      const id = idParam(c);
      const view = id === undefined ? undefined : deps.readSite(id);
      if (!view) return refusePage(c, 'no-such-site', { role: 'coordinator', back: BACK_TO_SITES });
      return c.html(<SitePage view={view} notice={DONE[c.req.query('did') ?? '']} />);
    })
    .get('/weigh-ins/:id', (c) => {
      const view = weighInOf(c, deps);
      if (!view) return noSuchWeighIn(c);
      const notice = DONE[c.req.query('did') ?? ''];
      return c.html(<WeighInPage view={view} form={freshCorrection(view, deps.newId())} notice={notice} />);
    })
    .post('/weigh-ins/:id/confirmation', (c) => {
      const weighInId = idParam(c) ?? '';
      const done = deps.confirmWeighIn({ weighInId, actor: weigherOf(c) });
      return done.ok
        ? c.redirect(`/sites/${done.value.siteId}?did=confirmed`, 303)
        : refuseConfirmation(c, deps, done.refusal.kind);
    })
    .post('/weigh-ins/:id/confirmation/withdrawal', (c) => {
      const weighInId = idParam(c) ?? '';
      const done = deps.doubtWeighInAgain({ weighInId, actor: weigherOf(c) });
      return done.ok
        ? c.redirect(`/weigh-ins/${weighInId}?did=doubted`, 303)
        : refuseConfirmation(c, deps, done.refusal.kind);
    })
    .post('/weigh-ins/:id/correction', async (c) => {
      const view = weighInOf(c, deps);
      if (!view) return noSuchWeighIn(c);
      const typed = await readTyped(c);
      const read = correctionFacts(typed, view);
      const show = (form: CorrectionForm, text: string, status: 409 | 422) =>
        c.html(<WeighInPage view={view} form={form} notice={{ kind: 'warning', text }} />, status);
      if (!read.ok) return show(read, 'Nothing was kept yet: see the fields that need another look.', 422);
      const request = { ...read.value, stopId: view.stopId, actor: weigherOf(c) };
      const done = deps.correctWeighIn(request);
      if (done.ok) return c.redirect(`/weigh-ins/${done.value.weighInId}?did=corrected`, 303);
      if (done.refusal.kind === 'still-to-come')
        return show({ typed, errors: {} }, 'The time is still to come. Mend it.', 422);
      return show(freshCorrection(view, deps.newId()), CHANGED, 409);
    })
    .get('/rounds/:id', (c) => {
      const id = idParam(c);
      const view = id === undefined ? undefined : deps.readRound(id);
      if (!view) return refusePage(c, 'no-such-round', { role: 'coordinator', back: BACK_TO_WEEK });
      return c.html(<RoundPage view={view} />);
    })
    .get('/production', (c) => c.html(<ProductionPage view={deps.readProduction()} />))
    .get('/links', (c) =>
      c.html(<LinksPage view={deps.readLinks()} notice={DONE[c.req.query('did') ?? '']} />),
    )
    .post('/links', async (c) => {
      const form = await readForm(c, LinkForm);
      if (!form.ok) return missingName(c, deps, form.typed['role']);
      const { role, person, [role]: subjectId } = form.value;
      return subjectId === undefined
        ? missingName(c, deps, role)
        : makeLink(c, deps, role, subjectId, person);
    })
    .post('/links/calendar', async (c) => {
      const form = await readForm(c, CalendarForm);
      const [of, subjectId = ''] = form.ok ? form.value.whose.split(':') : [];
      if (of !== 'driver' && of !== 'van' && of !== 'donor') return missingName(c, deps, 'calendar');
      const made = deps.createCalendar({ of, subjectId, actor: actorOf(c.var.session) });
      if (!made.ok) return missingName(c, deps, 'calendar');
      return c.html(<MadeCalendarPage made={made.value} workshop={deps.readLinks().workshop} />, 201);
    })
    .post('/donors/:id/link', (c) => {
      const id = idParam(c);
      return id === undefined
        ? refusePage(c, 'not-found', { role: 'coordinator', back: BACK_TO_SITES })
        : makeLink(c, deps, 'donor', id);
    })
    .post('/links/withdraw', async (c) => {
      const form = await readForm(c, z.strictObject({ hash: Hash }));
      const withdrawn =
        form.ok && deps.revokeLink({ hash: form.value.hash, actor: actorOf(c.var.session) }).ok;
      if (withdrawn) return c.redirect('/links?did=withdrawn', 303);
      return refusePage(c, 'no-such-link', { role: 'coordinator', back: BACK_TO_LINKS });
    });

const MISSES_BOOKINGS =
  'An extra collection was confirmed after this draft was made, and it is not in it. Plan again, so that the promise is kept.';
const DRIVES_ANOTHER =
  'A driver who was to change places in this draft drives another van at that time by now. Change the drivers again, or plan the week again.';
const CHANGED = 'It was corrected meanwhile. Look at what stands now before you correct it again.';
const weigherOf = (c: Context<SessionEnv>): string => `coordinator:${actorOf(c.var.session)}`;

function weighInOf(c: Context<SessionEnv>, deps: CoordinatorDeps): WeighInView | undefined {
  const id = idParam(c);
  return id === undefined ? undefined : deps.readWeighIn(id);
}
const noSuchWeighIn = (c: Context<SessionEnv>) =>
  refusePage(c, 'no-such-weigh-in', { role: 'coordinator', back: BACK_TO_SITES });

/** A weigh-in that was corrected is shown as it stands now, to be looked at first. */
function refuseConfirmation(c: Context<SessionEnv>, deps: CoordinatorDeps, kind: ConfirmRefusal['kind']) {
  const view = kind === 'was-corrected' ? weighInOf(c, deps) : undefined;
  if (!view) return noSuchWeighIn(c);
  const form = freshCorrection(view, deps.newId());
  return c.html(<WeighInPage view={view} form={form} notice={{ kind: 'warning', text: CHANGED }} />, 409);
}

/** Not a redirect: the address of the link is a secret, and must not stand in another address. */
function makeLink(
  c: Context<SessionEnv>,
  deps: CoordinatorDeps,
  role: 'driver' | 'donor',
  subjectId: string,
  person?: string,
) {
  const actor = actorOf(c.var.session);
  const made = deps.createLink({ role, subjectId, actor, ...(person ? { person } : {}) });
  if (made.ok) return c.html(<MadeLinkPage made={made.value} workshop={deps.readLinks().workshop} />, 201);
  const detail = `This ${role} is not in the register any more.`;
  return refusePage(c, 'not-found', { detail, role: 'coordinator', back: BACK_TO_LINKS });
}

const missingName = (c: Context<SessionEnv>, deps: CoordinatorDeps, role: string | undefined) =>
  c.html(
    <LinksPage
      view={deps.readLinks()}
      error={{
        field: role === 'donor' || role === 'calendar' ? role : 'driver',
        sentence: 'Choose whose link it is.',
      }}
    />,
    422,
  );
