/** Something happened: told by a program, for the coordinator of every kind, for drivers and donors of their own. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { EVENT_KINDS, GRADES, MISSED_REASONS, ROUND_MARKS } from '../../core/vocabulary.ts';
import { listWaiting } from '../../store/reactions.ts';
import { getSite } from '../../store/sites.ts';
import { getSurge } from '../../store/surges.ts';
import { announceSurge, callOffSurge, changeSurge } from '../../usecases/announce-surge.ts';
import type { Field, FieldType } from '../../usecases/happened/fields.ts';
import { HAPPENING_KINDS, HAPPENINGS, type HappeningKind } from '../../usecases/happened/kinds.ts';
import { tell } from '../../usecases/happened/tell.ts';
import { markRound } from '../../usecases/mark-round.ts';
import { setReactionAside, tryReactionAgain } from '../../usecases/react.ts';
import { weighLoad } from '../../usecases/weigh-load.ts';
import { problem } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { idempotencyKey } from './idempotency.ts';
import { isoInstant } from './json.ts';
import { refuseFact } from './refuse-fact.ts';
import { declare } from './route.ts';
import * as s from './schemas.ts';

const ById = z.object({ id: s.Id });
const named = (what: string) =>
  z
    .string()
    .min(1)
    .max(200)
    .openapi({ description: `Id or key of a ${what}` });
const seconds = (iso: string): number => Math.floor(Date.parse(iso) / 1000);

const FIELD_SCHEMAS: { readonly [type in FieldType]: z.ZodType } = {
  site: named('site'),
  surge: named('surge'),
  van: named('van'),
  shift: named('shift'),
  round: s.Id,
  stop: s.Id,
  product: named('product'),
  grade: z.enum(GRADES as [string, ...string[]]),
  'event-kind': z.enum(EVENT_KINDS),
  'missed-reason': z.enum(MISSED_REASONS),
  kg: z.number().min(0).max(30_000).openapi({ description: 'kg' }),
  'change-kg': z.number().min(-30_000).max(30_000).openapi({ description: 'kg, either way' }),
  bags: z.number().min(0).max(10_000),
  units: z.int().min(0).max(1_000_000),
  fraction: z.number().min(0).max(2).openapi({ description: '1 is full to the brim' }),
  day: s.Day,
  instant: s.Instant,
  text: z.string().max(500),
};

/** The kinds' own lists of facts, as schemas. */
const bodyOf = (kind: HappeningKind) => {
  const fields: [string, Field][] = Object.entries(HAPPENINGS[kind].fields);
  const members = fields.map(([name, { type, isOptional }]) => {
    const schema = FIELD_SCHEMAS[type];
    return [name, isOptional ? schema.optional() : schema] as const;
  });
  return z.strictObject({ kind: z.literal(kind), ...Object.fromEntries(members) });
};
const HappeningBody = z
  .discriminatedUnion('kind', HAPPENING_KINDS.map(bodyOf) as [ReturnType<typeof bodyOf>])
  .openapi('Happening');

const SurgeFactsBody = z
  .strictObject({
    event_kind: z.enum(EVENT_KINDS),
    name: z.string().max(200).default(''),
    starts_at: s.Instant,
    ends_at: s.Instant,
    expected_bags: z.number().positive().max(10_000),
  })
  .openapi('SurgeFacts');
const SurgeBody = SurgeFactsBody.extend({ site_id: s.Id }).openapi('SurgeEntry');
const surgeOf = (body: z.output<typeof SurgeFactsBody>) => ({
  eventKind: body.event_kind,
  name: body.name,
  startsAt: seconds(body.starts_at),
  endsAt: seconds(body.ends_at),
  expectedBags: body.expected_bags,
});

const Waiting = z
  .object({
    reaction: z.string(),
    seq: z.int(),
    kind: z.string(),
    subject: z.string(),
    attempts: z.int(),
    next_at: s.Instant.nullable(),
    error: z.string(),
  })
  .openapi('WaitingReaction');
const ByEntry = z.object({
  reaction: z.string().regex(/^[a-z0-9-]{1,100}$/),
  seq: z.coerce.number().int().min(1),
});

const routes = {
  happened: declare({
    method: 'post',
    path: '/api/happenings',
    operationId: 'tellHappening',
    summary: 'Says that something happened: a van off the road, a delivery at the door and so on',
    keyed: true,
    tag: 'happenings',
    status: 201,
    answer: s.Made,
    body: HappeningBody,
  }),
  waiting: declare({
    method: 'get',
    path: '/api/reactions',
    operationId: 'listWaitingReactions',
    summary: 'What should follow from the journal and could not yet',
    tag: 'journal',
    status: 200,
    answer: z.object({ waiting: z.array(Waiting) }),
  }),
  again: declare({
    method: 'post',
    path: '/api/reactions/{reaction}/{seq}/retry',
    operationId: 'tryReactionAgain',
    summary: 'Has it tried again at once',
    tag: 'journal',
    status: 200,
    answer: ByEntry,
    params: ByEntry,
  }),
  aside: declare({
    method: 'post',
    path: '/api/reactions/{reaction}/{seq}/aside',
    operationId: 'setReactionAside',
    summary: 'Leaves it out; what waited behind it goes on',
    tag: 'journal',
    status: 200,
    answer: ByEntry,
    params: ByEntry,
  }),
  mark: declare({
    method: 'post',
    path: '/api/driver/rounds/{id}/marks',
    operationId: 'markOwnRound',
    summary: 'The driver’s own round has started, pauses, goes on or is finished',
    keyed: true,
    tag: 'driver',
    status: 201,
    answer: s.Made,
    params: ById,
    body: z.strictObject({ mark: z.enum(ROUND_MARKS), at: s.Instant }).openapi('RoundMark'),
  }),
  load: declare({
    method: 'post',
    path: '/api/driver/rounds/{id}/load-weigh-ins',
    operationId: 'weighOwnLoad',
    summary: 'A whole load weighed at unloading, to be shared over its stops that were not weighed',
    keyed: true,
    tag: 'driver',
    status: 201,
    answer: s.Made,
    params: ById,
    body: z.strictObject({ net_kg: z.number().min(0).max(30_000), at: s.Instant }).openapi('LoadWeighIn'),
  }),
  surge: declare({
    method: 'post',
    path: '/api/donor/surges',
    operationId: 'announceOwnSurge',
    summary: 'Film that an event will leave at an own site',
    keyed: true,
    tag: 'donor',
    status: 201,
    answer: s.Made,
    body: SurgeBody,
  }),
  changeSurge: declare({
    method: 'put',
    path: '/api/donor/surges/{id}',
    operationId: 'changeOwnSurge',
    summary: 'An own event brings more or less than was announced; said anew as a whole',
    tag: 'donor',
    status: 200,
    answer: s.Made,
    params: ById,
    body: SurgeFactsBody,
  }),
  callOff: declare({
    method: 'post',
    path: '/api/donor/surges/{id}/cancellation',
    operationId: 'callOffOwnSurge',
    summary: 'An own event is called off',
    tag: 'donor',
    status: 200,
    answer: s.Made,
    params: ById,
  }),
};

