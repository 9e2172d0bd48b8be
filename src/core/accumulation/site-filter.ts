/**
 * One site's filter: its state, and what each piece of evidence does to it. Formulas: README of this folder.
 * Mutable inside `learn-workshop.ts`, which feeds it evidence in order of time; plain data comes out.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import { exposureBetween } from './exposure.ts';
import { burstMoments, surgeShareBetween } from './forecast.ts';
import {
  cdfKg,
  logDensityKg,
  type MassForecast,
  matchMoments,
  meanKg,
  varianceKg2,
} from './mass-forecast.ts';
import { censoredRate, forgetTo, MIN_A, pickupShape, updatedRate } from './rate.ts';
import type { Exposure, FilterParameters, KnownSurge, RateState } from './site-model.ts';

/** One weigh-in in so many is a slip of the pen (a factor of ten, the wrong site). */
const SLIP_CHANCE = 0.03;
/** Below this mass a density says little: "next to nothing" is one outcome. */
const NEXT_TO_NOTHING_KG: Kg = 0.3;
/** A level change keeps this part of what was known. */
const KEEP_AT_CHANGE = 0.25;

export type SurgeRatio = { mean: number; shape: number };

export type SiteFilter = {
  readonly exposure: Exposure;
  readonly parameters: FilterParameters;
  readonly surges: readonly KnownSurge[];
  rate: RateState;
  emptiedAt: Instant;
  leftKg: Kg;
  isStartKnown: boolean;
  /** The last strange value, to tell a slip from a change: its side, and what to apply again. */
  strange: { readonly side: 1 | -1; readonly shape: number; readonly kgPerWeek: Kg } | undefined;
  levelChangedAt: Instant | undefined;
};

export type Seen = {
  /** What was forecast for this pickup just before it; nothing where the start was unknown. */
  readonly forecast: MassForecast | undefined;
  /** How far the value was believed, 0 to 1. */
  readonly weight: number;
  /** Exposure since the last emptying. */
  readonly weeks: number;
};

export type PickupSeen = {
  readonly at: Instant;
  /** Absent: only "found full" is known. */
  readonly kg?: Kg;
  readonly relativeVariance: number;
  readonly foundFull: boolean;
  readonly capacityKg: Kg;
  readonly leftKg: Kg;
};

/** Takes a pickup in and empties the container. Ratios of surges are learnt in place. */
export function seePickup(
  filter: SiteFilter,
  pickup: PickupSeen,
  ratioOf: (surge: KnownSurge) => SurgeRatio,
): Seen {
  const { emptiedAt } = filter;
  const weeks = exposureBetween(filter.exposure, emptiedAt, pickup.at);
  const isUseful = filter.isStartKnown && pickup.at > emptiedAt;
  const seen = isUseful ? learn(filter, pickup, weeks, ratioOf) : { forecast: undefined, weight: 1, weeks };
  filter.emptiedAt = Math.max(emptiedAt, pickup.at);
  filter.leftKg = pickup.leftKg;
  filter.isStartKnown = true;
  return seen;
}

