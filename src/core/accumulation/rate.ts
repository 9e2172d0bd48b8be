/**
 * The state of one site: θ (kg per exposure-week) ~ InvGamma(a, b), that is 1/θ ~ Gamma(a, rate b). Forgetting,
 * the regular update, and the update by a lower bound (censored), all in closed form.
 */
import { betaPrimeLogSf, betaPrimeSf } from '../quantity/special.ts';
import type { Instant, Kg } from '../quantity/units.ts';
import type { FilterParameters, RateState } from './site-model.ts';

const WEEK_S = 7 * 86_400;
/** Least a: a coefficient of variation of 1. Most a: 5 %, so that a long calm history can still be moved. */
export const MIN_A = 3;
export const MAX_A = 400;

/** E θ, kg per exposure-week. */
export const meanRateKg = (rate: RateState): Kg => rate.b / (rate.a - 1);

/** ν E / (1 + ν E φ) with ν = 1 / (κ/θ + ω) at the mean of θ, over the site's `own` roughness: what a pickup is worth in gamma units of shape. */
export function shapeOf(parameters: FilterParameters, rateKg: Kg, weeks: number, own: number): number {
  const shape = weeks / ((parameters.granularityKg / rateKg + parameters.roughness) * own);
  return parameters.perPickup ? shape / (1 + shape * parameters.perPickup * own) : shape;
}

/** α: what a pickup after `exposure` weeks is worth in gamma units of shape. Its mass, given θ, has mean θ E. */
export const pickupShape = (parameters: FilterParameters, rate: RateState, exposure: number): number =>
  shapeOf(parameters, meanRateKg(rate), exposure, 1);

/** Precision that is left of `a` when `keep` of it survives; never below a = 3. */
export const forgotten = (a: number, keep: number): number => {
  const wanted = 1 + keep * (a - 1);
  return wanted >= MIN_A ? wanted : Math.min(a, MIN_A);
};

/** The state at a later instant: same mean, wider by δ per week. Never wider than a = 3. */
export function forgetTo(rate: RateState, at: Instant, parameters: FilterParameters): RateState {
  const weeks = (at - rate.asOf) / WEEK_S;
  if (weeks <= 0 || parameters.forgetPerWeek === 1) return rate;
  const a = forgotten(rate.a, parameters.forgetPerWeek ** weeks);
  return { a, b: (rate.b * (a - 1)) / (rate.a - 1), asOf: at };
}

/**
 * Posterior given only that the mass was above `kg`: the first two moments of 1/θ are matched exactly, no
 * iteration (assumed-density step). With Y | θ ~ Gamma(shape α, rate ν/θ):
 * E[τ^j | Y > c] = E[τ^j] · SF(c; α, a + j) / SF(c; α, a).
 */
export function censoredRate(rate: RateState, alpha: number, nu: number, kg: Kg): RateState {
  if (kg <= 0 || alpha <= 0) return rate;
  const x = (kg * nu) / rate.b;
  const tail0 = betaPrimeLogSf(x, alpha, rate.a);
  if (tail0 > -1e-12) return rate;
  const ratio1 = Math.exp(betaPrimeLogSf(x, alpha, rate.a + 1) - tail0);
  const ratio2 = Math.exp(betaPrimeLogSf(x, alpha, rate.a + 2) - tail0);
  return withMoments(rate, ratio1, ratio2);
}

/**
 * Posterior given that a donor said nothing, who says nothing for certain while the mass is below `kg` and with chance
 * `missedShare` above. The same step: E[τ^j | silence] = E[τ^j] · (1 - h SF(c; α, a + j)) / (1 - h SF(c; α, a)), h = 1 -
 * `missedShare`.
 */
export function silentRate(
  rate: RateState,
  alpha: number,
  nu: number,
  kg: Kg,
  missedShare: number,
): RateState {
  if (alpha <= 0 || kg <= 0) return rate;
  const x = (kg * nu) / rate.b;
  const quiet = (a: number): number => 1 - (1 - missedShare) * betaPrimeSf(x, alpha, a);
  const all = quiet(rate.a);
  if (!(all > 1e-9)) return rate;
  return withMoments(rate, quiet(rate.a + 1) / all, quiet(rate.a + 2) / all);
}

/** The state whose first two moments of 1/θ are these times what they were. */
function withMoments(rate: RateState, ratio1: number, ratio2: number): RateState {
  const m1 = (rate.a / rate.b) * ratio1;
  const m2 = ((rate.a * (rate.a + 1)) / (rate.b * rate.b)) * ratio2;
  const variance = m2 - m1 * m1;
  if (!(m1 > 0 && variance > 0)) return rate;
  const a = Math.min(MAX_A, Math.max(MIN_A, (m1 * m1) / variance));
  return { ...rate, a, b: a / m1 };
}
