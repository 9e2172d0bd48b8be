/** What a driver may say of the own round beyond its stops: film fetched elsewhere, a van that cannot go on. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { getRound } from '../../store/plans.ts';
import { recordWeighIn } from '../../usecases/record-weigh-in.ts';
import { takeVanOffRoad } from '../../usecases/take-van-off-road.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { weighInOf } from './coordinator-api.ts';
import { idempotencyKey } from './idempotency.ts';
import { refuseFact } from './refuse-fact.ts';
import { declare } from './route.ts';
import * as s from './schemas.ts';

const ById = z.object({ id: s.Id });
const seconds = (iso: string): number => Math.floor(Date.parse(iso) / 1000);

const routes = {
  pickup: declare({
    method: 'post',
    path: '/api/driver/rounds/{id}/pickups',
    operationId: 'recordPickupOnTheWay',
    summary: 'Film fetched on the own round at a site that it does not call at',
    keyed: true,
    tag: 'driver',
    status: 201,
    answer: s.Made,
    params: ById,
    body: s.PickupBody,
  }),
  offRoad: declare({
    method: 'post',
    path: '/api/driver/rounds/{id}/van-off-road',
    operationId: 'takeOwnVanOffRoad',
    // The same van from the same instant is the same fact: no key is needed.
    summary: 'The van of the own round cannot go on',
    tag: 'driver',
    status: 201,
    answer: s.Made,
    params: ById,
    body: z.strictObject({ at: s.Instant, reason: z.string().max(500) }).openapi('VanOffRoad'),
  }),
};

export function onTheRoadApi(app: OpenAPIHono<SessionEnv>, { context }: ApiDeps): void {
  const ownRound = (roundId: string, driverId: string) => {
    const round = getRound(context.store, roundId);
    return round?.driverId === driverId ? round : undefined;
  };
  app.openapi(routes.pickup, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const driverId = c.var.session.subjectId;
    if (!ownRound(c.req.valid('param').id, driverId))
      return refuseFact(c, { kind: 'round-not-found' }) as never;
    const { site_id: siteId, replaces_id: replacesId, ...body } = c.req.valid('json');
    const replaces = replacesId === undefined ? {} : { replacesId };
    const entry = {
      factId,
      siteId,
      driverId,
      ...weighInOf(body),
      ...replaces,
      recordedBy: `driver:${driverId}`,
    };
    const recorded = recordWeighIn(context, entry);
    return recorded.ok
      ? c.json({ id: recorded.value.weighInId }, 201)
      : (refuseFact(c, recorded.refusal) as never);
  });
  app.openapi(routes.offRoad, (c) => {
    const driverId = c.var.session.subjectId;
    const round = ownRound(c.req.valid('param').id, driverId);
    if (!round) return refuseFact(c, { kind: 'round-not-found' }) as never;
    const { at, reason } = c.req.valid('json');
    const told = { vanId: round.vanId, fromAt: seconds(at), reason, actor: `driver:${driverId}` };
    const taken = takeVanOffRoad(context, told);
    return taken.ok ? c.json({ id: taken.value.vanId }, 201) : (refuseFact(c, taken.refusal) as never);
  });
}
