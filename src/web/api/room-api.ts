/** Room for a visit that does not fit: the sites around it are arranged anew, shown first and then kept. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { askForRoom, keepRoom, type RoomWanted } from '../../usecases/make-room.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { Room, RoomBody } from './change-schemas.ts';
import { idempotencyKey } from './idempotency.ts';
import { toJson } from './json.ts';
import { refuseFact } from './refuse-fact.ts';
import { declare } from './route.ts';
import { Id, Made } from './schemas.ts';

const ById = z.object({ id: Id });
const asked = { method: 'post', tag: 'plans', params: ById, body: RoomBody } as const;

const routes = {
  ask: declare({
    ...asked,
    path: '/api/plans/{id}/room',
    operationId: 'askForRoom',
    summary: 'Pins a visit to a day and arranges the sites around it anew; nothing is kept',
    status: 200,
    answer: Room,
  }),
  keep: declare({
    ...asked,
    path: '/api/plans/{id}/room/draft',
    operationId: 'keepRoom',
    summary: 'Makes the same room again and keeps it as a new draft; answers its id',
    keyed: true,
    status: 201,
    answer: Made,
  }),
};

export function roomApi(app: OpenAPIHono<SessionEnv>, { context, planner }: ApiDeps): void {
  app.openapi(routes.ask, async (c) => {
    const room = await askForRoom(context, planner, c.req.valid('param').id, wantedOf(c.req.valid('json')));
    if (!room.ok) return refuseFact(c, room.refusal) as never;
    const { base, newest, before, after, differences } = room.value;
    const answer = { planId: base.id, newestPlanId: newest?.id ?? null, before, after, differences };
    return c.json(toJson(answer) as z.output<typeof Room>, 200);
  });
  app.openapi(routes.keep, async (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const kept = await keepRoom(context, planner, {
      factId,
      planId: c.req.valid('param').id,
      wanted: wantedOf(c.req.valid('json')),
      actor: c.var.session.label || 'coordinator',
    });
    return kept.ok ? c.json({ id: kept.value.planId }, 201) : (refuseFact(c, kept.refusal) as never);
  });
}

const wantedOf = ({ site_id, day, to_day }: z.output<typeof RoomBody>): RoomWanted => ({
  siteId: site_id,
  toDay: to_day,
  ...(day === undefined ? {} : { day }),
});
