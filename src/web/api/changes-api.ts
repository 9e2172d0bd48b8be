/** A plan changed by hand: what would follow, keeping it as a new draft, and taking the last change back. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { keepChanges, takeBackChange } from '../../usecases/change-plan.ts';
import { askWhatIf } from '../../usecases/what-if.ts';
import { readNames } from '../shared/names.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { answerJson, changeOf } from './change-json.ts';
import * as s from './change-schemas.ts';
import { idempotencyKey } from './idempotency.ts';
import { refuseFact } from './refuse-fact.ts';
import { declare } from './route.ts';
import { Id, Made } from './schemas.ts';

const ById = z.object({ id: Id });

const routes = {
  whatIf: declare({
    method: 'post',
    path: '/api/plans/{id}/what-if',
    operationId: 'askWhatIf',
    summary: 'What would follow if a plan were changed by hand; nothing is kept',
    tag: 'plans',
    status: 200,
    answer: s.WhatIfAnswer,
    params: ById,
    body: s.WhatIfBody,
  }),
  keep: declare({
    method: 'post',
    path: '/api/plans/{id}/changes',
    operationId: 'changePlan',
    summary:
      'Keeps changes as a new draft and answers its id; refused where this plan is not on show any more',
    keyed: true,
    tag: 'plans',
    status: 201,
    answer: Made,
    params: ById,
    body: s.ChangesBody,
  }),
  takeBack: declare({
    method: 'delete',
    path: '/api/plans/{id}/changes',
    operationId: 'takeChangeBack',
    summary: 'Takes back the change that made this draft; answers the id of the plan before it',
    tag: 'plans',
    status: 200,
    answer: Made,
    params: ById,
  }),
};

export function changesApi(app: OpenAPIHono<SessionEnv>, { context }: ApiDeps): void {
  const actorOf = (label: string): string => label || 'coordinator';
  app.openapi(routes.whatIf, (c) => {
    const { changes } = c.req.valid('json');
    const asked = { planId: c.req.valid('param').id, changes: changes.map(changeOf) };
    const answer = askWhatIf(context, asked);
    if (!answer.ok) return refuseFact(c, answer.refusal) as never;
    return c.json(answerJson(answer.value, asked.changes, readNames(context.store)), 200);
  });
  app.openapi(routes.keep, (c) => {
    const factId = idempotencyKey(c);
    if (typeof factId !== 'string') return factId as never;
    const { changes, break_promises } = c.req.valid('json');
    const kept = keepChanges(context, {
      factId,
      planId: c.req.valid('param').id,
      changes: changes.map(changeOf),
      breaksPromises: break_promises,
      actor: actorOf(c.var.session.label),
    });
    return kept.ok ? c.json({ id: kept.value.planId }, 201) : (refuseFact(c, kept.refusal) as never);
  });
  app.openapi(routes.takeBack, (c) => {
    const request = { planId: c.req.valid('param').id, actor: actorOf(c.var.session.label) };
    const taken = takeBackChange(context, request);
    return taken.ok ? c.json({ id: taken.value.planId }, 200) : (refuseFact(c, taken.refusal) as never);
  });
}
