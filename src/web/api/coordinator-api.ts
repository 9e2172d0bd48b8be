/** What a coordinator's program may ask and do: fills, need, plans, bookings, the journal. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { fillAt, overflowRisk, quantileKg } from '../../core/accumulation/forecast.ts';
import { meanRateKg } from '../../core/accumulation/rate.ts';
import { addDays, localOf } from '../../core/calendar/zone.ts';
import { coverDays, drawByDay } from '../../core/feedstock/need.ts';
import type { Grade, RejectReason } from '../../core/vocabulary.ts';
import { listBookingsAhead } from '../../store/bookings.ts';
import { readEntriesAfter } from '../../store/journal.ts';
import { getPlan, getRound, listPlans, type StoredPlan } from '../../store/plans.ts';
import { listProductionBetween } from '../../store/production.ts';
import { listProducts } from '../../store/products.ts';
import { getSite, listSites } from '../../store/sites.ts';
import { currentStockKg } from '../../store/stock.ts';
import { getWeighIn } from '../../store/weigh-ins.ts';
import { listGrades, requireWorkshop } from '../../store/workshop.ts';
import { cancelBooking } from '../../usecases/cancel-extra-collection.ts';
import { confirmWeighIn, doubtWeighInAgain } from '../../usecases/confirm-weigh-in.ts';
import { learnFills } from '../../usecases/learn-fills.ts';
import { listDoubts } from '../../usecases/list-doubts.ts';
import { planWeek } from '../../usecases/plan-week.ts';
import { publishPlan } from '../../usecases/publish-plan.ts';
import { recordWeighIn } from '../../usecases/record-weigh-in.ts';
import { reportFull } from '../../usecases/report-full.ts';
import { requestExtraCollection } from '../../usecases/request-extra-collection.ts';
import { type ProblemMembers, problem } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { idempotencyKey } from './idempotency.ts';
import { isoInstant, toJson } from './json.ts';
import { refuseFact } from './refuse-fact.ts';
import { declare } from './route.ts';
import * as s from './schemas.ts';

const ById = z.object({ id: s.Id });
const DAY_S = 86_400;
const FORECAST_DAYS = 21;
const NEED_DAYS = 28;
/** A program may wait a little longer than a person. */
const SCORE_WAIT_MS = 10_000;
const seconds = (iso: string): number => Math.floor(Date.parse(iso) / 1000);

