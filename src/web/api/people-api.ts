/** What a driver and a donor may ask and do with their own link: their own rounds, their own sites. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { localOf } from '../../core/calendar/zone.ts';
import { getBooking } from '../../store/bookings.ts';
import { publishedPlan } from '../../store/plans.ts';
import { getSite, listSitesOfDonor } from '../../store/sites.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { cancelBooking } from '../../usecases/cancel-extra-collection.ts';
import { recordMissedStop } from '../../usecases/record-missed-stop.ts';
import { recordWeighIn } from '../../usecases/record-weigh-in.ts';
import { reportFull } from '../../usecases/report-full.ts';
import { requestExtraCollection } from '../../usecases/request-extra-collection.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { bookingOf, weighInOf } from './coordinator-api.ts';
import { idempotencyKey } from './idempotency.ts';
import { toJson } from './json.ts';
import { refuseFact } from './refuse-fact.ts';
import { declare } from './route.ts';
import * as s from './schemas.ts';

const ById = z.object({ id: s.Id });
const seconds = (iso: string): number => Math.floor(Date.parse(iso) / 1000);

const routes = {
  rounds: declare({
    method: 'get',
    path: '/api/driver/rounds',
    operationId: 'listOwnRounds',
    summary: 'The driver’s own published rounds from today on',
    tag: 'driver',
    status: 200,
    answer: z.object({ rounds: z.array(s.Round) }),
  }),
  weighIn: declare({
    method: 'post',
    path: '/api/driver/stops/{id}/weigh-in',
    operationId: 'recordWeighIn',
    summary: 'Hands in what a stop gave, or corrects it',
    keyed: true,
    tag: 'driver',
    status: 201,
    answer: s.Made,
    params: ById,
    body: s.WeighInBody,
  }),
  missed: declare({
    method: 'post',
    path: '/api/driver/stops/{id}/missed',
    operationId: 'recordMissedStop',
    summary: 'Says that a stop was not collected, and why',
    keyed: true,
    tag: 'driver',
    status: 201,
    answer: s.Made,
    params: ById,
    body: s.MissedBody,
  }),
  sites: declare({
    method: 'get',
    path: '/api/donor/sites',
    operationId: 'listOwnSites',
    summary: 'The donor’s own sites',
    tag: 'donor',
    status: 200,
    answer: z.object({ sites: z.array(z.object({ id: s.Id, name: z.string(), address: z.string() })) }),
  }),
  book: declare({
    method: 'post',
    path: '/api/donor/bookings',
    operationId: 'requestOwnBooking',
    summary: 'Asks for an extra collection at an own site',
    keyed: true,
    tag: 'donor',
    status: 201,
    answer: s.Made,
    body: s.BookingBody,
  }),
  cancel: declare({
    method: 'post',
    path: '/api/donor/bookings/{id}/cancellation',
    operationId: 'cancelOwnBooking',
    summary: 'Takes an own booking back',
    tag: 'donor',
    status: 200,
    answer: s.Made,
    params: ById,
  }),
  report: declare({
    method: 'post',
    path: '/api/donor/fill-reports',
    operationId: 'reportOwnFill',
    summary: 'Says how full an own container is',
    keyed: true,
    tag: 'donor',
    status: 201,
    answer: s.Made,
    body: s.FillReportBody,
  }),
};

export function peopleApi(app: OpenAPIHono<SessionEnv>, { context }: ApiDeps): void {
  const { store, now } = context;
  const ownsSite = (donorId: string, siteId: string): boolean => getSite(store, siteId)?.donorId === donorId;

  app.openapi(routes.rounds, (c) => {
    const today = localOf(requireWorkshop(store).zone, now()).day;
    const rounds = (publishedPlan(store)?.rounds ?? []).filter(
      (round) => round.driverId === c.var.session.subjectId && round.day >= today,
    );
    return c.json({ rounds: rounds.map((round) => toJson(round) as z.output<typeof s.Round>) }, 200);
  });
  app.openapi(routes.weighIn, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const driverId = c.var.session.subjectId;
    const body = c.req.valid('json');
    const recorded = recordWeighIn(context, {
      factId,
      stopId: c.req.valid('param').id,
      driverId,
      ...weighInOf(body),
      ...(body.replaces_id === undefined ? {} : { replacesId: body.replaces_id }),
      recordedBy: `driver:${driverId}`,
    });
    return recorded.ok
      ? c.json({ id: recorded.value.weighInId }, 201)
      : (refuseFact(c, recorded.refusal) as never);
  });
  app.openapi(routes.missed, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const driverId = c.var.session.subjectId;
    const { at, reason, note } = c.req.valid('json');
    const stopId = c.req.valid('param').id;
    const recordedBy = `driver:${driverId}`;
    const missed = recordMissedStop(context, {
      factId,
      stopId,
      driverId,
      at: seconds(at),
      reason,
      note,
      recordedBy,
    });
    return missed.ok ? c.json({ id: missed.value.missedId }, 201) : (refuseFact(c, missed.refusal) as never);
  });
  app.openapi(routes.sites, (c) =>
    c.json(
      {
        sites: listSitesOfDonor(store, c.var.session.subjectId).map(({ id, name, address }) => ({
          id,
          name,
          address,
        })),
      },
      200,
    ),
  );
  app.openapi(routes.book, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const donorId = c.var.session.subjectId;
    const body = c.req.valid('json');
    if (!ownsSite(donorId, body.site_id)) return refuseFact(c, { kind: 'site-not-found' }) as never;
    const made = requestExtraCollection(context, bookingOf(body, factId, `donor:${donorId}`));
    return made.ok ? c.json({ id: made.value.bookingId }, 201) : (refuseFact(c, made.refusal) as never);
  });
  app.openapi(routes.cancel, (c) => {
    const donorId = c.var.session.subjectId;
    const { id } = c.req.valid('param');
    const booking = getBooking(store, id);
    if (!booking || !ownsSite(donorId, booking.siteId))
      return refuseFact(c, { kind: 'booking-not-found' }) as never;
    const cancelled = cancelBooking(context, { bookingId: id, actor: `donor:${donorId}` });
    return cancelled.ok ? c.json({ id }, 200) : (refuseFact(c, cancelled.refusal) as never);
  });
  app.openapi(routes.report, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const donorId = c.var.session.subjectId;
    const { site_id, at, fraction } = c.req.valid('json');
    if (!ownsSite(donorId, site_id)) return refuseFact(c, { kind: 'site-not-found' }) as never;
    const told = reportFull(context, {
      factId,
      siteId: site_id,
      at: seconds(at),
      fraction,
      reportedBy: `donor:${donorId}`,
    });
    return told.ok ? c.json({ id: told.value.reportId }, 201) : (refuseFact(c, told.refusal) as never);
  });
}
