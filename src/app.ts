/** The whole web application from what it needs: no environment, no clock of its own, no port. */
import { Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import type { Instant } from './core/quantity/units.ts';
import { getWorkshop } from './store/workshop.ts';
import * as access from './usecases/access.ts';
import type { Context, Planner } from './usecases/context.ts';
import { recordMissedStop } from './usecases/record-missed-stop.ts';
import { recordWeighIn } from './usecases/record-weigh-in.ts';
import { reportFull } from './usecases/report-full.ts';
import { cancelBooking, requestExtraCollection } from './usecases/request-extra-collection.ts';
import type { DonorDeps } from './web/donor/donor-deps.ts';
import { donorPages } from './web/donor/donor-pages.tsx';
import { readBooking, readDonor } from './web/donor/read-donor.ts';
import type { DriverDeps } from './web/driver/driver-deps.ts';
import { driverPages } from './web/driver/driver-pages.tsx';
import { readRun, readStop } from './web/driver/read-run.ts';
import { entryPages } from './web/shared/entry.tsx';
import { refusePage } from './web/shared/html-error.tsx';
import { securityHeaders } from './web/shared/security.ts';
import { type AccessDeps, defaultDeny, refuseForeignPosts, type SessionEnv } from './web/shared/session.ts';
import { assets } from './web/shared/styles.ts';

export type AppDeps = {
  readonly context: Context;
  readonly planner: Planner;
  /** Where people reach us; links and cookies are made for it. */
  readonly origin: string;
  /** An unexpected error, for the log: the person sees one fixed sentence. */
  readonly onFault: (error: unknown) => void;
};

/** A plan page with all its forms is far below this; a phone's weigh-in is a few hundred bytes. */
const MAX_BODY_BYTES = 1_000_000;

export function createApp(deps: AppDeps): Hono<SessionEnv> {
  const accessDeps = accessFor(deps);
  const app = new Hono<SessionEnv>();
  app.use(securityHeaders());
  app.use(bodyLimit({ maxSize: MAX_BODY_BYTES, onError: (c) => refusePage(c, 'too-large') }));
  app.use(refuseForeignPosts(accessDeps));
  app.use(defaultDeny(accessDeps));
  app.route('/', assets());
  app.route('/', entryPages({ ...accessDeps, linkCommand: 'npx feedround link coordinator' }));
  app.get('/health', (c) => c.json({ status: getWorkshop(deps.context.store) ? 'ready' : 'no-workshop' }));
  app.get('/', (c) => c.redirect('/week', 302));
  app.route('/', driverPages(driverFor(deps.context)));
  app.route('/', donorPages(donorFor(deps.context)));
  app.notFound((c) => refusePage(c, 'not-found'));
  app.onError((error, c) => {
    deps.onFault(error);
    return refusePage(c, 'internal');
  });
  return app;
}

const accessFor = ({ context, origin }: AppDeps): AccessDeps => ({
  origin,
  now: context.now,
  findSession: (token) => access.findSession(context, token),
  findLink: (role, token) => access.findLink(context, role, token),
  enter: (role, token) => access.enter(context, role, token),
  leave: (token) => access.leave(context, token),
});

const driverFor = (context: Context): DriverDeps => ({
  now: context.now,
  newId: context.newId,
  readRun: (driverId, nowAt) => readRun(context.store, driverId, nowAt),
  readStop: (driverId, stopId, nowAt) => readStop(context.store, driverId, stopId, nowAt),
  recordWeighIn: (entry) => recordWeighIn(context, { ...entry, recordedBy: `driver:${entry.driverId}` }),
  recordMissedStop: (entry) =>
    recordMissedStop(context, { ...entry, recordedBy: `driver:${entry.driverId}` }),
});

function donorFor(context: Context): DonorDeps {
  const owns = (donorId: string, siteId: string, nowAt: Instant): boolean =>
    readDonor(context.store, donorId, nowAt)?.sites.some((site) => site.siteId === siteId) ?? false;
  return {
    now: context.now,
    newId: context.newId,
    readDonor: (donorId, nowAt) => readDonor(context.store, donorId, nowAt),
    readBooking: (donorId, bookingId, nowAt) => readBooking(context.store, donorId, bookingId, nowAt),
    reportFull: ({ donorId, ...entry }) =>
      owns(donorId, entry.siteId, entry.at)
        ? reportFull(context, { ...entry, reportedBy: `donor:${donorId}` })
        : { ok: false, refusal: { kind: 'site-not-found' } },
    requestExtra: ({ donorId, at, ...entry }) =>
      owns(donorId, entry.siteId, at)
        ? requestExtraCollection(context, { ...entry, requestedBy: `donor:${donorId}` })
        : { ok: false, refusal: { kind: 'site-not-found' } },
    cancelBooking: ({ donorId, bookingId, at }) =>
      readBooking(context.store, donorId, bookingId, at)
        ? cancelBooking(context, { bookingId, actor: `donor:${donorId}` })
        : { ok: false, refusal: { kind: 'booking-not-found' } },
  };
}