const routes = {
  workshop: declare({
    method: 'get',
    path: '/api/workshop',
    operationId: 'readWorkshop',
    summary: 'The workshop, its settings and grades',
    tag: 'workshop',
    status: 200,
    answer: s.Workshop,
  }),
  fills: declare({
    method: 'get',
    path: '/api/fills',
    operationId: 'listFills',
    summary: 'What waits at every site now, as a distribution, and what that rests on',
    tag: 'fills',
    status: 200,
    answer: z.object({ fills: z.array(s.Fill) }),
  }),
  forecast: declare({
    method: 'get',
    path: '/api/sites/{id}/forecast',
    operationId: 'forecastSite',
    summary: 'How one site fills over the next weeks if nobody calls',
    tag: 'fills',
    status: 200,
    answer: z.object({ site_id: s.Id, capacity_kg: z.number(), points: z.array(s.ForecastPoint) }),
    params: ById,
  }),
  stock: declare({
    method: 'get',
    path: '/api/stock',
    operationId: 'readStock',
    summary: 'Film in the store now, by grade',
    tag: 'production',
    status: 200,
    answer: s.StockNow,
  }),
  need: declare({
    method: 'get',
    path: '/api/need',
    operationId: 'readNeed',
    summary: 'What production draws on the days ahead, and how long stock covers it',
    tag: 'production',
    status: 200,
    answer: s.Need,
  }),
  plans: declare({
    method: 'get',
    path: '/api/plans',
    operationId: 'listPlans',
    summary: 'Plans, newest first',
    tag: 'plans',
    status: 200,
    answer: z.object({ plans: z.array(s.PlanSummary) }),
  }),
  plan: declare({
    method: 'get',
    path: '/api/plans/{id}',
    operationId: 'readPlan',
    summary: 'One plan with its rounds, stops, reasons and money',
    tag: 'plans',
    status: 200,
    answer: s.Plan,
    params: ById,
  }),
  makePlan: declare({
    method: 'post',
    path: '/api/plans',
    operationId: 'makePlan',
    summary: 'Plans the days ahead and keeps a draft',
    tag: 'plans',
    status: 201,
    answer: s.Plan,
    body: s.PlanRequest,
  }),
  publish: declare({
    method: 'post',
    path: '/api/plans/{id}/publication',
    operationId: 'publishPlan',
    summary: 'Makes a draft the plan that drivers follow',
    tag: 'plans',
    status: 200,
    answer: s.Made,
    params: ById,
  }),
  round: declare({
    method: 'get',
    path: '/api/rounds/{id}',
    operationId: 'readRound',
    summary: 'One round with its stops in order',
    tag: 'plans',
    status: 200,
    answer: s.Round,
    params: ById,
  }),
  bookings: declare({
    method: 'get',
    path: '/api/bookings',
    operationId: 'listBookings',
    summary: 'Extra collections asked for, whose window is not over',
    tag: 'bookings',
    status: 200,
    answer: z.object({ bookings: z.array(s.Booking) }),
  }),
  book: declare({
    method: 'post',
    path: '/api/bookings',
    operationId: 'requestBooking',
    summary: 'Asks for an extra collection',
    keyed: true,
    tag: 'bookings',
    status: 201,
    answer: s.Made,
    body: s.BookingBody,
  }),
  cancel: declare({
    method: 'post',
    path: '/api/bookings/{id}/cancellation',
    operationId: 'cancelBooking',
    summary: 'Takes a booking back',
    tag: 'bookings',
    status: 200,
    answer: s.Made,
    params: ById,
  }),
  report: declare({
    method: 'post',
    path: '/api/fill-reports',
    operationId: 'reportFill',
    summary: 'Somebody says how full a container is',
    keyed: true,
    tag: 'fills',
    status: 201,
    answer: s.Made,
    body: s.FillReportBody,
  }),
  doubts: declare({
    method: 'get',
    path: '/api/doubts',
    operationId: 'listDoubts',
    summary: 'Weigh-ins that do not fit what was expected and wait to be confirmed or corrected',
    tag: 'fills',
    status: 200,
    answer: z.object({ doubts: z.array(s.Doubt) }),
  }),
  confirm: declare({
    method: 'put',
    path: '/api/weigh-ins/{id}/confirmation',
    operationId: 'confirmWeighIn',
    summary: 'Says that the figure of a weigh-in is right: it counts in full, however odd it looks',
    tag: 'fills',
    status: 200,
    answer: s.Made,
    params: ById,
  }),
  unconfirm: declare({
    method: 'delete',
    path: '/api/weigh-ins/{id}/confirmation',
    operationId: 'takeConfirmationBack',
    summary: 'Takes the confirmation back: the estimate judges the weigh-in for itself',
    tag: 'fills',
    status: 200,
    answer: s.Made,
    params: ById,
  }),
  correct: declare({
    method: 'post',
    path: '/api/weigh-ins/{id}/correction',
    operationId: 'correctWeighIn',
    summary: 'Puts a new weigh-in in the place of this one; the old one is kept',
    keyed: true,
    tag: 'fills',
    status: 201,
    answer: s.Made,
    params: ById,
    body: s.WeighInBody,
  }),
  backtest: declare({
    method: 'get',
    path: '/api/backtest',
    operationId: 'readBacktest',
    summary: 'How good the estimates were on the own history, out of sample, against simple rules',
    tag: 'fills',
    status: 200,
    answer: s.Backtest,
  }),
  journal: declare({
    method: 'get',
    path: '/api/journal',
    operationId: 'readJournal',
    summary: 'What happened, in order, after a place in the journal',
    tag: 'journal',
    status: 200,
    answer: z.object({ entries: z.array(s.JournalEntry) }),
    query: z.object({ after: z.coerce.number().int().min(0).default(0) }),
  }),
};

