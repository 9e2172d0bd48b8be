/** Makes a draft the plan that donors are told and drivers follow. */
import type { Result } from '../core/quantity/result.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { type PublishRefusal, publishPlan as publish } from '../store/plans.ts';
import type { Context } from './context.ts';

export function publishPlan(
  { store, now }: Context,
  request: { readonly planId: string; readonly actor: string },
): Result<{ readonly planId: string }, PublishRefusal> {
  return inTransaction(store, (tx) => {
    const at = now();
    const published = publish(tx, request.planId, at);
    if (!published.ok) return published;
    appendEntry(tx, {
      at,
      kind: 'plan-published',
      subject: `plan:${request.planId}`,
      actor: request.actor,
      facts: { supersededId: published.value.supersededId },
    });
    return { ok: true, value: { planId: request.planId } };
  });
}
