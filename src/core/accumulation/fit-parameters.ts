/**
 * δ, κ, ω and φ by the likelihood of the workshop's own history, one step ahead (prequential: Dawid 1984, JRSS A
 * 147:278-292): every pickup is scored by what was forecast just before it. A search along one parameter at a
 * time over fixed steps, so that the answer is the same on every machine and for any order of sites.
 */
import type { Instant } from '../quantity/units.ts';
import { learnWorkshop, START_PARAMETERS, type Step } from './learn-workshop.ts';
import { cdfKg, logDensityKg, overflowRisk } from './mass-forecast.ts';
import type { LoadWeighed, SiteHistory } from './site-history.ts';
import type { FilterParameters } from './site-model.ts';

/** δ over a fixed grid; the others by factors of what they are, so that any unit of mass and any size will do. */
const FORGET_PER_WEEK = [0.45, 0.6, 0.68, 0.75, 0.78, 0.82, 0.88, 0.93, 0.97, 0.99];
const PER_PICKUP = [0, 0.01, 0.03, 0.06, 0.1, 0.15, 0.22, 0.32, 0.5];
const FACTORS = [0.1, 0.25, 0.5, 0.7, 1.4, 2, 4, 10];
const ROUNDS = 4;

function candidates(name: keyof Searched, now: Searched): readonly number[] {
  if (name === 'forgetPerWeek') return FORGET_PER_WEEK;
  if (name === 'perPickup') return PER_PICKUP;
  return FACTORS.map((factor) => now[name] * factor).filter((value) => value > 1e-4);
}
type Searched = Required<
  Pick<FilterParameters, 'forgetPerWeek' | 'granularityKg' | 'roughness' | 'perPickup'>
>;

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
  let best = { parameters: { perPickup: 0, ...start }, score: startScore };
  for (let round = 0; round < ROUNDS; round++) {
    const before = best.score;
    for (const name of ['perPickup', 'forgetPerWeek', 'granularityKg', 'roughness'] as const)
      for (const value of candidates(name, best.parameters)) {
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
