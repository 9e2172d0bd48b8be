/** The coordinator does not want a draft: it goes, what was told stays. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { deleteDraft, getPlanSummary, type PublishRefusal } from '../store/plans.ts';
import type { Context } from './context.ts';

export function dropDraft(
  { store, now }: Context,
  { planId, actor }: { readonly planId: string; readonly actor: string },
): Result<{ readonly planId: string }, PublishRefusal> {
  return inTransaction(store, (tx) => {
    const draft = getPlanSummary(tx, planId);
    if (!draft) return refuse({ kind: 'no-such-plan', planId });
    if (draft.state !== 'draft') return refuse({ kind: 'plan-not-a-draft', planId, state: draft.state });
    deleteDraft(tx, planId);
    appendEntry(tx, { at: now(), kind: 'plan-dropped', subject: `plan:${planId}`, actor, facts: {} });
    return ok({ planId });
  });
}
