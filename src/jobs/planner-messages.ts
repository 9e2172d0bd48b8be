/** What the server and a planner thread say to each other: plain data, structured-cloned. */
import type { Plan } from '../core/planning/plan.ts';
import type { PlanningBudget, PlanningProblem } from '../core/planning/problem.ts';
import type { Mending } from '../core/planning/replan.ts';

export type PlannerWork = {
  readonly problem: PlanningProblem;
  readonly budget: PlanningBudget;
  /** One Int32: 0 goes on, 1 asks the search to stop and answer its best so far. */
  readonly stopFlag: SharedArrayBuffer;
  readonly mend?: Mending;
  /** Wall-clock bound for people, in seconds; absent means iterations alone decide. */
  readonly seconds?: number;
};

export type PlannerProgress = { readonly iteration: number; readonly costMicros: number };

export type PlannerAnswer =
  | { readonly kind: 'progress'; readonly progress: PlannerProgress }
  | { readonly kind: 'plan'; readonly plan: Plan }
  | { readonly kind: 'failed'; readonly message: string };
