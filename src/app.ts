/** The whole web application from what it needs: no environment, no clock of its own, no port. */
import { Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { compress } from 'hono/compress';
import { contextStorage } from 'hono/context-storage';
import { HTTPException } from 'hono/http-exception';
import { donorFor, requestFor } from './app-donor.ts';
import { eventsFor, yourMailFor } from './app-events.ts';
import { fleetFor, importsFor, workshopFor } from './app-register.ts';
import type { Result } from './core/quantity/result.ts';
import type { ScoreKeeper } from './jobs/keep-scored.ts';
import type { WorthKeeper } from './jobs/keep-worth.ts';
import { getRound } from './store/plans.ts';
import { listSites } from './store/sites.ts';
import { getWorkshop, requireWorkshop } from './store/workshop.ts';
import * as access from './usecases/access.ts';
import {
  type CalendarOf,
  type CalendarRefusal,
  createCalendarLink,
  findCalendar,
} from './usecases/calendar-links.ts';
import { changeObjective } from './usecases/change-objective.ts';
import { keepChanges, takeBackChange } from './usecases/change-plan.ts';
import { confirmWeighIn, doubtWeighInAgain } from './usecases/confirm-weigh-in.ts';
import type { Context, Planner } from './usecases/context.ts';
import { dropDraft } from './usecases/drop-draft.ts';
import { keepSite } from './usecases/keep-site.ts';
import { askForRoom, keepRoom } from './usecases/make-room.ts';
import { markRound } from './usecases/mark-round.ts';
import { moveSite } from './usecases/move-site.ts';
import type { PlanningRuns } from './usecases/planning-run.ts';
import { publishPlan } from './usecases/publish-plan.ts';
import { recordMissedStop } from './usecases/record-missed-stop.ts';
import { recordWeighIn } from './usecases/record-weigh-in.ts';
import { answerPlaceRequest } from './usecases/request-place.ts';
import { takeVanOffRoad } from './usecases/take-van-off-road.ts';
import { weighLoad } from './usecases/weigh-load.ts';
import { api } from './web/api/api.ts';
import { readComparison } from './web/coordinator/change-compare-view.ts';
import { readDriverChoices } from './web/coordinator/change-drivers-view.ts';
import { type ChangeDeps, changePages } from './web/coordinator/change-routes.tsx';
import { readAnswer, readChoices } from './web/coordinator/change-view.ts';
import { readChanges, readNews, readRequests } from './web/coordinator/changes-view.ts';
import type { CoordinatorDeps } from './web/coordinator/coordinator-deps.ts';
import { eventPages } from './web/coordinator/event-routes.tsx';
import { fleetPages } from './web/coordinator/fleet-routes.tsx';
import { importPages } from './web/coordinator/import-routes.tsx';
import { countInbox, readInbox } from './web/coordinator/inbox/read-inbox.ts';
import { readDayMap, readPosition } from './web/coordinator/map/read-map.ts';
import { readPlanningRun } from './web/coordinator/planning-run-view.ts';
import * as coordinator from './web/coordinator/read-pages.ts';
import { readShiftLinks } from './web/coordinator/read-shift-links.ts';
import { readWeighIn } from './web/coordinator/read-weigh-ins.ts';
import { readWorth } from './web/coordinator/read-worth.ts';
import { coordinatorPages } from './web/coordinator/routes.tsx';
import { readSearch } from './web/coordinator/search/read-search.ts';
import { type ShiftLinkDeps, shiftLinkPages } from './web/coordinator/shift-link-pages.tsx';
import { previewRule, readSiteEdit } from './web/coordinator/site-edit/read-site-edit.ts';
import { workshopPages } from './web/coordinator/workshop-routes.tsx';
import { donorPages } from './web/donor/donor-pages.tsx';
import { requestPages } from './web/donor/request-pages.tsx';
import type { DriverDeps } from './web/driver/driver-deps.ts';
import { driverPages } from './web/driver/driver-pages.tsx';
import { type PhoneDeps, phoneRoutes } from './web/driver/phone-routes.tsx';
import { readRun, readStop, readSurroundings } from './web/driver/read-run.ts';
import { type RoundDeps, roundPages } from './web/driver/round-pages.tsx';
import { type FeedDeps, feedRoutes } from './web/feeds/feed-routes.ts';
import { readCalendar } from './web/feeds/read-calendar.ts';
import { readRoundFile } from './web/feeds/round-file.ts';
import { roundFiles } from './web/feeds/round-files.ts';
import { liveRoutes } from './web/live/live-routes.ts';
import { clientScripts } from './web/shared/client-bundle.ts';
import { entryPages } from './web/shared/entry.tsx';
import { refusePage } from './web/shared/html-error.tsx';
import { liveFrom } from './web/shared/live-line.tsx';
import type { MadeLink } from './web/shared/made-link.ts';
import { mastheadNews } from './web/shared/masthead-news.ts';
import { readNames } from './web/shared/names.ts';
import { securityHeaders } from './web/shared/security.ts';
import { type AccessDeps, defaultDeny, refuseForeignPosts, type SessionEnv } from './web/shared/session.ts';
import { rememberLanguage } from './web/shared/speak.ts';
import { assets } from './web/shared/styles.ts';
import { yourMailPages } from './web/shared/your-mail.tsx';

export type AppDeps = {
  readonly context: Context;
  readonly planner: Planner;
  /** Searches in the background, one at a time. */
  readonly planning: PlanningRuns;
  /** The back-test of the own history, kept until its facts move on. */
  readonly scores: Pick<ScoreKeeper, 'read'>;
  /** Simulated years of the own workshop. */
  readonly worth: Omit<WorthKeeper, 'stop' | 'ended'>;
  /** Where people reach us; links and cookies are made for it. */
  readonly origin: string;
  /** An unexpected error, for the log: the person sees one fixed sentence. */
  readonly onFault: (error: unknown) => void;
  /** Ends what stays open, so that a server that stops need not wait for it. */
  readonly stopping?: AbortSignal;
};

const NEVER = new AbortController().signal;

/** A plan page with all its forms is far below this; a phone's weigh-in is a few hundred bytes. */
const MAX_BODY_BYTES = 1_000_000;
/** Some 300,000 weigh-ins. */
const MAX_FILE_BYTES = 20_000_000;

export function createApp(deps: AppDeps): Hono<SessionEnv> {
  const accessDeps = accessFor(deps);
  const app = new Hono<SessionEnv>();
  app.use(compress());
  app.use(securityHeaders());
  const limit = (maxSize: number) => bodyLimit({ maxSize, onError: (c) => refusePage(c, 'too-large') });
  const [ofForm, ofFile] = [limit(MAX_BODY_BYTES), limit(MAX_FILE_BYTES)];
  app.use((c, next) => (c.req.path.startsWith('/import/') ? ofFile : ofForm)(c, next));
  app.use(rememberLanguage(deps.origin));
  app.use(refuseForeignPosts(accessDeps));
  app.use(defaultDeny(accessDeps));
  app.use(contextStorage(), liveFrom(deps.context.store));
  app.use(mastheadNews(() => countWaiting(deps.context)));
  app.route('/', assets());
  app.route('/', clientScripts());
  app.route('/', entryPages({ ...accessDeps, linkCommand: 'npx feedround link coordinator' }));
  app.get('/health', (c) => c.json({ status: getWorkshop(deps.context.store) ? 'ready' : 'no-workshop' }));
  app.route('/', yourMailPages(yourMailFor(deps.context)));
  app.route('/', coordinatorPages(coordinatorFor(deps)));
  app.route('/', changePages(changesFor(deps)));
  app.route('/', eventPages(eventsFor(deps.context, deps.origin)));
  app.route('/', fleetPages(fleetFor(deps.context)));
  app.route('/', workshopPages(workshopFor(deps.context)));
  app.route('/', importPages(importsFor(deps.context)));
  app.route('/', shiftLinkPages(shiftLinksFor(deps)));
  app.route('/', driverPages(driverFor(deps.context)));
  app.route('/', roundPages(roundsFor(deps.context)));
  app.route('/', phoneRoutes(phoneFor(deps.context)));
  app.route('/', donorPages(donorFor(deps.context, (of) => madeCalendar(deps, of))));
  app.route('/', requestPages(requestFor(deps.context)));
  app.route('/', feedRoutes(feedsFor(deps.context)));
  app.route(
    '/',
    roundFiles({ readRoundFile: (id, driverId) => readRoundFile(deps.context.store, id, driverId) }),
  );
  const { store, now } = deps.context;
  app.route('/', liveRoutes({ store, now, access: accessDeps, stopping: deps.stopping ?? NEVER }));
  app.route('/', api(deps));
  app.notFound((c) => refusePage(c, 'not-found'));
  app.onError((error, c) => {
    // Thrown by the framework when a body cannot be read at all.
    if (error instanceof HTTPException && error.status === 400) return refusePage(c, 'malformed');
    deps.onFault(error);
    return refusePage(c, 'internal');
  });
  return app;
}

const countWaiting = ({ store, now }: Context): number => (getWorkshop(store) ? countInbox(store, now()) : 0);

const accessFor = ({ context, origin }: AppDeps): AccessDeps => ({
  origin,
  now: context.now,
  findSession: (token) => access.findSession(context, token),
  findLink: (role, token) => access.findLink(context, role, token),
  enter: (role, token) => access.enter(context, role, token),
  leave: (token) => access.leave(context, token),
});

const changesFor = ({ context, planner }: AppDeps): ChangeDeps => {
  const { store, now, newId } = context;
  return {
    newId,
    readNames: () => readNames(store),
    readChoices: (asked) => readChoices(store, now(), asked),
    readAnswer: (planId, change) => readAnswer(store, now(), planId, change),
    readDriverChoices: (planId, shiftId) => readDriverChoices(store, now(), planId, shiftId),
    readComparison: (planId, otherId) => readComparison(store, now(), planId, otherId),
    keepChanges: (request) => keepChanges(context, request),
    askForRoom: (planId, wanted) => askForRoom(context, planner, planId, wanted),
    keepRoom: (request) => keepRoom(context, planner, request),
    takeBackChange: (request) => takeBackChange(context, request),
  };
};

/** A short history is scored in less: then nobody sees a page that waits. */
const SCORE_WAIT_MS = 1500;

function coordinatorFor(deps: AppDeps): CoordinatorDeps {
  const { context, planning, origin, scores, worth } = deps;
  const { store, now } = context;
  return {
    hasWorkshop: () => getWorkshop(store) !== undefined,
    readWeekSheet: (planId) => coordinator.readWeekSheet(store, now(), planId),
    readSearch: (text) => readSearch(store, now(), text),
    readInbox: () => readInbox(store, now()),
    readDayMap: (asked) => readDayMap(store, now(), asked),
    readPosition: (siteId, proposed) => readPosition(store, now(), siteId, proposed),
    moveSite: (request) => moveSite(context, request),
    readSiteEdit: (siteId) => readSiteEdit(store, siteId),
    previewRule: (cells) => previewRule(store, now(), cells),
    keepSite: (request) => keepSite(context, request),
    readChanges: (planId) => readChanges(store, now(), planId),
    readRequests: () => readRequests(store, now()),
    answerPlaceRequest: (request) => answerPlaceRequest(context, request),
    readNews: () => readNews(store, now()),
    dropDraft: (request) => dropDraft(context, request),
    readRound: (roundId) => coordinator.readRound(store, now(), roundId),
    readSites: (search) => coordinator.readSites(store, now(), search),
    readSite: (siteId) => coordinator.readSite(store, now(), siteId),
    readProduction: () => coordinator.readProduction(store, now()),
    readLinks: () => coordinator.readLinks(store, now()),
    readSettings: () => coordinator.readSettings(store),
    changeObjective: (request) => changeObjective(context, request),
    readWorth: (runId) => readWorth(store, now(), worth, runId),
    startWorth: worth.start,
    stopWorth: worth.stopRun,
    readWeighIn: (weighInId) => readWeighIn(store, now(), weighInId),
    async readBacktest() {
      const state = await scores.read(SCORE_WAIT_MS);
      const { name, zone, currency } = requireWorkshop(store);
      const siteNames = Object.fromEntries(listSites(store).map((site) => [site.id, site.name]));
      return { workshop: { name, zone, currency }, state, siteNames };
    },
    newId: context.newId,
    confirmWeighIn: (request) => confirmWeighIn(context, request),
    doubtWeighInAgain: (request) => doubtWeighInAgain(context, request),
    correctWeighIn: ({ stopId, actor, leftKg, ...amounts }) =>
      recordWeighIn(context, {
        ...amounts,
        leftKg: leftKg ?? null,
        ...(stopId === null ? {} : { stopId }),
        recordedBy: actor,
      }),
    readRun: (runId) => readPlanningRun(store, now(), planning, runId),
    startRun: ({ actor }) =>
      planning.start({ seed: 1, iterations: requireWorkshop(store).settings.searchIterations, actor }),
    endRun: planning.end,
    publishPlan: (request) => publishPlan(context, request),
    createLink: (request) => {
      const { role } = request;
      const made = access.createLink(context, request);
      if (!made.ok) return { ok: false, refusal: { kind: 'no-such-person' } };
      const { token, expiresAt, label } = made.value;
      return { ok: true, value: { url: `${origin}/enter/${role}/${token}`, label, expiresAt } };
    },
    revokeLink: (request) => access.revokeLink(context, request),
    createCalendar: (request) => madeCalendar(deps, request),
  };
}

const driverFor = (context: Context): DriverDeps => ({
  now: context.now,
  newId: context.newId,
  readRun: (driverId, nowAt) => readRun(context.store, driverId, nowAt),
  readStop: (driverId, stopId, nowAt) => readStop(context.store, driverId, stopId, nowAt),
  recordWeighIn: (entry) => recordWeighIn(context, { ...entry, recordedBy: `driver:${entry.driverId}` }),
  recordMissedStop: (entry) =>
    recordMissedStop(context, { ...entry, recordedBy: `driver:${entry.driverId}` }),
  markRound: (marked) => markRound(context, { ...marked, recordedBy: `driver:${marked.driverId}` }),
});

const shiftLinksFor = ({ context, origin }: AppDeps): ShiftLinkDeps => ({
  readShifts: () => readShiftLinks(context.store, context.now()),
  createShiftLink(request) {
    const made = access.createShiftLink(context, request);
    if (!made.ok) return made;
    const { token, expiresAt, label } = made.value;
    return { ok: true, value: { url: `${origin}/enter/driver/${token}`, label, expiresAt } };
  },
});

const roundsFor = (context: Context): RoundDeps => ({
  ...phoneFor(context),
  newId: context.newId,
  bagKg: () => requireWorkshop(context.store).bagKg,
  weighLoad: (load) => weighLoad(context, { ...load, recordedBy: `driver:${load.driverId}` }),
  recordPickup: ({ roundId: _, ...pickup }) =>
    recordWeighIn(context, { ...pickup, recordedBy: `driver:${pickup.driverId}` }),
  takeVanOffRoad: ({ roundId, driverId, at, reason }) =>
    takeVanOffRoad(context, {
      vanId: getRound(context.store, roundId)?.vanId ?? '',
      fromAt: at,
      reason,
      actor: `driver:${driverId}`,
    }),
});

const phoneFor = ({ store, now }: Context): PhoneDeps => ({
  now,
  readRun: (driverId, nowAt) => readRun(store, driverId, nowAt),
  readSurroundings: () => readSurroundings(store),
});

function madeCalendar(
  { context, origin }: Pick<AppDeps, 'context' | 'origin'>,
  request: CalendarOf & { readonly actor: string },
): Result<MadeLink, CalendarRefusal> {
  const made = createCalendarLink(context, request);
  if (!made.ok) return made;
  const { token, label, expiresAt } = made.value;
  return { ok: true, value: { url: `${origin}/feeds/calendar/${token}.ics`, label, expiresAt } };
}

const feedsFor = (context: Context): FeedDeps => ({
  readCalendar(token) {
    const of = findCalendar(context, token);
    return of && readCalendar(context.store, of, context.now());
  },
});
