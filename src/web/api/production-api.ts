/** Production under a plan: chances of shortage, what is to be bought in, what could be shifted. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { GRADES } from '../../core/vocabulary.ts';
import { getPlan } from '../../store/plans.ts';
import { readProductionOutlook } from '../../usecases/production-outlook.ts';
import { problem } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { toJson } from './json.ts';
import { declare } from './route.ts';
import { Day, Id } from './schemas.ts';

const Grade = z.enum(GRADES as [string, ...string[]]);
const Outlook = z
  .looseObject({
    days: z.array(Day),
    buy_kg: z.number().openapi({ description: 'Expected to be bought in over these days, kg' }),
    buy_low_kg: z.number().openapi({ description: '10 % quantile, kg' }),
    buy_high_kg: z.number().openapi({ description: '90 % quantile, kg' }),
    buy_micros: z.int().openapi({ description: 'What that costs, whole millionths of the currency' }),
    most_film_kg: z
      .number()
      .openapi({ description: 'Most film that advice asks of one day of the press, kg' }),
    grades: z.array(
      z.looseObject({
        grade: Grade,
        safe_days: z.int().openapi({ description: 'Days with at most a 5 % chance of running short' }),
        buy_kg: z.number(),
        buy_micros: z.int(),
        days: z.array(
          z.looseObject({
            day: Day,
            draw_kg: z.number(),
            arriving_kg: z.number(),
            stock_kg: z.number(),
            low_kg: z.number(),
            high_kg: z.number(),
            shortage_risk: z.number(),
            short_kg: z.number(),
          }),
        ),
      }),
    ),
    advice: z.array(
      z.looseObject({
        moves: z.array(
          z.object({
            product: z.string(),
            units: z.int(),
            is_whole: z.boolean(),
            from_day: Day,
            to_day: Day,
          }),
        ),
        saves_micros: z.int(),
        avoids_kg: z.number(),
        low_kg: z.number(),
        high_kg: z.number(),
        grade: Grade.optional(),
      }),
    ),
  })
  .openapi('ProductionOutlook');

const outlook = declare({
  method: 'get',
  path: '/api/production/outlook',
  operationId: 'readProductionOutlook',
  summary: 'Chance of shortage by day and grade, film to be bought in, and what production could shift',
  tag: 'production',
  status: 200,
  answer: Outlook,
  query: z.object({
    plan: Id.optional().openapi({ description: 'Absent: the newest draft or else the published plan' }),
  }),
});

export function productionApi(app: OpenAPIHono<SessionEnv>, { context }: ApiDeps): void {
  const { store, now } = context;
  app.openapi(outlook, (c) => {
    const { plan } = c.req.valid('query');
    const stored = plan === undefined ? undefined : getPlan(store, plan);
    if (plan !== undefined && !stored) return problem(c, 'no-such-plan') as never;
    const found = readProductionOutlook(store, now(), stored);
    if (!found)
      return problem(c, 'no-such-plan', {
        detail: 'There is no plan yet. Make one: POST /api/plans.',
      }) as never;
    return c.json(toJson(found) as z.output<typeof Outlook>, 200);
  });
}
