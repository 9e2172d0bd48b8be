/** The prices and weights that plans are made with: read, and change. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { requireWorkshop } from '../../store/workshop.ts';
import {
  changeObjective,
  type Objective,
  readObjective,
  SETTING_KEYS,
} from '../../usecases/change-objective.ts';
import { measureOf, objectiveFault, unitOf } from '../shared/objective-amounts.ts';
import { REGISTER_WORDS, SETTING_WORDS } from '../shared/objective-words.ts';
import { pointerOf, problem } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { declare } from './route.ts';

const Value = z
  .object({
    key: z.string(),
    name: z.string(),
    value: z.number().openapi({
      description: 'In the unit of the key’s name: whole millionths of the currency, seconds, a share, days',
    }),
    default_value: z.number().optional(),
    shown_in: z.string().openapi({ description: 'How people read it', example: 'EUR per hour' }),
    explains: z.string(),
    source: z.string().optional(),
  })
  .openapi('ObjectiveValue');

const ObjectiveAnswer = z
  .object({
    version: z.string().openapi({ description: 'Send it back with a change: then nobody’s is written over' }),
    values: z.array(Value),
  })
  .openapi('Objective');

const Change = z
  .strictObject({
    values: z
      .record(z.string(), z.number())
      .openapi({ example: { 'prices.unloadS': 900, loadQuantile: 0.8 } }),
    version: z.string().optional(),
  })
  .openapi('ObjectiveChange');

const Changed = z
  .object({
    changed: z.array(z.object({ key: z.string(), from: z.number(), to: z.number() })),
    version: z.string(),
  })
  .openapi('ObjectiveChanged');

const routes = {
  read: declare({
    method: 'get',
    path: '/api/objective',
    operationId: 'readObjective',
    summary: 'Every price and weight of the objective, its default and where that comes from',
    tag: 'workshop',
    status: 200,
    answer: ObjectiveAnswer,
  }),
  change: declare({
    method: 'post',
    path: '/api/objective/changes',
    operationId: 'changeObjective',
    summary: 'Changes prices and weights; the next plan counts with them',
    tag: 'workshop',
    status: 200,
    answer: Changed,
    body: Change,
  }),
};

export function objectiveApi(app: OpenAPIHono<SessionEnv>, { context }: ApiDeps): void {
  const { store } = context;
  const currencyOf = (): string => requireWorkshop(store).currency;
  app.openapi(routes.read, (c) => c.json(objectiveJson(readObjective(store), currencyOf()), 200));
  app.openapi(routes.change, (c) => {
    const { values, version } = c.req.valid('json');
    const actor = `coordinator:${c.var.session.label || 'coordinator'}`;
    const done = changeObjective(context, { values, actor, ...(version === undefined ? {} : { version }) });
    if (done.ok)
      return c.json({ changed: [...done.value.changed], version: readObjective(store).version }, 200);
    if (done.refusal.kind === 'changed-meanwhile')
      return problem(c, 'out-of-date', {
        detail: 'Somebody changed the objective in the meantime. Read it again.',
      }) as never;
    const errors = done.refusal.faults.map((fault) => ({
      detail: objectiveFault(fault, currencyOf()),
      pointer: pointerOf(['values', fault.key]),
    }));
    return problem(c, 'invalid-body', { detail: 'Nothing was changed; see errors', errors }) as never;
  });
}

const objectiveJson = (
  { settings, defaults, register, version }: Objective,
  currency: string,
): z.output<typeof ObjectiveAnswer> => ({
  version,
  values: [
    ...SETTING_KEYS.map((key) => ({
      key,
      name: SETTING_WORDS[key].name,
      value: settings[key],
      default_value: defaults[key],
      shown_in: unitOf(measureOf(key), currency),
      explains: SETTING_WORDS[key].explains,
      source: SETTING_WORDS[key].source,
    })),
    ...register.map(({ key, kind, name, micros }) => ({
      key,
      name,
      value: micros,
      shown_in: unitOf(measureOf(key), currency),
      explains: REGISTER_WORDS[kind].explains,
    })),
  ],
});
