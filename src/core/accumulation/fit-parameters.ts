/**
 * δ, κ and ω by the likelihood of the workshop's own history, one step ahead (prequential: Dawid 1984, JRSS A
 * 147:278-292): every pickup is scored by what was forecast just before it. A search along one parameter at a
 * time over a fixed grid, so that the answer is the same on every machine and for any order of sites.
 */
import type { Instant } from '../quantity/units.ts';
import { learnWorkshop, START_PARAMETERS, type Step } from './learn-workshop.ts';
import { cdfKg, logDensityKg, overflowRisk } from './mass-forecast.ts';
import type { LoadWeighed, SiteHistory } from './site-history.ts';
import type { FilterParameters } from './site-model.ts';

const GRID = {
  forgetPerWeek: [0.6, 0.68, 0.75, 0.78, 0.82, 0.88, 0.93, 0.97],
  roughness: [0.03, 0.06, 0.1, 0.15, 0.22, 0.32],
  granularityKg: [0.7, 1.2, 2, 3, 4.5, 7],
} as const;
/** Fewer pickups than this say too little: the start values stay. */
export const LEAST_PICKUPS = 150;
/** A slip of the pen costs no more than this, so that slips do not choose the parameters. */
const WORST_LOG_SCORE = -9;
const NEXT_TO_NOTHING_KG = 0.3;

export type Fit = {
  readonly parameters: FilterParameters;
  readonly pickups: number;
  /** Mean log score per pickup, with the start values and with the fitted ones. */
  readonly startScore: number;
  readonly score: number;
};

/** @param fromAt score only what came from then on (the last six months, say) */
export function fitParameters(
  histories: readonly SiteHistory[],
  loads: readonly LoadWeighed[] = [],
  start: FilterParameters = START_PARAMETERS,
  fromAt: Instant = Number.NEGATIVE_INFINITY,
): Fit {
  const scoreWith = (parameters: FilterParameters) => {
    const steps = learnWorkshop(histories, loads, parameters).steps.filter((step) => step.at >= fromAt);
    return { pickups: steps.length, score: meanLogScore(steps) };
  };
  const { pickups, score: startScore } = scoreWith(start);
  if (pickups < LEAST_PICKUPS) return { parameters: start, pickups, startScore, score: startScore };
  let best = { parameters: start, score: startScore };
  for (let round = 0; round < 3; round++) {
    const before = best.score;
    for (const name of ['roughness', 'forgetPerWeek', 'granularityKg'] as const)
      for (const value of GRID[name]) {
        if (value === best.parameters[name]) continue;
        const parameters = { ...best.parameters, [name]: value };
        const { score } = scoreWith(parameters);
        if (score > best.score) best = { parameters, score };
      }
    if (best.score === before) break;
  }
  return { ...best, pickups, startScore };
}

export function meanLogScore(steps: readonly Step[]): number {
  if (steps.length === 0) return 0;
  let sum = 0;
  for (const { forecast, kg, foundFull } of steps) {
    const score = foundFull
      ? Math.log(overflowRisk(forecast, kg))
      : kg - forecast.offsetKg < NEXT_TO_NOTHING_KG
        ? Math.log(cdfKg(forecast, forecast.offsetKg + NEXT_TO_NOTHING_KG))
        : logDensityKg(forecast, kg);
    sum += Math.max(WORST_LOG_SCORE, score);
  }
  return sum / steps.length;
}
