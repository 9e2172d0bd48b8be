/**
 * Keeps what was changed by hand as a new draft; the plan before it stays as it was. Only the plan on show is changed:
 * whoever changed another one meanwhile is told what is different, and loses nothing.
 */
import type { Change, Obstacle } from '../core/planning/changes.ts';
import { checkPlan } from '../core/planning/check.ts';
import { comparePlans, type Difference } from '../core/planning/compare-plans.ts';
import type { UnkeptPromise } from '../core/planning/plan.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { type Db, inTransaction } from '../store/db.ts';
import { appendEntry, readEntriesAbout } from '../store/journal.ts';
import { deleteDraft, getPlan, type StoredPlan, savePlan } from '../store/plans.ts';
import type { Context } from './context.ts';
import { planToShow } from './plan-to-show.ts';
import { hashOfInput } from './plan-week.ts';
import { layOutPlan, type WhatIfRefusal } from './what-if.ts';

export type ChangedMeanwhile = {
  readonly kind: 'changed-meanwhile';
  readonly planId: string;
  /** The plan on show now; who made it, and what is different in it. */
  readonly newestId: string | null;
  readonly by: string;
  readonly at: Instant | null;
  readonly differences: readonly Difference[];
};

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
  { store, now, newId }: Context,
  { factId, planId, changes, breaksPromises, actor }: KeepRequest,
): Result<{ readonly planId: string }, KeepRefusal> {
  const made = getPlan(store, factId);
  if (made)
    return isMadeBy(made, planId, changes) ? ok({ planId: factId }) : refuse({ kind: 'fact-differs' });
  const at = now();
  const laid = layOutPlan(store, at, planId);
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
  const plan = asked.value.plan();
  const faults = checkPlan(problem, plan);
  if (faults.length > 0)
    throw new Error(`The changed plan does not hold and was not kept: ${JSON.stringify(faults.slice(0, 5))}`);

  return inTransaction(store, (tx): Result<{ readonly planId: string }, KeepRefusal> => {
    const newestNow = planToShow(tx);
    if (newestNow?.id !== planId) return refuse(changedMeanwhile(tx, base, newestNow));
    // Clocks step back; a plan is never older than the one it was made from.
    const createdAt = Math.max(at, base.createdAt, base.publishedAt ?? 0);
    const kept = { id: factId, plan, inputHash: hashOfInput(problem), createdAt, wishes };
    savePlan(tx, { ...kept, changed: { baseId: planId, changes } }, newId);
    appendEntry(tx, {
      at,
      kind: 'plan-changed',
      subject: `plan:${factId}`,
      actor,
      facts: {
        baseId: planId,
        changes: [...changes],
        costMicros: plan.costMicros,
        costBeforeMicros: before.costMicros,
      },
    });
    return ok({ planId: factId });
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

const isMadeBy = ({ baseId, changes }: StoredPlan, planId: string, asked: readonly Change[]): boolean =>
  (baseId === null || baseId === planId) && JSON.stringify(changes) === JSON.stringify(asked);

function changedMeanwhile(db: Db, base: StoredPlan, newest: StoredPlan | undefined): ChangedMeanwhile {
  const [entry] = newest ? readEntriesAbout(db, `plan:${newest.id}`, undefined, 1) : [];
  return {
    kind: 'changed-meanwhile',
    planId: base.id,
    newestId: newest?.id ?? null,
    by: entry?.actor ?? '',
    at: entry?.at ?? null,
    differences: newest ? comparePlans(base.plan, newest.plan).differences : [],
  };
}
