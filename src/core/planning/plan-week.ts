/**
 * The planner: from fills, needs, promises and hours to a week of rounds in one objective in money. Pure and
 * deterministic: the same (problem, seed, iterations) gives the same JSON bytes. See README.md of this folder.
 */
import { assemblePlan } from './assemble.ts';
import type { Plan } from './plan.ts';
import type { PlanningBudget, PlanningProblem } from './problem.ts';
import { withPromises } from './promises.ts';
import { type Mending, mendPlan } from './replan.ts';
import { type Progress, type SearchHooks, searchWeek, type Watch } from './search.ts';
import { ordersOfPlan, ordersOfPublished, stateOfOrders } from './start.ts';
import { layOutWeek } from './week.ts';

export type PlanWeekHooks = SearchHooks & {
  /** A plan to start from; the answer never costs more than it, as far as it can still be driven. */
  readonly start?: Plan;
  /** Mends what was told where the news touches it, instead of planning the whole week anew. */
  readonly mend?: Mending;
  /**
   * Told each time there is a better week, looked at every 64 iterations; the first call is the first whole week. The
   * plan is only made if `plan()` is called: there and then, or later within `progress`, when it is the best of that
   * moment. Better is cheaper, or keeps a promise more.
   */
  readonly onBest?: (best: Progress & { readonly plan: () => Plan }) => void;
};

export function planWeek(problem: PlanningProblem, budget: PlanningBudget, hooks: PlanWeekHooks = {}): Plan {
  if (hooks.mend) return mendPlan(problem, hooks.mend, budget, hooks);
  const { week, hopeless } = withPromises(layOutWeek(problem));
  const orders = hooks.start ? ordersOfPlan(week, hooks.start) : ordersOfPublished(week);
  const { onBest } = hooks;
  const watch: Watch | undefined =
    onBest &&
    ((progress, state) => onBest({ ...progress, plan: () => assemblePlan(state, hopeless, budget) }));
  const best = searchWeek(week, stateOfOrders(week, orders), budget, hooks, watch);
  return assemblePlan(best, hopeless, budget);
}
