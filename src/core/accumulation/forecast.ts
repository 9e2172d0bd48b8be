/**
 * From what is known of a site to the mass that waits there at an instant, as a distribution. The planner's
 * hot path: closed form throughout.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import { exposureBetween } from './exposure.ts';
import { excessOver, type MassForecast, matchMoments, meanKg, varianceKg2 } from './mass-forecast.ts';
import { censoredRate, forgetTo, pickupShape, silentRate } from './rate.ts';
import type { KnownSurge, RateState, SiteModel } from './site-model.ts';

export {
  cdfKg,
  expectedOverflowKg,
  type MassForecast,
  meanKg,
  overflowRisk,
  quantileKg,
  varianceKg2,
} from './mass-forecast.ts';

/** Relative variance of one event's mass around its expected share, beside the uncertainty of the ratio. */
const EVENT_RELATIVE_VARIANCE = 0.22;

/** Mass waiting at `at`, if nobody calls before. */
export function fillAt(model: SiteModel, at: Instant): MassForecast {
  const { atLeast: report, silence, emptiedAt } = model;
  if (report && report.at <= at && report.at >= emptiedAt) return fillAfterReport(model, report, at);
  if (silence && silence.at <= at && silence.at > emptiedAt) return fillAfterSilence(model, silence, at);
  return accrue(model, model.rate, emptiedAt, at, model.leftKg);
}

/** Mass that accrues from just after an emptying at `fromAt` until `untilAt`. */
export function accrualBetween(model: SiteModel, fromAt: Instant, untilAt: Instant): MassForecast {
  return accrue(model, model.rate, fromAt, untilAt, 0);
}

/**
 * A donor said "at least so much" at some instant. The fill then is that much, plus the excess a truncated
 * scaled F has over it, plus what accrues since at a rate that the report has raised.
 */
function fillAfterReport(
  model: SiteModel,
  report: { readonly kg: Kg; readonly at: Instant },
  at: Instant,
): MassForecast {
  const then = accrue(model, model.rate, model.emptiedAt, report.at, model.leftKg);
  const floorKg = Math.max(report.kg, model.leftKg);
  const excess = excessOver(then, floorKg);
  const exposure = exposureBetween(model.exposure, model.emptiedAt, report.at);
  const alpha = pickupShape(model.parameters, model.rate, exposure);
  const rate =
    exposure > 0
      ? censoredRate(
          forgetTo(model.rate, report.at, model.parameters),
          alpha,
          alpha / exposure,
          floorKg - model.leftKg,
        )
      : model.rate;
  const since = accrue(model, rate, report.at, at, 0);
  return matchMoments(
    floorKg,
    excess.meanKg + meanKg(since),
    excess.varianceKg2 + varianceKg2(since),
    since.beta,
  );
}

/**
 * The mass in the container at the time of the silence, weighed by the chance that the donor is silent about it, then
 * what accrues since at a rate that the silence has lowered. Sacks of events stand beside; nobody calls for them.
 */
function fillAfterSilence(
  model: SiteModel,
  silence: NonNullable<SiteModel['silence']>,
  at: Instant,
): MassForecast {
  const { parameters, emptiedAt, leftKg } = model;
  const exposure = exposureBetween(model.exposure, emptiedAt, silence.at);
  const then = baseForecast(model, model.rate, exposure, silence.at, leftKg);
  const floorKg = Math.max(silence.kg, leftKg);
  const above = excessOver(then, floorKg);
  const heard = (1 - silence.missedShare) * above.probability;
  if (exposure <= 0 || silence.kg <= leftKg || heard > 1 - 1e-9)
    return accrue(model, model.rate, emptiedAt, at, leftKg);
  // First and second moment above `leftKg`, less the part that would have been heard of.
  const aboveKg = above.meanKg + floorKg - leftKg;
  const thenKg = meanKg(then) - leftKg;
  const kg = (thenKg - heard * aboveKg) / (1 - heard);
  const kg2 =
    (varianceKg2(then) + thenKg * thenKg - heard * (above.varianceKg2 + aboveKg * aboveKg)) / (1 - heard);
  const shape = pickupShape(parameters, model.rate, exposure);
  const before = forgetTo(model.rate, silence.at, parameters);
  const rate = silentRate(before, shape, shape / exposure, floorKg - leftKg, silence.missedShare);
  const since = baseForecast(model, rate, exposureBetween(model.exposure, silence.at, at), at, 0);
  const base = matchMoments(
    leftKg,
    Math.max(0, kg) + meanKg(since),
    Math.max(0, kg2 - kg * kg) + varianceKg2(since),
    then.beta,
  );
  return model.surges.length === 0 ? base : addSurges(model, base, emptiedAt, at);
}

function accrue(
  model: SiteModel,
  rate: RateState,
  fromAt: Instant,
  untilAt: Instant,
  offsetKg: Kg,
): MassForecast {
  const exposure = exposureBetween(model.exposure, fromAt, untilAt);
  const base = baseForecast(model, rate, exposure, untilAt, offsetKg);
  return model.surges.length === 0 ? base : addSurges(model, base, fromAt, untilAt);
}

function baseForecast(
  model: SiteModel,
  rate: RateState,
  exposure: number,
  untilAt: Instant,
  offsetKg: Kg,
): MassForecast {
  const widened = forgetTo(rate, untilAt, model.parameters);
  if (exposure <= 0 || !(widened.b > 0)) return { offsetKg, scaleKg: 0, alpha: 0, beta: widened.a };
  const alpha = pickupShape(model.parameters, rate, exposure);
  const level = model.levelFactor ?? 1;
  return { offsetKg, scaleKg: (level * widened.b * exposure) / alpha, alpha, beta: widened.a };
}

/** Adds the bursts that fall inside the span, by matching mean and variance. */
function addSurges(model: SiteModel, base: MassForecast, fromAt: Instant, untilAt: Instant): MassForecast {
  let burstKg = 0;
  let burstKg2 = 0;
  for (const surge of model.surges) {
    const share = surgeShareBetween(surge, fromAt, untilAt);
    if (share === 0) continue;
    const burst = burstMoments(surge, share, surge.ratio ?? model.surgeRatio);
    burstKg += burst.meanKg;
    burstKg2 += burst.varianceKg2;
  }
  if (burstKg === 0) return base;
  return matchMoments(
    base.offsetKg,
    meanKg(base) - base.offsetKg + burstKg,
    varianceKg2(base) + burstKg2,
    base.beta,
  );
}

/** Part of a surge that falls inside a span, 0 to 1; a surge without length falls at its end. */
export function surgeShareBetween(
  surge: { readonly startsAt: Instant; readonly endsAt: Instant },
  fromAt: Instant,
  untilAt: Instant,
): number {
  if (surge.endsAt <= surge.startsAt) return surge.endsAt > fromAt && surge.endsAt <= untilAt ? 1 : 0;
  const overlapS = Math.min(surge.endsAt, untilAt) - Math.max(surge.startsAt, fromAt);
  return overlapS <= 0 ? 0 : overlapS / (surge.endsAt - surge.startsAt);
}

export function burstMoments(
  surge: KnownSurge,
  share: number,
  ratio: { readonly mean: number; readonly shape: number },
): { readonly meanKg: Kg; readonly varianceKg2: number } {
  const mean = ratio.mean * surge.expectedKg * share;
  return { meanKg: mean, varianceKg2: mean * mean * (1 / ratio.shape + EVENT_RELATIVE_VARIANCE) };
}