function learn(
  filter: SiteFilter,
  pickup: PickupSeen,
  weeks: number,
  ratioOf: (surge: KnownSurge) => SurgeRatio,
): Seen {
  const { parameters } = filter;
  filter.rate = forgetTo(filter.rate, pickup.at, parameters);
  const alpha = pickupShape(parameters, filter.rate, weeks);
  const base: MassForecast = {
    offsetKg: filter.leftKg,
    scaleKg: weeks > 0 ? (filter.rate.b * weeks) / alpha : 0,
    alpha,
    beta: filter.rate.a,
  };
  const bursts = filter.surges.flatMap((surge) => {
    const share = surgeShareBetween(surge, filter.emptiedAt, pickup.at);
    return share > 0 ? [{ surge, share, ratio: ratioOf(surge) }] : [];
  });
  const burst = bursts.reduce(
    (sum, { surge, share, ratio }) => {
      const one = burstMoments(surge, share, ratio);
      return { kg: sum.kg + one.meanKg, kg2: sum.kg2 + one.varianceKg2 };
    },
    { kg: 0, kg2: 0 },
  );
  const baseKg = meanKg(base) - filter.leftKg;
  const baseKg2 = varianceKg2(base);
  const forecast =
    burst.kg > 0 ? matchMoments(filter.leftKg, baseKg + burst.kg, baseKg2 + burst.kg2, base.beta) : base;
  if (weeks <= 0 && burst.kg === 0) return { forecast, weight: 1, weeks };

  if (pickup.foundFull || pickup.kg === undefined) {
    // The container held no more: a lower bound. What was weighed is a better bound than a nominal capacity.
    const boundKg = Math.max(0, (pickup.kg ?? pickup.capacityKg) - filter.leftKg - burst.kg);
    filter.rate = { ...censoredRate(filter.rate, alpha, alpha / weeks, boundKg), asOf: pickup.at };
    filter.strange = undefined;
    return { forecast, weight: 1, weeks };
  }

  const accruedKg = Math.max(0, pickup.kg - filter.leftKg);
  const weight = believed(forecast, filter.leftKg + accruedKg);
  // Share the surprise between the event and the daily flow in proportion to their variances.
  const eventShare = burst.kg > 0 ? burst.kg2 / (baseKg2 + burst.kg2) : 0;
  const eventKg =
    burst.kg > 0
      ? Math.min(accruedKg, Math.max(0, burst.kg + eventShare * (accruedKg - baseKg - burst.kg)))
      : 0;
  for (const { surge, share, ratio } of bursts) {
    const expected = surge.expectedKg * share;
    const part = eventKg * ((ratio.mean * expected) / burst.kg);
    const news = 4 * weight * eventShare * share;
    const shape = ratio.shape + news;
    ratio.mean = (ratio.mean * ratio.shape + news * (part / expected)) / shape;
    ratio.shape = shape;
  }
  if (weeks <= 0) return { forecast, weight, weeks };
  const shape = 1 / (1 / (alpha * (1 - 0.7 * eventShare)) + pickup.relativeVariance);
  const kgPerWeek = (accruedKg - eventKg) / weeks;
  takeIn(filter, { shape, kgPerWeek, weight, forecast, kg: filter.leftKg + accruedKg, at: pickup.at });
  return { forecast, weight, weeks };
}

/** Posterior chance that a value belongs to the forecast and is not a slip. */
function believed(forecast: MassForecast, kg: Kg): number {
  const wide: MassForecast = matchWide(forecast);
  const fits = density(forecast, kg);
  const slips = density(wide, kg);
  const logFactor = fits - slips;
  const odds = (Math.exp(Math.min(50, logFactor)) * (1 - SLIP_CHANCE)) / SLIP_CHANCE;
  return odds / (1 + odds);
}

const density = (f: MassForecast, kg: Kg): number =>
  kg - f.offsetKg < NEXT_TO_NOTHING_KG
    ? Math.log(Math.max(1e-300, cdfKg(f, f.offsetKg + NEXT_TO_NOTHING_KG) / NEXT_TO_NOTHING_KG))
    : logDensityKg(f, kg);

/** Same mean, far wider: what a slip could be. */
function matchWide(f: MassForecast): MassForecast {
  if (f.alpha === 0) return f;
  const alpha = f.alpha / 9;
  const mean = meanKg(f) - f.offsetKg;
  return { offsetKg: f.offsetKg, alpha, beta: 3, scaleKg: (mean * 2) / alpha };
}

type News = {
  readonly shape: number;
  readonly kgPerWeek: Kg;
  readonly weight: number;
  readonly forecast: MassForecast;
  readonly kg: Kg;
  readonly at: Instant;
};

function takeIn(filter: SiteFilter, { shape, kgPerWeek, weight, forecast, kg, at }: News): void {
  const below = cdfKg(forecast, kg);
  const side = weight < 0.5 || below < 0.02 || below > 0.98 ? (kg > meanKg(forecast) ? 1 : -1) : 0;
  if (side !== 0 && filter.strange?.side === side) {
    // Twice in a row on the same side is no slip: the level has changed.
    const { a, b } = filter.rate;
    const keptA = Math.max(MIN_A, KEEP_AT_CHANGE * a);
    filter.rate = { a: keptA, b: (b / (a - 1)) * (keptA - 1), asOf: filter.rate.asOf };
    filter.rate = updatedRate(filter.rate, filter.strange.shape, filter.strange.kgPerWeek, 1);
    filter.rate = updatedRate(filter.rate, shape, kgPerWeek, 1);
    filter.strange = undefined;
    filter.levelChangedAt = at;
    return;
  }
  filter.rate = updatedRate(filter.rate, shape, kgPerWeek, weight);
  filter.strange = side === 0 ? undefined : { side, shape, kgPerWeek };
}