export function happeningsApi(app: OpenAPIHono<SessionEnv>, { context }: ApiDeps): void {
  const { store } = context;
  app.openapi(routes.happened, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const { kind, ...sent } = c.req.valid('json');
    const told = tell(context, kind, sent, { factId, actor: c.var.session.label || 'coordinator' });
    if (told.ok) return c.json({ id: told.value.id }, 201);
    if (told.refusal.kind === 'refused') return refuseFact(c, told.refusal.refusal) as never;
    const faults = Object.entries(told.refusal.faults);
    const errors = faults.map(([name, fault]) => ({ detail: `${name} ${fault}`, pointer: `#/${name}` }));
    return problem(c, 'invalid-body', { detail: 'Some facts cannot be taken; see errors', errors }) as never;
  });
  app.openapi(routes.waiting, (c) =>
    c.json(
      {
        waiting: listWaiting(store).map(({ reaction, seq, kind, subject, attempts, nextAt, error }) => ({
          reaction,
          seq,
          kind,
          subject,
          attempts,
          next_at: nextAt === null ? null : isoInstant(nextAt),
          error,
        })),
      },
      200,
    ),
  );
  for (const [route, decide] of [
    [routes.again, tryReactionAgain],
    [routes.aside, setReactionAside],
  ] as const)
    app.openapi(route, (c) => {
      const { reaction, seq } = c.req.valid('param');
      const decided = decide(context, { reaction, seq, actor: c.var.session.label || 'coordinator' });
      return decided.ok ? c.json({ reaction, seq }, 200) : (refuseFact(c, decided.refusal) as never);
    });
  app.openapi(routes.mark, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const driverId = c.var.session.subjectId;
    const { mark, at } = c.req.valid('json');
    const told = { factId, roundId: c.req.valid('param').id, mark, at: seconds(at), driverId };
    const marked = markRound(context, { ...told, recordedBy: `driver:${driverId}` });
    return marked.ok ? c.json({ id: marked.value.markId }, 201) : (refuseFact(c, marked.refusal) as never);
  });
  app.openapi(routes.load, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const driverId = c.var.session.subjectId;
    const { net_kg, at } = c.req.valid('json');
    const load = { factId, roundId: c.req.valid('param').id, netKg: net_kg, at: seconds(at), driverId };
    const weighed = weighLoad(context, { ...load, recordedBy: `driver:${driverId}` });
    return weighed.ok
      ? c.json({ id: weighed.value.loadWeighInId }, 201)
      : (refuseFact(c, weighed.refusal) as never);
  });
  app.openapi(routes.surge, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const donorId = c.var.session.subjectId;
    const { site_id: siteId, ...body } = c.req.valid('json');
    if (getSite(store, siteId)?.donorId !== donorId)
      return refuseFact(c, { kind: 'site-not-found' }) as never;
    const told = { factId, siteId, actor: `donor:${donorId}` };
    const announced = announceSurge(context, { ...told, ...surgeOf(body) });
    return announced.ok
      ? c.json({ id: announced.value.surgeId }, 201)
      : (refuseFact(c, announced.refusal) as never);
  });
  /** Of a site of theirs; another donor's is as if it were not there. */
  const isOwn = (surgeId: string, donorId: string): boolean =>
    getSite(store, getSurge(store, surgeId)?.siteId ?? '')?.donorId === donorId;
  app.openapi(routes.changeSurge, (c) => {
    const donorId = c.var.session.subjectId;
    const surgeId = c.req.valid('param').id;
    if (!isOwn(surgeId, donorId)) return refuseFact(c, { kind: 'surge-not-found' }) as never;
    const facts = surgeOf(c.req.valid('json'));
    const changed = changeSurge(context, { surgeId, ...facts, actor: `donor:${donorId}` });
    return changed.ok ? c.json({ id: surgeId }, 200) : (refuseFact(c, changed.refusal) as never);
  });
  app.openapi(routes.callOff, (c) => {
    const donorId = c.var.session.subjectId;
    const surgeId = c.req.valid('param').id;
    if (!isOwn(surgeId, donorId)) return refuseFact(c, { kind: 'surge-not-found' }) as never;
    const calledOff = callOffSurge(context, { surgeId, actor: `donor:${donorId}` });
    return calledOff.ok ? c.json({ id: surgeId }, 200) : (refuseFact(c, calledOff.refusal) as never);
  });
}
