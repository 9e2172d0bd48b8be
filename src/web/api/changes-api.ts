/** A plan changed by hand: what would follow, keeping it as a new draft, and taking the last change back. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import type { Change } from '../../core/planning/changes.ts';
import { keepChanges, takeBackChange } from '../../usecases/change-plan.ts';
import { askWhatIf, type WhatIfAnswer } from '../../usecases/what-if.ts';
import { brokenPromiseWords, changeWords, consequenceWords, obstacleWords } from '../shared/change-words.ts';
import { type Names, readNames } from '../shared/names.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import * as s from './change-schemas.ts';
import { idempotencyKey } from './idempotency.ts';
import { toJson } from './json.ts';
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

function changeOf(change: s.ChangeJson): Change {
  if (change.kind === 'swap-drivers')
    return { kind: change.kind, shiftId: change.shift_id, withShiftId: change.with_shift_id };
  const { site_id: siteId, day } = change;
  if (change.kind !== 'add' && change.kind !== 'move') return { kind: change.kind, siteId, day };
  const { shift_id, position } = change;
  const where = {
    ...(shift_id === undefined ? {} : { shiftId: shift_id }),
    ...(position === undefined ? {} : { position }),
  };
  if (change.kind === 'add') return { kind: 'add', siteId, day, ...where };
  const { to_day } = change;
  return { kind: 'move', siteId, day, ...(to_day === undefined ? {} : { toDay: to_day }), ...where };
}

function answerJson(
  { planId, newestId, lost, consequences }: WhatIfAnswer,
  changes: readonly Change[],
  names: Names,
): z.output<typeof s.WhatIfAnswer> {
  const { obstacles, brokenPromises, before, after, difference, sites } = consequences;
  return toJson({
    planId,
    newestPlanId: newestId,
    isFeasible: obstacles.length === 0,
    obstacles: obstacles.map((one) => ({ ...one, says: obstacleWords(one, names) })),
    brokenPromises: brokenPromises.map((one) => ({ ...one, says: brokenPromiseWords(one, names) })),
    does: changes.map((change) => changeWords(change, names)),
    says: consequenceWords(consequences, names),
    before,
    after: after ?? null,
    difference: difference ?? null,
    sites: sites.map((site) => ({ before: site.before, after: site.after ?? null })),
    lost,
  }) as z.output<typeof s.WhatIfAnswer>;
}
