/** Plans the days ahead, has the plan recomputed by the checker, and keeps it as a draft. */
import { createHash } from 'node:crypto';
import { NO_WISHES, type Wishes, wishesWithin } from '../core/planning/changes.ts';
import { checkPlan } from '../core/planning/check.ts';
import type { Plan } from '../core/planning/plan.ts';
import type { PlanningProblem } from '../core/planning/problem.ts';
import type { LocalDay } from '../core/quantity/units.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { publishedPlan, savePlan } from '../store/plans.ts';
import { buildPlanningProblem, nextHorizon } from './build-planning-problem.ts';
import type { Context, Planner, PlannerHooks } from './context.ts';
import { planToShow } from './plan-to-show.ts';

export type PlanRequest = {
  readonly firstDay?: LocalDay;
  readonly days?: number;
  readonly seed: number;
  readonly iterations: number;
  readonly actor: string;
};

export type PlannedWeek = { readonly planId: string; readonly plan: Plan; readonly problem: PlanningProblem };

/**
 * @throws Error when the checker finds a fault: such a plan is never kept.
 * @throws the reason of `hooks.drop` when it was dropped before it was kept.
 */
export async function planWeek(
  { store, now, newId }: Context,
  planner: Planner,
  request: PlanRequest,
  hooks: PlannerHooks = {},
): Promise<PlannedWeek> {
  const horizon = nextHorizon(store, now(), request.days);
  const kept = planToShow(store)?.wishes ?? NO_WISHES;
  const days = { ...horizon, ...(request.firstDay === undefined ? {} : { firstDay: request.firstDay }) };
  const problem = buildPlanningProblem(store, now(), days, publishedPlan(store) ?? null, kept);
  const wishes = wishesWithin(kept, problem);
  const { seed, iterations } = request;
  const plan = await planner(problem, { seed, iterations }, hooks);
  hooks.drop?.throwIfAborted();
  const faults = checkPlan(problem, plan);
  if (faults.length > 0)
    throw new Error(`The plan does not hold and was not kept: ${JSON.stringify(faults.slice(0, 5))}`);

  const planId = inTransaction(store, (tx) =>
    keepDraft(tx, { now, newId }, { plan, problem, wishes, actor: request.actor }),
  );
  return { planId, plan, problem };
}

/** Keeps a plan that the checker has accepted; answers its id. */
export function keepDraft(
  tx: Tx,
  { now, newId }: Pick<Context, 'now' | 'newId'>,
  {
    plan,
    problem,
    wishes,
    actor,
  }: Omit<PlannedWeek, 'planId'> & {
    /** Those that are in the problem. */
    readonly wishes: Wishes;
    readonly actor: string;
  },
): string {
  const planId = newId();
  const createdAt = now();
  savePlan(tx, { id: planId, plan, inputHash: hashOfInput(problem), createdAt, wishes }, newId);
  appendEntry(tx, {
    at: createdAt,
    kind: 'plan-drafted',
    subject: `plan:${planId}`,
    actor,
    facts: {
      firstDay: plan.firstDay,
      days: plan.days.length,
      rounds: plan.rounds.length,
      costMicros: plan.costMicros,
    },
  });
  return planId;
}

/** To say later whether a plan was made on today's facts. */
export function hashOfInput(problem: PlanningProblem): string {
  const hash = createHash('sha256');
  const { travel, ...rest } = problem;
  hash.update(JSON.stringify(rest));
  hash.update(new Uint8Array(travel.legM.buffer, travel.legM.byteOffset, travel.legM.byteLength));
  hash.update(new Uint8Array(travel.legS.buffer, travel.legS.byteOffset, travel.legS.byteLength));
  return hash.digest('hex');
}
