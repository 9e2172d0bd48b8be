/** Simulated years of a workshop of this size: read, start, stop. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { POLICY_NAMES } from '../../core/simulation/policies.ts';
import { YEAR_PARTS } from '../../core/simulation/year-result.ts';
import { WORTH_OUTCOMES } from '../../core/vocabulary.ts';
import { getWorthRun, listWorthRuns, type WorthRun } from '../../store/worth-runs.ts';
import { compareWorth, WORTH_FIGURES } from '../../usecases/compare-worth.ts';
import { worldsOf } from '../../usecases/keep-worth-run.ts';
import { problem } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { isoInstant, snake, toJson } from './json.ts';
import { declare } from './route.ts';
import { Id, Instant, Made } from './schemas.ts';

const Estimate = z.object({
  mean: z.number(),
  low: z.number().optional().openapi({ description: '95 % interval of the mean; absent for a single world' }),
  high: z.number().optional(),
});
const perFigure = <T extends z.ZodType>(of: T) =>
  z.object(Object.fromEntries(WORTH_FIGURES.map((figure) => [snake(figure), of])));
const Policy = z.enum(POLICY_NAMES);

const Summary = {
  id: Id,
  started_at: Instant,
  started_by: z.string(),
  outcome: z
    .enum(WORTH_OUTCOMES)
    .nullable()
    .openapi({ description: 'null: it runs, or the server was ended in the middle' }),
  worlds: z.int().openapi({ description: 'Worlds that are whole' }),
  weeks: z.int(),
  took_s: z.int(),
};
const Run = z
  .looseObject({
    ...Summary,
    policies: z.array(
      z.object({
        policy: Policy,
        figures: perFigure(Estimate),
        money: z
          .record(z.enum(YEAR_PARTS), z.number())
          .openapi({ description: 'A year, by part, millionths of the currency' }),
      }),
    ),
    rules: z.array(
      z.object({
        rule: Policy,
        difference: perFigure(Estimate.extend({ standing: z.enum(['less', 'more', 'open']) })).openapi({
          description: 'The rule’s figure less the planner’s; `less`: the planner surely needs less',
        }),
      }),
    ),
  })
  .openapi('WorthRun');
const Runs = z
  .object({
    running: z
      .object({ id: Id, share: z.number().openapi({ description: 'Done, 0 to 1' }), for_s: z.int() })
      .optional(),
    runs: z.array(z.object(Summary)),
  })
  .openapi('WorthRuns');
const Request = z
  .strictObject({
    worlds: z.int().min(1).max(50).default(3),
    weeks: z.int().min(16).max(104).default(52),
  })
  .openapi('WorthRequest');

const ById = z.object({ id: Id });
const routes = {
  list: declare({
    method: 'get',
    path: '/api/worth-runs',
    operationId: 'listWorthRuns',
    summary: 'Simulated years that were kept, newest first, and what runs now',
    tag: 'worth',
    status: 200,
    answer: Runs,
  }),
  read: declare({
    method: 'get',
    path: '/api/worth-runs/{id}',
    operationId: 'readWorthRun',
    summary: 'One run: every policy, and the planner against each rule of thumb',
    tag: 'worth',
    status: 200,
    answer: Run,
    params: ById,
  }),
  start: declare({
    method: 'post',
    path: '/api/worth-runs',
    operationId: 'startWorthRun',
    summary: 'Simulates years of a workshop of this size; takes minutes',
    tag: 'worth',
    status: 201,
    answer: Made,
    body: Request,
  }),
  stop: declare({
    method: 'post',
    path: '/api/worth-runs/stop',
    operationId: 'stopWorthRun',
    summary: 'Ends what runs; worlds that are whole are kept',
    tag: 'worth',
    status: 200,
    answer: z.object({ was_running: z.boolean() }),
  }),
};

const MISSING = {
  'no-sites': 'At least three sites must be in the register first.',
  'no-shifts': 'No shift stands within four weeks from today. Import shifts first.',
} as const;

export function worthApi(app: OpenAPIHono<SessionEnv>, { context, worth }: ApiDeps): void {
  const { store } = context;
  app.openapi(routes.list, (c) => {
    const running = worth.running();
    return c.json(
      {
        ...(running
          ? { running: { id: running.run.id, share: running.progress?.share ?? 0, for_s: running.forS } }
          : {}),
        runs: listWorthRuns(store, 100).map(summary),
      },
      200,
    );
  });
  app.openapi(routes.read, (c) => {
    const run = getWorthRun(store, c.req.valid('param').id);
    if (!run)
      return problem(c, 'not-found', {
        detail: 'There is no such run, or no world of it is whole yet.',
      }) as never;
    const { policies, rules } = compareWorth(run);
    return c.json(
      { ...summary(run), ...(toJson({ policies, rules }) as object) } as z.output<typeof Run>,
      200,
    );
  });
  app.openapi(routes.start, (c) => {
    const actor = `coordinator:${c.var.session.label || 'coordinator'}`;
    const started = worth.start({ ...c.req.valid('json'), actor });
    if (started.ok) return c.json({ id: started.value.runId }, 201);
    const { kind } = started.refusal;
    if (kind === 'already-running')
      return problem(c, 'busy', {
        detail: 'Years are being simulated already. Wait, or stop them.',
      }) as never;
    return problem(c, 'cannot-be-done', { detail: MISSING[kind] }) as never;
  });
  app.openapi(routes.stop, (c) => c.json({ was_running: worth.stopRun() }, 200));
}

const summary = (run: WorthRun) => ({
  id: run.id,
  started_at: isoInstant(run.startedAt),
  started_by: run.startedBy,
  outcome: run.outcome,
  worlds: worldsOf(run),
  weeks: run.wanted.world.weeks,
  took_s: run.tookS,
});
