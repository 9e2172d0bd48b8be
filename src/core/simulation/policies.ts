/** The policies by name; each call gives a fresh one, for what it remembers belongs to one year. */
import { callWhenFull, fixedRound, fullestFirst, nearestFirst } from './hand-policies.ts';
import { type PlannerOptions, plannerPolicy, USUAL_PLANNER } from './planner-policy.ts';
import type { Policy } from './policy.ts';

export const POLICY_NAMES = ['planner', 'fixed', 'call', 'fullest', 'nearest'] as const;
export type PolicyName = (typeof POLICY_NAMES)[number];

export function makePolicy(name: PolicyName, planner: PlannerOptions = USUAL_PLANNER): Policy {
  switch (name) {
    case 'planner':
      return plannerPolicy(planner);
    case 'fixed':
      return fixedRound();
    case 'call':
      return callWhenFull();
    case 'fullest':
      return fullestFirst();
    case 'nearest':
      return nearestFirst();
  }
}
