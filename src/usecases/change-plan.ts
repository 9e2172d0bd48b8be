/**
 * Keeps what was changed by hand as a new draft; the plan before it stays as it was. Only the plan on show is changed:
 * whoever changed another one meanwhile is told what is different, and loses nothing.
 */
import type { Change, Obstacle } from '../core/planning/changes.ts';
import type { UnkeptPromise } from '../core/planning/plan.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { deleteDraft, getPlan } from '../store/plans.ts';
import type { Context } from './context.ts';
import { planToShow } from './plan-to-show.ts';
import { type ChangedMeanwhile, changedMeanwhile, isMadeBy, saveChangedPlan } from './save-changed-plan.ts';
import { layOutPlan, type WhatIfRefusal } from './what-if.ts';

export type KeepRefusal =
  | WhatIfRefusal
  | ChangedMeanwhile
  | { readonly kind: 'not-feasible'; readonly obstacles: readonly Obstacle[] }
  /** It can be done with leave: `breaksPromises`. */
  | { readonly kind: 'breaks-promises'; readonly brokenPromises: readonly UnkeptPromise[] }
  | { readonly kind: 'fact-differs' };

export type KeepRequest = {
  /** The new plan's id: the same request twice makes one draft. */
  readonly factId: string;
  readonly planId: string;
  readonly changes: readonly Change[];
  /** A person has seen which promises it breaks. */
  readonly breaksPromises: boolean;
  readonly actor: string;
};

/** @throws Error when the checker finds a fault: such a plan is never kept. */
export function keepChanges(
  context: Context,
  { factId, planId, changes, breaksPromises, actor }: KeepRequest,
): Result<{ readonly planId: string }, KeepRefusal> {
  const { store, now } = context;
  const made = getPlan(store, factId);
  if (made)
    return isMadeBy(made, planId, changes) ? ok({ planId: factId }) : refuse({ kind: 'fact-differs' });
  const laid = layOutPlan(store, now(), planId);
  if (!laid.ok) return laid;
  const { base, newest, week } = laid.value;
  if (newest?.id !== planId) return refuse(changedMeanwhile(store, base, newest));
  const asked = week.ask(changes);
  if (!asked.ok) return asked;
  const { consequences, problem, wishes } = asked.value;
  const { obstacles, brokenPromises, before } = consequences;
  if (obstacles.length > 0) return refuse({ kind: 'not-feasible', obstacles });
  if (brokenPromises.length > 0 && !breaksPromises)
    return refuse({ kind: 'breaks-promises', brokenPromises });
  return saveChangedPlan(context, {
    ...{ factId, base, changes, problem, wishes, actor },
    plan: asked.value.plan(),
    costBeforeMicros: before.costMicros,
  });
}

export type TakeBackRefusal =
  | { readonly kind: 'no-such-plan'; readonly planId: string }
  /** It was published, or no hand changed it, or the plan before it is gone. */
  | { readonly kind: 'nothing-to-take-back'; readonly planId: string }
  | ChangedMeanwhile;

/** The last change goes; the plan that it was made from is on show again. */
export function takeBackChange(
  { store, now }: Pick<Context, 'store' | 'now'>,
  { planId, actor }: { readonly planId: string; readonly actor: string },
): Result<{ readonly planId: string }, TakeBackRefusal> {
  return inTransaction(store, (tx): Result<{ readonly planId: string }, TakeBackRefusal> => {
    const draft = getPlan(tx, planId);
    if (!draft) return refuse({ kind: 'no-such-plan', planId });
    const { baseId } = draft;
    if (draft.state !== 'draft' || baseId === null) return refuse({ kind: 'nothing-to-take-back', planId });
    const newest = planToShow(tx);
    if (newest?.id !== planId) return refuse(changedMeanwhile(tx, draft, newest));
    deleteDraft(tx, planId);
    appendEntry(tx, {
      at: now(),
      kind: 'plan-change-taken-back',
      subject: `plan:${planId}`,
      actor,
      facts: { baseId },
    });
    return ok({ planId: baseId });
  });
}
