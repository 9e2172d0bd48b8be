/** Densities and tails by which the readings of a pickup are weighed. */
import { betaPrimeLogPdf, betaPrimeLogSf } from '../quantity/special.ts';
import type { Kg } from '../quantity/units.ts';
import { censoredRate, shapeOf } from './rate.ts';
import type { FilterParameters } from './site-model.ts';

/** An odd value is somewhere within this many e-foldings of what was expected (half of them). */
const ODD_SPREAD = 1.2;

/** Log-Cauchy around what was expected: an odd value may be ten times too much or too little. */
export function oddAt(kg: Kg, expectedKg: Kg, nothingKg: Kg): number {
  const least = Math.max(nothingKg, 1e-3 * expectedKg);
  const u = Math.log((kg + least) / (expectedKg + least)) / ODD_SPREAD;
  return 1 / (Math.PI * ODD_SPREAD * (kg + least) * (1 + u * u));
}

/** Density of a scaled F; "next to nothing" is one outcome. */
export function densityAt(kg: Kg, alpha: number, beta: number, scaleKg: Kg, nothingKg: Kg): number {
  if (!(scaleKg > 0)) return 0;
  if (kg < nothingKg) return -Math.expm1(betaPrimeLogSf(nothingKg / scaleKg, alpha, beta)) / nothingKg;
  if (kg <= 0) return 0;
  return Math.exp(betaPrimeLogPdf(kg / scaleKg, alpha, beta)) / scaleKg;
}

/** P(more than `boundKg` accrued), by an opinion of mean `kg` a week and precision `a`. */
export function tail(
  p: FilterParameters,
  kg: Kg,
  a: number,
  weeks: number,
  own: number,
  boundKg: Kg,
): number {
  const alpha = shapeOf(p, kg, weeks, own);
  return Math.exp(betaPrimeLogSf((boundKg * alpha) / (kg * (a - 1) * weeks), alpha, a));
}

/** An opinion after the news that more than `boundKg` accrued. */
export function censor(
  p: FilterParameters,
  kg: Kg,
  a: number,
  weeks: number,
  own: number,
  boundKg: Kg,
): readonly [Kg, number] {
  const alpha = shapeOf(p, kg, weeks, own);
  const rate = censoredRate({ a, b: kg * (a - 1), asOf: 0 }, alpha, alpha / weeks, boundKg);
  return [rate.b / (rate.a - 1), rate.a];
}
