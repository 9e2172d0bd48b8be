/**
 * The filter's parameters by the likelihood of the workshop's own history, one step ahead (prequential: Dawid 1984,
 * JRSS A 147:278-292): every pickup is scored by what was forecast just before it. Where the history is short the
 * start values are held by a prior (a penalty in the same log units), so that a fit from twenty pickups is sensible
 * and one from thousands free. A search along one parameter at a time over fixed steps: the answer is the same on
 * every machine and for any order of sites, and a later fit goes on from an earlier one.
 */
import type { Instant } from '../quantity/units.ts';
import { FLAG, ROW } from './evidence-rows.ts';
import {
  filterPrepared,
  forecastSaid,
  type Prepared,
  prepareWorkshop,
  START_PARAMETERS,
} from './learn-workshop.ts';
import { cdfKg, logDensityKg, type MassForecast, overflowRisk } from './mass-forecast.ts';
import type { LoadWeighed, SiteHistory } from './site-history.ts';
import type { FilterParameters } from './site-model.ts';

const FORGET_PER_WEEK = [
  0.45, 0.55, 0.65, 0.72, 0.78, 0.82, 0.85, 0.88, 0.91, 0.93, 0.95, 0.97, 0.985, 0.995,
];
const PER_PICKUP = [0, 0.01, 0.03, 0.06, 0.1, 0.15, 0.22, 0.32, 0.5, 0.75, 1.1];
const CHANGE_PER_WEEK = [0.001, 0.0025, 0.005, 0.01, 0.02, 0.05];
/** How much sites differ in roughness; undefined: not at all. */
const ROUGHNESS_SPREAD = [undefined, 0.25, 0.5, 1];
/** Spread around the usual pickup; undefined: the time of a pickup does not depend on the fill. */
const HABIT_SPREAD = [undefined, 2, 1.4, 1, 0.7, 0.5, 0.35, 0.25, 0.17];
const FACTORS = [0.1, 0.25, 0.5, 0.7, 1.4, 2, 4, 10];
const ROUNDS = 4;

/** Fewer pickups than this say too little: the start values stay. */
export const LEAST_PICKUPS = 20;
/** A slip of the pen costs no more than this below the log density of an even spread, so that slips do not choose. */
const WORST_LOG_SCORE = -7;

export type Fit = {
  readonly parameters: FilterParameters;
  readonly pickups: number;
  /** Mean log score per pickup, with the start values and with the fitted ones. */
  readonly startScore: number;
  readonly score: number;
};

export type FitOptions = {
  /** What the search goes on from: the start values, or an earlier fit. */
  readonly start?: FilterParameters;
  /** Only pickups from then on are scored (the last six months, say), and only before `untilAt`. */
  readonly fromAt?: Instant;
  readonly untilAt?: Instant;
  readonly rounds?: number;
};

export const fitParameters = (
  histories: readonly SiteHistory[],
  loads: readonly LoadWeighed[] = [],
  options: FitOptions = {},
): Fit => fitPrepared(prepareWorkshop(histories, loads), START_PARAMETERS, options);

