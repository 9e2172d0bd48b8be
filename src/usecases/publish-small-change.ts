/**
 * A small change that is safe publishes itself, where the workshop allows it: one stop more or less, all others on the
 * day they were told, and a plan that the checker accepts. Anything else waits for the coordinator.
 */
import { wishesWithin } from '../core/planning/changes.ts';
import { checkPlan } from '../core/planning/check.ts';
import { comparePlans } from '../core/planning/compare-plans.ts';
import { planOfRounds, type Rounds } from '../core/planning/quote.ts';
import type { Tx } from '../store/db.ts';
import { publishedPlan } from '../store/plans.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { buildPlanningProblem, nextHorizon } from './build-planning-problem.ts';
import type { Context } from './context.ts';
import { keepDraft } from './plan-week.ts';
import { publishDraft } from './publish-plan.ts';

type SmallChange = {
  readonly rounds: Rounds;
  /** Whose day may be another. */
  readonly siteIds: readonly string[];
  readonly actor: string;
};

/** In the transaction of what happened. The new plan's id; nothing where it is not small, safe and allowed. */
export function publishWithRounds(
  tx: Tx,
  context: Pick<Context, 'now' | 'newId'>,
  { rounds, siteIds, actor }: SmallChange,
): string | undefined {
  if (!requireWorkshop(tx).settings.publishesSmallChanges) return undefined;
  const at = context.now();
  const told = publishedPlan(tx);
  const days = told?.plan.days.filter((day) => day >= nextHorizon(tx, at).firstDay) ?? [];
  const [firstDay] = days;
  if (!told || firstDay === undefined) return undefined;
  const problem = buildPlanningProblem(tx, at, { firstDay, days: days.length }, told);
  const plan = planOfRounds(problem, rounds, told.plan);
  if (!plan || checkPlan(problem, plan).length > 0) return undefined;
  const shiftIds = new Set(problem.shifts.map(({ shiftId }) => shiftId));
  const { changedDaySiteIds } = comparePlans(told.plan, plan, shiftIds);
  if (changedDaySiteIds.some((siteId) => !siteIds.includes(siteId))) return undefined;
  const planId = keepDraft(tx, context, {
    plan,
    problem,
    wishes: wishesWithin(told.wishes, problem),
    actor,
  });
  publishDraft(tx, at, { planId, actor });
  return planId;
}
