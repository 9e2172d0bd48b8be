/** What waits at a site at an instant, and what each visit of a plan takes. */
import {
  accrualBetween,
  expectedOverflowKg,
  fillAt,
  type MassForecast,
  meanKg,
  varianceKg2,
} from '../../accumulation/forecast.ts';
import type { SiteModel } from '../../accumulation/site-model.ts';
import type { PlanningProblem, PlanningSite } from '../problem.ts';
import { type Collected, type Fault, type Visit, visitsOf } from './faults.ts';

/** Multiples of 2^-20: the unit in which the model counts masses. */
export const dyadic = (value: number): number => Math.round(value * 1048576) / 1048576;

export function midday(problem: PlanningProblem, day: number): number {
  return Math.max(problem.nowAt, Math.round((problem.dayStartsAt[day]! + problem.dayStartsAt[day + 1]!) / 2));
}

export const endOf = (problem: PlanningProblem): number =>
  Math.max(problem.nowAt, problem.dayStartsAt[problem.days.length]!);

/** Mass at `at`, last emptied on `lastDay` (-1: not since now). */
export function massAt(
  problem: PlanningProblem,
  model: SiteModel,
  lastDay: number,
  at: number,
): MassForecast {
  return lastDay < 0 ? fillAt(model, at) : accrualBetween(model, midday(problem, lastDay), at);
}

/** Each visit's mass and variance, site by site in order of days, so that nothing is collected twice. */
export function collect(
  problem: PlanningProblem,
  models: readonly SiteModel[],
  visits: readonly Visit[],
  faults: Fault[],
): Collected[] {
  const all: Collected[] = [];
  problem.sites.forEach((site, i) => {
    const model = models[i]!;
    fillAt(model, endOf(problem));
    let lastDay = -1;
    for (const visit of visitsOf(visits, i)) {
      const f = massAt(problem, model, lastDay, midday(problem, visit.day));
      const heldKg = takenKg(problem, site);
      const kg = Math.max(0, meanKg(f) - expectedOverflowKg(f, heldKg));
      const kg2 = Math.max(0, Math.min(varianceKg2(f), kg * (heldKg - kg)));
      if (!Number.isFinite(kg) || !Number.isFinite(kg2))
        faults.push({ code: 'load', where: `site ${site.siteId} on day ${visit.day}`, is: kg });
      all.push({ ...visit, kg: dyadic(kg), kg2: dyadic(kg2) });
      lastDay = visit.day;
    }
  });
  return all;
}

/** What a visit takes at most. */
export const takenKg = (problem: PlanningProblem, site: PlanningSite): number =>
  mayFillVan(problem, site) ? vanKg(problem, site) : brimKg(site);
const brimKg = (site: PlanningSite): number => site.model.capacityKg + (site.besideKg ?? 0);
export const vanKg = ({ shifts }: PlanningProblem, { model }: PlanningSite): number =>
  Math.max(...shifts.map((shift) => Math.min(shift.payloadKg, shift.loadSpaceL / model.litresPerKg)));
/** A site that can hold more than any van may fill one, alone on a trip; the rest stays. Not where all is promised. */
export const mayFillVan = (problem: PlanningProblem, site: PlanningSite): boolean =>
  site.promises.length === 0 && brimKg(site) > vanKg(problem, site);
