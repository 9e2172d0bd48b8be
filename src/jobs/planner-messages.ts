/** What the server and a planner thread say to each other: plain data, structured-cloned. */
import type { Plan } from '../core/planning/plan.ts';
import type { PlanningBudget, PlanningProblem } from '../core/planning/problem.ts';
import type { Mending } from '../core/planning/replan.ts';
import type { PlanningProgress } from '../usecases/context.ts';

export type PlannerWork = {
  readonly problem: PlanningProblem;
  readonly budget: PlanningBudget;
  /** One Int32: 0 goes on, 1 asks the search to stop and answer its best so far. */
  readonly stopFlag: SharedArrayBuffer;
  /** Laying out the best so far takes the thread's time: only for somebody who watches. */
  readonly tellsProgress: boolean;
  readonly mend?: Mending;
  /** Wall-clock bound for people, in seconds; absent means iterations alone decide. */
  readonly seconds?: number;
};

export type PlannerAnswer =
  | { readonly kind: 'progress'; readonly progress: PlanningProgress }
  | { readonly kind: 'plan'; readonly plan: Plan }
  | { readonly kind: 'failed'; readonly message: string };
