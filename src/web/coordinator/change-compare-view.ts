/** Two plans beside each other: whose day is another, and each reckoned on the facts of now; read from the store. */
import { comparePlans, type Difference } from '../../core/planning/compare-plans.ts';
import type { WeekFigures } from '../../core/planning/week-figures.ts';
import { ok, type Result, refuse } from '../../core/quantity/result.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { PlanState } from '../../core/vocabulary.ts';
import type { Db } from '../../store/db.ts';
import { getPlan, listPlans, type PlanSummary, type StoredPlan } from '../../store/plans.ts';
import { layOutPlan } from '../../usecases/what-if.ts';
import { type Names, readNames } from '../shared/names.ts';

export type ComparedPlan = {
  readonly planId: string;
  readonly state: PlanState;
  readonly createdAt: Instant;
  /** On the facts of now; absent where it is over or was replaced. */
  readonly figures?: WeekFigures;
};

export type CompareView = {
  readonly names: Names;
  readonly nowAt: Instant;
  readonly one: ComparedPlan;
  readonly other: ComparedPlan;
  /** From the one to the other. */
  readonly differences: readonly Difference[];
  readonly changedDays: number;
  /** Others that could be looked at: drafts, newest first, and what is published. */
  readonly plans: readonly PlanSummary[];
};

const MOST_OFFERED = 12;

export function readComparison(
  db: Db,
  nowAt: Instant,
  planId: string,
  otherId: string,
): Result<CompareView, { readonly kind: 'no-such-plan'; readonly planId: string }> {
  const one = getPlan(db, planId);
  const other = getPlan(db, otherId);
  if (!one || !other) return refuse({ kind: 'no-such-plan', planId: one ? otherId : planId });
  const { differences, changedDaySiteIds } = comparePlans(one.plan, other.plan);
  return ok({
    names: readNames(db),
    nowAt,
    one: compared(db, nowAt, one),
    other: compared(db, nowAt, other),
    differences,
    changedDays: changedDaySiteIds.length,
    plans: [...listPlans(db, 'published'), ...listPlans(db, 'draft', MOST_OFFERED)],
  });
}

function compared(db: Db, at: Instant, { id, state, createdAt }: StoredPlan): ComparedPlan {
  const laid = layOutPlan(db, at, id);
  return { planId: id, state, createdAt, ...(laid.ok ? { figures: laid.value.week.before } : {}) };
}
