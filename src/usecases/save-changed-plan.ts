/** Keeps a plan that was made from the one on show, if that is still the one on show; says what changed meanwhile if not. */
import type { Change, Wishes } from '../core/planning/changes.ts';
import { checkPlan } from '../core/planning/check.ts';
import { comparePlans, type Difference } from '../core/planning/compare-plans.ts';
import type { Plan } from '../core/planning/plan.ts';
import type { PlanningProblem } from '../core/planning/problem.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, Micros } from '../core/quantity/units.ts';
import { type Db, inTransaction } from '../store/db.ts';
import { appendEntry, readEntriesAbout } from '../store/journal.ts';
import { type StoredPlan, savePlan } from '../store/plans.ts';
import type { Context } from './context.ts';
import { planToShow } from './plan-to-show.ts';
import { hashOfInput } from './plan-week.ts';

export type ChangedMeanwhile = {
  readonly kind: 'changed-meanwhile';
  readonly planId: string;
  /** The plan on show now; who made it, and what is different in it. */
  readonly newestId: string | null;
  readonly by: string;
  readonly at: Instant | null;
  readonly differences: readonly Difference[];
};

type ChangedPlan = {
  /** The new plan's id. */
  readonly factId: string;
  readonly base: StoredPlan;
  readonly changes: readonly Change[];
  readonly plan: Plan;
  readonly problem: PlanningProblem;
  readonly wishes: Wishes;
  /** What the base costs on the facts of now. */
  readonly costBeforeMicros: Micros;
  readonly actor: string;
};

/** @throws Error when the checker finds a fault: such a plan is never kept. */
export function saveChangedPlan(
  { store, now, newId }: Context,
  { factId, base, changes, plan, problem, wishes, costBeforeMicros, actor }: ChangedPlan,
): Result<{ readonly planId: string }, ChangedMeanwhile> {
  const faults = checkPlan(problem, plan);
  if (faults.length > 0)
    throw new Error(`The changed plan does not hold and was not kept: ${JSON.stringify(faults.slice(0, 5))}`);
  return inTransaction(store, (tx): Result<{ readonly planId: string }, ChangedMeanwhile> => {
    const newest = planToShow(tx);
    if (newest?.id !== base.id) return refuse(changedMeanwhile(tx, base, newest));
    const at = now();
    // Clocks step back; a plan is never older than the one it was made from.
    const createdAt = Math.max(at, base.createdAt, base.publishedAt ?? 0);
    const kept = { id: factId, plan, inputHash: hashOfInput(problem), createdAt, wishes };
    savePlan(tx, { ...kept, changed: { baseId: base.id, changes } }, newId);
    appendEntry(tx, {
      at,
      kind: 'plan-changed',
      subject: `plan:${factId}`,
      actor,
      facts: { baseId: base.id, changes: [...changes], costMicros: plan.costMicros, costBeforeMicros },
    });
    return ok({ planId: factId });
  });
}

/** Whether this plan is what came of the same request before. */
export const isMadeBy = (
  { baseId, changes }: StoredPlan,
  planId: string,
  asked: readonly Change[],
): boolean => (baseId === null || baseId === planId) && JSON.stringify(changes) === JSON.stringify(asked);

export function changedMeanwhile(db: Db, base: StoredPlan, newest: StoredPlan | undefined): ChangedMeanwhile {
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