export function coordinatorApi(app: OpenAPIHono<SessionEnv>, { context, planner, scores }: ApiDeps): void {
  const { store, now } = context;
  const as = <T>(value: unknown): T => toJson(value) as T;
  const actor = (label: string): string => label || 'coordinator';

  app.openapi(routes.workshop, (c) =>
    c.json(as<z.output<typeof s.Workshop>>({ ...requireWorkshop(store), grades: listGrades(store) }), 200),
  );
  app.openapi(routes.fills, (c) => {
    const models = learnFills(store);
    const nowAt = now();
    const fills = listSites(store).map((site) => {
      const model = models.get(site.id)!;
      const fill = fillAt(model, nowAt);
      const held = (p: number): number => Math.min(model.capacityKg, quantileKg(fill, p));
      const { lastWeighInAt } = model.basis;
      return {
        site_id: site.id,
        key: site.key,
        name: site.name,
        median_kg: held(0.5),
        low_kg: held(0.1),
        high_kg: held(0.9),
        capacity_kg: model.capacityKg,
        overflow_risk_7_days: overflowRisk(fillAt(model, nowAt + 7 * DAY_S), model.capacityKg),
        kg_per_week: meanRateKg(model.rate),
        weigh_ins: model.basis.weighIns,
        ...(lastWeighInAt === undefined ? {} : { last_weigh_in_at: isoInstant(lastWeighInAt) }),
      };
    });
    return c.json({ fills }, 200);
  });
  app.openapi(routes.forecast, (c) => {
    const { id } = c.req.valid('param');
    if (!getSite(store, id)) return problem(c, 'no-such-site') as never;
    const model = learnFills(store).get(id)!;
    const fromAt = now();
    const points = Array.from({ length: FORECAST_DAYS + 1 }, (_, day) => {
      const at = fromAt + day * DAY_S;
      const fill = fillAt(model, at);
      const held = (p: number): number => Math.min(model.capacityKg, quantileKg(fill, p));
      return {
        at: isoInstant(at),
        low_kg: held(0.1),
        median_kg: held(0.5),
        high_kg: held(0.9),
        beside_high_kg: Math.max(0, quantileKg(fill, 0.9) - model.capacityKg),
        overflow_risk: overflowRisk(fill, model.capacityKg),
      };
    });
    return c.json({ site_id: id, capacity_kg: model.capacityKg, points }, 200);
  });
  app.openapi(routes.stock, (c) => {
    const stock = currentStockKg(store);
    const grades = [...stock].map(([grade, stock_kg]) => ({ grade, stock_kg }));
    return c.json({ day: localOf(requireWorkshop(store).zone, now()).day, grades }, 200);
  });
  app.openapi(routes.need, (c) => {
    const today = localOf(requireWorkshop(store).zone, now()).day;
    const days = Array.from({ length: NEED_DAYS }, (_, i) => addDays(today, i));
    const grades = listGrades(store).map((row) => row.grade);
    const runs = listProductionBetween(store, today, days.at(-1)!).filter((run) => run.doneAt === null);
    const draw = drawByDay(days, grades, listProducts(store), runs);
    const stock = currentStockKg(store);
    return c.json(
      {
        days: days.map((day, d) => ({
          day,
          grades: grades.map((grade, k) => ({ grade, draw_kg: draw[d]![k]! })),
        })),
        cover: grades.map((grade, k) => {
          const cover = coverDays(
            stock.get(grade) ?? 0,
            draw.map((row) => row[k]!),
          );
          return { grade, cover_days: Number.isFinite(cover) ? cover : null };
        }),
      },
      200,
    );
  });
  app.openapi(routes.plans, (c) =>
    c.json({ plans: listPlans(store).map((plan) => as<z.output<typeof s.PlanSummary>>(plan)) }, 200),
  );
  app.openapi(routes.plan, (c) => {
    const stored = getPlan(store, c.req.valid('param').id);
    return stored ? c.json(planJson(stored), 200) : (problem(c, 'no-such-plan') as never);
  });
  app.openapi(routes.makePlan, async (c) => {
    const { first_day, days, seed, iterations } = c.req.valid('json');
    const { planId } = await planWeek(context, planner, {
      seed,
      iterations: iterations ?? requireWorkshop(store).settings.searchIterations,
      actor: actor(c.var.session.label),
      ...(first_day === undefined ? {} : { firstDay: first_day }),
      ...(days === undefined ? {} : { days }),
    });
    return c.json(planJson(getPlan(store, planId)!), 201);
  });
  app.openapi(routes.publish, (c) => {
    const { id } = c.req.valid('param');
    const published = publishPlan(context, { planId: id, actor: actor(c.var.session.label) });
    if (published.ok) return c.json({ id }, 200);
    const { kind, ...facts } = published.refusal;
    return problem(c, kind, toJson(facts) as ProblemMembers) as never;
  });
  app.openapi(routes.round, (c) => {
    const round = getRound(store, c.req.valid('param').id);
    return round ? c.json(as<z.output<typeof s.Round>>(round), 200) : (problem(c, 'no-such-round') as never);
  });
  app.openapi(routes.bookings, (c) =>
    c.json(
      {
        bookings: listBookingsAhead(store, ['waiting', 'confirmed', 'done', 'cancelled'], now()).map(
          ({ idempotencyKey: _, ...booking }) => as<z.output<typeof s.Booking>>(booking),
        ),
      },
      200,
    ),
  );
  app.openapi(routes.book, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const body = c.req.valid('json');
    const made = requestExtraCollection(
      context,
      bookingOf(body, factId, `coordinator:${actor(c.var.session.label)}`),
    );
    return made.ok ? c.json({ id: made.value.bookingId }, 201) : (refuseFact(c, made.refusal) as never);
  });
  app.openapi(routes.cancel, (c) => {
    const { id } = c.req.valid('param');
    const cancelled = cancelBooking(context, { bookingId: id, actor: actor(c.var.session.label) });
    return cancelled.ok ? c.json({ id }, 200) : (refuseFact(c, cancelled.refusal) as never);
  });
  app.openapi(routes.report, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const { site_id, at, fraction } = c.req.valid('json');
    const reportedBy = `coordinator:${actor(c.var.session.label)}`;
    const told = reportFull(context, { factId, siteId: site_id, at: seconds(at), fraction, reportedBy });
    return told.ok ? c.json({ id: told.value.reportId }, 201) : (refuseFact(c, told.refusal) as never);
  });
  app.openapi(routes.doubts, (c) =>
    c.json(
      {
        doubts: listDoubts(store).map(({ weighInId, siteId, at, kg, lowKg, highKg, weight }) => ({
          weigh_in_id: weighInId,
          site_id: siteId,
          at: isoInstant(at),
          kg,
          low_kg: lowKg,
          high_kg: highKg,
          weight,
        })),
      },
      200,
    ),
  );
  const weigher = (label: string): string => `coordinator:${actor(label)}`;
  app.openapi(routes.confirm, (c) => {
    const request = { weighInId: c.req.valid('param').id, actor: weigher(c.var.session.label) };
    const done = confirmWeighIn(context, request);
    return done.ok ? c.json({ id: done.value.weighInId }, 200) : (refuseFact(c, done.refusal) as never);
  });
  app.openapi(routes.unconfirm, (c) => {
    const request = { weighInId: c.req.valid('param').id, actor: weigher(c.var.session.label) };
    const done = doubtWeighInAgain(context, request);
    return done.ok ? c.json({ id: done.value.weighInId }, 200) : (refuseFact(c, done.refusal) as never);
  });
  app.openapi(routes.correct, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const previous = getWeighIn(store, c.req.valid('param').id);
    if (!previous) return refuseFact(c, { kind: 'weigh-in-not-found' }) as never;
    const recorded = recordWeighIn(context, {
      ...weighInOf(c.req.valid('json')),
      factId,
      replacesId: previous.id,
      siteId: previous.siteId,
      ...(previous.stopId === null ? {} : { stopId: previous.stopId }),
      recordedBy: weigher(c.var.session.label),
    });
    return recorded.ok
      ? c.json({ id: recorded.value.weighInId }, 201)
      : (refuseFact(c, recorded.refusal) as never);
  });
  app.openapi(routes.backtest, async (c) => {
    const state = await scores.read(SCORE_WAIT_MS);
    if (state.kind !== 'ready') {
      c.header('Retry-After', '5');
      const isRunning = state.kind === 'running';
      const detail = isRunning ? 'The history is being scored. Ask again in 5 s.' : state.message;
      return problem(c, 'busy', { detail }) as never;
    }
    const { result, ...rest } = state.scored;
    return c.json(as<z.output<typeof s.Backtest>>({ ...result, ...rest }), 200);
  });
  app.openapi(routes.journal, (c) =>
    c.json(
      {
        entries: readEntriesAfter(store, c.req.valid('query').after).map(({ at, ...entry }) => ({
          ...entry,
          at: isoInstant(at),
        })),
      },
      200,
    ),
  );
}

