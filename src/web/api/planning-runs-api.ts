/** Planning in the background: start, look, end with the best so far or drop. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { MONEY_PARTS } from '../../core/planning/plan.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { type PlanningRun, RUN_STATES } from '../../usecases/planning-run.ts';
import { problem } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { isoInstant, toJson } from './json.ts';
import { declare } from './route.ts';
import { Id, Instant, PlanRequest } from './schemas.ts';

/** Where a clock ends the search, the tries must not end it first. */
const MOST_ITERATIONS = 10_000_000;

const micros = (description: string) => z.int().openapi({ description });
const Run = z
  .object({
    id: Id,
    state: z.enum(RUN_STATES).openapi({
      description: '`stopping`: asked to end with its best; `dropped` and `failed`: nothing was kept',
    }),
    started_at: Instant,
    started_by: z.string(),
    for_s: z.number().openapi({ description: 'Since it began, or all it took' }),
    iterations: z.int().openapi({ description: 'Tries at most' }),
    seconds: z.int().optional(),
    progress: z
      .object({
        iteration: z.int(),
        share: z.number().openapi({ description: 'Of tries or time, 0 to 1, whichever is further on' }),
        cost_micros: micros('The best week so far, millionths of the currency'),
        money: z.record(z.enum(MONEY_PARTS), z.int()).openapi({ description: 'By part; sums to the cost' }),
        distance_m: z.number(),
      })
      .optional()
      .openapi({ description: 'Absent in the first moments' }),
    better: z
      .array(z.object({ for_s: z.number(), cost_micros: z.int(), distance_m: z.number() }))
      .openapi({ description: 'Weeks that were better than the one before, in order' }),
    plan_id: Id.optional().openapi({ description: 'The draft, once it is kept' }),
    was_stopped: z
      .literal(true)
      .optional()
      .openapi({ description: 'The draft is the best that was found until somebody ended the search' }),
  })
  .openapi('PlanningRun');
const Request = PlanRequest.extend({
  iterations: z.int().min(0).max(MOST_ITERATIONS).optional().openapi({
    description:
      'Tries of the search. Absent: the workshop’s own setting, or as many as the seconds allow if they are given',
  }),
  seconds: z
    .int()
    .min(1)
    .max(3600)
    .optional()
    .openapi({ description: 'Ends the search by the clock; the plan then depends on the machine' }),
}).openapi('PlanningRunRequest');
const How = z
  .strictObject({
    keep: z
      .boolean()
      .openapi({ description: 'true: the best so far becomes a draft; false: nothing is kept' }),
  })
  .openapi('PlanningRunEnd');

const ById = z.object({ id: Id });
const routes = {
  list: declare({
    method: 'get',
    path: '/api/planning-runs',
    operationId: 'listPlanningRuns',
    summary: 'What is being planned now, and the last runs since the server started; newest first',
    tag: 'plans',
    status: 200,
    answer: z.object({ runs: z.array(Run) }),
  }),
  start: declare({
    method: 'post',
    path: '/api/planning-runs',
    operationId: 'startPlanningRun',
    summary: 'Plans the days ahead in the background',
    located: true,
    tag: 'plans',
    status: 202,
    answer: Run,
    body: Request,
  }),
  read: declare({
    method: 'get',
    path: '/api/planning-runs/{id}',
    operationId: 'readPlanningRun',
    summary: 'How far a planning run is, and the best week so far',
    tag: 'plans',
    status: 200,
    answer: Run,
    params: ById,
  }),
  stop: declare({
    method: 'post',
    path: '/api/planning-runs/{id}/stop',
    operationId: 'stopPlanningRun',
    summary: 'Ends a planning run: keeps its best so far, or drops it',
    tag: 'plans',
    status: 202,
    answer: Run,
    params: ById,
    body: How,
  }),
};

const ENDED = {
  'no-such-planning-run': 'Runs are forgotten when the server starts anew; the drafts they kept are not.',
  'planning-run-over': 'It is over. If it kept a draft, `plan_id` of the run names it.',
} as const;

export function planningRunsApi(app: OpenAPIHono<SessionEnv>, { context, planning }: ApiDeps): void {
  app.openapi(routes.list, (c) => c.json({ runs: planning.list().map(runJson) }, 200));
  app.openapi(routes.start, (c) => {
    const { first_day, iterations, seconds, ...given } = c.req.valid('json');
    const own = requireWorkshop(context.store).settings.searchIterations;
    const started = planning.start({
      seed: given.seed,
      iterations: iterations ?? (seconds === undefined ? own : MOST_ITERATIONS),
      actor: c.var.session.label || 'coordinator',
      ...(given.days === undefined ? {} : { days: given.days }),
      ...(first_day === undefined ? {} : { firstDay: first_day }),
      ...(seconds === undefined ? {} : { seconds }),
    });
    if (!started.ok) {
      const { run } = started.refusal;
      return problem(c, 'already-planning', {
        detail: `${run.startedBy} started it at ${isoInstant(run.startedAt)}. Watch that one, or end it first.`,
        run: `/api/planning-runs/${run.id}`,
        started_by: run.startedBy,
        started_at: isoInstant(run.startedAt),
      }) as never;
    }
    c.header('Location', `/api/planning-runs/${started.value.id}`);
    return c.json(runJson(started.value), 202);
  });
  app.openapi(routes.read, (c) => {
    const run = planning.get(c.req.valid('param').id);
    if (run) return c.json(runJson(run), 200);
    return problem(c, 'no-such-planning-run', { detail: ENDED['no-such-planning-run'] }) as never;
  });
  app.openapi(routes.stop, (c) => {
    const ended = planning.end(c.req.valid('param').id, c.req.valid('json'));
    if (ended.ok) return c.json(runJson(ended.value), 202);
    const { kind } = ended.refusal;
    return problem(c, kind, { detail: ENDED[kind] }) as never;
  });
}

/** The server's own clock says how long: the thread's seconds are left out. */
function runJson({ progress, startedAt, ...run }: PlanningRun): z.output<typeof Run> {
  const { forS: _, ...figures } = progress ?? { forS: 0 };
  return toJson({
    ...run,
    startedAt: isoInstant(startedAt),
    ...(progress ? { progress: figures } : {}),
  }) as z.output<typeof Run>;
}
