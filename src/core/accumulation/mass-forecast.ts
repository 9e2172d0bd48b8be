/**
 * A forecast of a mass as plain data: what is certain (`offsetKg`) plus a scaled F variable, that is
 * `scaleKg` × BetaPrime(alpha, beta). The name in the product is "scaled F": alpha gains with exposure, beta
 * with what is known of the rate. Everything asked of it is closed form: no sampling, microseconds an answer.
 *
 * Symbols (methods of the README): α = alpha = ν E, β = beta = A, S = scaleKg = B / ν.
 */
import { betaPrimeCdf, betaPrimeLogPdf, betaPrimeQuantile, betaPrimeSf } from '../quantity/special.ts';
import type { Kg } from '../quantity/units.ts';

export type MassForecast = {
  readonly offsetKg: Kg;
  /** 0 together with `alpha` 0: nothing accrues, the mass is `offsetKg`. */
  readonly scaleKg: Kg;
  readonly alpha: number;
  /** Above 2, so that mean and variance exist. */
  readonly beta: number;
};

export const certainKg = (kg: Kg): MassForecast => ({ offsetKg: kg, scaleKg: 0, alpha: 0, beta: 3 });

export function meanKg(f: MassForecast): Kg {
  return f.offsetKg + (f.scaleKg * f.alpha) / (f.beta - 1);
}

export function varianceKg2(f: MassForecast): number {
  if (f.alpha === 0) return 0;
  const m = (f.scaleKg * f.alpha) / (f.beta - 1);
  return (m * m * (f.alpha + f.beta - 1)) / (f.alpha * (f.beta - 2));
}

/** The mass below which the truth lies with probability `p`. */
export function quantileKg(f: MassForecast, p: number): Kg {
  if (f.alpha === 0) return f.offsetKg;
  return f.offsetKg + f.scaleKg * betaPrimeQuantile(p, f.alpha, f.beta);
}

/** P(mass <= kg). */
export function cdfKg(f: MassForecast, kg: Kg): number {
  if (f.alpha === 0) return kg >= f.offsetKg ? 1 : 0;
  return betaPrimeCdf((kg - f.offsetKg) / f.scaleKg, f.alpha, f.beta);
}

/** Log density at a mass above the offset; -Infinity below. */
export function logDensityKg(f: MassForecast, kg: Kg): number {
  if (f.alpha === 0 || kg <= f.offsetKg) return -Infinity;
  return betaPrimeLogPdf((kg - f.offsetKg) / f.scaleKg, f.alpha, f.beta) - Math.log(f.scaleKg);
}

/** P(mass > capacity). */
export function overflowRisk(f: MassForecast, capacityKg: Kg): number {
  if (f.alpha === 0) return f.offsetKg > capacityKg ? 1 : 0;
  return betaPrimeSf((capacityKg - f.offsetKg) / f.scaleKg, f.alpha, f.beta);
}

/** E(mass - capacity)+, kg that would not fit. */
export function expectedOverflowKg(f: MassForecast, capacityKg: Kg): Kg {
  const roomKg = capacityKg - f.offsetKg;
  const accrualKg = meanKg(f) - f.offsetKg;
  if (roomKg <= 0) return accrualKg - roomKg;
  if (f.alpha === 0) return 0;
  const x = roomKg / f.scaleKg;
  // E[Y; Y > c] of a beta-prime is its mean times the tail with one more success and one less failure.
  const over = accrualKg * betaPrimeSf(x, f.alpha + 1, f.beta - 1);
  return Math.max(0, over - roomKg * betaPrimeSf(x, f.alpha, f.beta));
}

/** Scaled F with a given mean and variance over `offsetKg`, keeping `beta` near `wantedBeta` where that can be. */
export function matchMoments(
  offsetKg: Kg,
  accrualMeanKg: Kg,
  accrualVarianceKg2: number,
  wantedBeta: number,
): MassForecast {
  if (!(accrualMeanKg > 0)) return certainKg(offsetKg);
  const cv2 = accrualVarianceKg2 / (accrualMeanKg * accrualMeanKg);
  if (!(cv2 > 1e-9)) return certainKg(offsetKg + accrualMeanKg);
  // cv² (β - 2) > 1 is needed for α > 0; raising β towards a gamma keeps the tail no heavier than it must be.
  const beta = Math.max(wantedBeta, 2 + 1.15 / cv2);
  const alpha = (beta - 1) / (cv2 * (beta - 2) - 1);
  return { offsetKg, scaleKg: (accrualMeanKg * (beta - 1)) / alpha, alpha, beta };
}

/** Moments of the part above the offset, given that the mass is above `kg` (>= offset): mean and variance of mass - kg. */
export function excessOver(
  f: MassForecast,
  kg: Kg,
): { readonly meanKg: Kg; readonly varianceKg2: number; readonly probability: number } {
  const roomKg = kg - f.offsetKg;
  if (f.alpha === 0 || roomKg <= 0)
    return { meanKg: Math.max(0, meanKg(f) - kg), varianceKg2: varianceKg2(f), probability: 1 };
  const x = roomKg / f.scaleKg;
  const probability = betaPrimeSf(x, f.alpha, f.beta);
  if (probability < 1e-280) return { meanKg: 0, varianceKg2: 0, probability };
  const first = (f.scaleKg * f.alpha) / (f.beta - 1);
  const second = (first * f.scaleKg * (f.alpha + 1)) / (f.beta - 2);
  const m1 = (first * betaPrimeSf(x, f.alpha + 1, f.beta - 1)) / probability;
  const m2 = (second * betaPrimeSf(x, f.alpha + 2, f.beta - 2)) / probability;
  return {
    meanKg: Math.max(0, m1 - roomKg),
    varianceKg2: Math.max(0, m2 - m1 * m1),
    probability,
  };
}