/** @param prior where the parameters are held while the history is short */
export function fitPrepared(prepared: Prepared, prior: FilterParameters, options: FitOptions = {}): Fit {
  const { fromAt = -Infinity, untilAt = Infinity, rounds = ROUNDS } = options;
  const scored = scoredRows(prepared, fromAt, untilAt);
  const nothingKg = prior.granularityKg / 10;
  let meanLogKg = 0;
  for (const row of scored)
    meanLogKg += Math.log(Math.max(nothingKg, knownKg(prepared, row)) || 1) / scored.length;
  const worst = WORST_LOG_SCORE - meanLogKg;
  const scoreWith = (parameters: FilterParameters): number => {
    const { said } = filterPrepared(prepared, parameters, { untilAt });
    let sum = 0;
    for (const row of scored) {
      const isFull = (prepared.rows.cells[row * ROW.size + ROW.flags]! & FLAG.full) !== 0;
      sum += Math.max(worst, logScore(forecastSaid(said, row), knownKg(prepared, row), isFull, nothingKg));
    }
    return sum;
  };
  const start = options.start ?? prior;
  const startSum = scoreWith(start);
  const n = Math.max(1, scored.length);
  if (scored.length < LEAST_PICKUPS)
    return { parameters: start, pickups: scored.length, startScore: startSum / n, score: startSum / n };
  let best = { parameters: start, sum: startSum, value: startSum + logPrior(start, prior) };
  const names = [
    'perPickup',
    'forgetPerWeek',
    'granularityKg',
    'roughness',
    'habitSpread',
    'roughnessSpread',
    'changePerWeek',
  ] as const;
  for (let round = 0; round < rounds; round++) {
    const before = best.value;
    for (const name of names)
      for (const value of candidates(name, best.parameters)) {
        if (value === best.parameters[name]) continue;
        const { [name]: _, ...others } = best.parameters;
        const parameters = (value === undefined ? others : { ...others, [name]: value }) as FilterParameters;
        const sum = scoreWith(parameters);
        const total = sum + logPrior(parameters, prior);
        if (total > best.value) best = { parameters, sum, value: total };
      }
    if (best.value === before) break;
  }
  return {
    parameters: best.parameters,
    pickups: scored.length,
    startScore: startSum / n,
    score: best.sum / n,
  };
}

function candidates(name: keyof FilterParameters, now: FilterParameters): readonly (number | undefined)[] {
  switch (name) {
    case 'forgetPerWeek':
      return FORGET_PER_WEEK;
    case 'perPickup':
      return PER_PICKUP;
    case 'changePerWeek':
      return CHANGE_PER_WEEK;
    case 'roughnessSpread':
      return ROUGHNESS_SPREAD;
    case 'habitSpread':
      return HABIT_SPREAD;
    default:
      // By factors of what it is, so that any unit of mass and any size will do.
      return FACTORS.map((factor) => now[name] * factor).filter((value) => value > 1e-5);
  }
}

/** Log prior up to a constant: normal on log and logit scales, and a price on every part that is not there at the start. */
function logPrior(p: FilterParameters, prior: FilterParameters): number {
  const square = (value: number, sd: number): number => -0.5 * (value / sd) ** 2;
  const logit = (x: number): number => Math.log(x / (1 - Math.min(x, 0.9999)));
  return (
    square(logit(p.forgetPerWeek) - logit(prior.forgetPerWeek), 1) +
    square(Math.log(p.granularityKg / prior.granularityKg), 1.5) +
    square(Math.log(p.roughness / prior.roughness), 1.5) +
    square(Math.log((p.changePerWeek ?? 0.001) / (prior.changePerWeek ?? 0.001)), 1) -
    (p.perPickup ?? 0) / 0.2 -
    (p.habitSpread === undefined ? 0 : 2) -
    (p.roughnessSpread === undefined ? 0 : 2)
  );
}

function scoredRows({ rows }: Prepared, fromAt: Instant, untilAt: Instant): Int32Array {
  return rows.inOrder.filter((row) => {
    const at = rows.cells[row * ROW.size + ROW.at]!;
    return (rows.cells[row * ROW.size + ROW.flags]! & FLAG.useful) !== 0 && at >= fromAt && at < untilAt;
  });
}

function knownKg({ rows }: Prepared, row: number): number {
  const kg = rows.cells[row * ROW.size + ROW.kg]!;
  return Number.isNaN(kg) ? rows.cells[row * ROW.size + ROW.capacityKg]! : kg;
}

function logScore(f: MassForecast, kg: number, isFull: boolean, nothingKg: number): number {
  if (isFull) return Math.log(overflowRisk(f, kg));
  if (kg - f.offsetKg < nothingKg) return Math.log(cdfKg(f, f.offsetKg + nothingKg) / nothingKg);
  return logDensityKg(f, kg);
}
