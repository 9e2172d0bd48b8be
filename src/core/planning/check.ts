/**
 * The independent checker: from (problem, plan) it recomputes every time, window, load, break, unloading and
 * promise, and all money, from raw data. It shares no code with the search: only the forecast's own functions,
 * special functions and the contracts. It throws nothing; an empty list means that the plan holds.
 *
 * Where a definition is needed in both places (what a week costs), it is written down here a second time on
 * purpose, straight from the README of this folder, without tables.
 */
import type { SiteModel } from '../accumulation/site-model.ts';
import type { Fault, Visit } from './checker/faults.ts';
import { checkLoads } from './checker/loads.ts';
import { collect } from './checker/masses.ts';
import { checkMoney } from './checker/money.ts';
import { checkLeftOut, checkPromises, checkReasons } from './checker/promises.ts';
import { checkTimes } from './checker/times.ts';
import type { Plan } from './plan.ts';
import type { PlanningProblem } from './problem.ts';

export type { Fault, FaultCode } from './checker/faults.ts';

export function checkPlan(problem: PlanningProblem, plan: Plan): readonly Fault[] {
  const faults: Fault[] = [];
  try {
    check(problem, plan, faults);
  } catch (error) {
    faults.push({ code: 'shape', where: 'plan', is: error instanceof Error ? error.message : String(error) });
  }
  return faults;
}

function check(problem: PlanningProblem, plan: Plan, faults: Fault[]): void {
  if (plan.days.join() !== problem.days.join() || plan.firstDay !== problem.days[0])
    faults.push({ code: 'shape', where: 'days', says: plan.days.join(), is: problem.days.join() });
  const siteOf = new Map(problem.sites.map((site, i) => [site.siteId, i]));
  const shiftOf = new Map(problem.shifts.map((shift, s) => [shift.shiftId, s]));
  const visits: Visit[] = [];
  const usedShifts = new Set<string>();
  for (const round of plan.rounds) {
    const s = shiftOf.get(round.shiftId);
    if (s === undefined) {
      faults.push({ code: 'unknown', where: `round ${round.shiftId}` });
      continue;
    }
    if (usedShifts.has(round.shiftId)) faults.push({ code: 'twice', where: `round ${round.shiftId}` });
    usedShifts.add(round.shiftId);
    checkTimes(problem, round, problem.shifts[s]!, s, siteOf, visits, faults);
  }
  const models = problem.sites.map(({ model }): SiteModel => ({ ...model, exposure: { ...model.exposure } }));
  const collected = collect(problem, models, visits, faults);
  for (const round of plan.rounds) checkLoads(problem, round, siteOf, collected, faults);
  checkPromises(problem, plan, visits, faults);
  checkLeftOut(problem, plan, visits, faults);
  checkMoney(problem, plan, models, visits, collected, faults);
  checkReasons(plan, faults);
}