/** A weigh-in's body as the use case wants it; what it replaces stands in the address or in `replaces_id`. */
export const weighInOf = (body: z.output<typeof s.WeighInBody>) => ({
  at: seconds(body.at),
  ...(body.gross_kg === undefined ? {} : { grossKg: body.gross_kg }),
  ...(body.tare_kg === undefined ? {} : { tareKg: body.tare_kg }),
  ...(body.net_kg === undefined ? {} : { netKg: body.net_kg }),
  ...(body.bags === undefined ? {} : { bags: body.bags }),
  foundFull: body.found_full,
  rejectedKg: body.rejected_kg,
  ...(body.reject_reason === undefined ? {} : { rejectReason: body.reject_reason as RejectReason }),
  grades: body.grades.map(({ grade, kg }) => ({ grade: grade as Grade, kg })),
  note: body.note,
});

/** A request's body as the use case wants it. */
export const bookingOf = (body: z.output<typeof s.BookingBody>, factId: string, requestedBy: string) => ({
  factId,
  siteId: body.site_id,
  eventKind: body.event_kind,
  eventEndsAt: seconds(body.event_ends_at),
  ...(body.expected_bags === undefined ? {} : { expectedBags: body.expected_bags }),
  ...(body.expected_kg === undefined ? {} : { expectedKg: body.expected_kg }),
  fromAt: seconds(body.from_at),
  untilAt: seconds(body.until_at),
  remarks: body.remarks,
  hazards: body.hazards,
  requestedBy,
});

function planJson({ plan, rounds, ...summary }: StoredPlan): z.output<typeof s.Plan> {
  const { leftOut, unkept, stock, money } = plan;
  return toJson({ ...summary, rounds, leftOut, unkept, stock, money }) as z.output<typeof s.Plan>;
}
