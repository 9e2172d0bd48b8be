/**
 * Scores of a forecast against what came. CRPS (kg, less is better): Gneiting & Raftery (2007), "Strictly proper
 * scoring rules, prediction, and estimation", JASA 102:359-378; in closed form for the scaled F, with the Gini
 * coefficient of the beta of the second kind from McDonald (1984), Econometrica 52:647-663.
 */
import { betaPrimeCdf, lgamma } from '../quantity/special.ts';
import type { Kg } from '../quantity/units.ts';
import { cdfKg, type MassForecast, meanKg, overflowRisk } from './mass-forecast.ts';

/** Chance of reaching a brim below which it does not matter. */
const NEVER = 1e-4;

const logBeta = (a: number, b: number): number => lgamma(a) + lgamma(b) - lgamma(a + b);

/** CRPS = E|Y - y| - E|Y - Y'| / 2. */
export function crpsKg(f: MassForecast, kg: Kg): Kg {
  const y = kg - f.offsetKg;
  if (f.alpha === 0) return Math.abs(y);
  const mean = meanKg(f) - f.offsetKg;
  const x = y / f.scaleKg;
  const below = betaPrimeCdf(x, f.alpha, f.beta);
  const massBelow = mean * betaPrimeCdf(x, f.alpha + 1, f.beta - 1);
  const gini = (2 / f.alpha) * Math.exp(logBeta(2 * f.alpha, 2 * f.beta - 1) - 2 * logBeta(f.alpha, f.beta));
  return y * (2 * below - 1) + mean - 2 * massBelow - mean * gini;
}

/**
 * CRPS of a pickup out of a container that holds `brimKg`: of min(Y, brim), met by `kg` <= brim. By its definition,
 * ∫ (F - 1{x >= kg})² up to the brim, midpoints; the error stays below a hundredth of the score.
 */
export function crpsUnderBrimKg(f: MassForecast, kg: Kg, brimKg: Kg): Kg {
  // A brim that is never reached cuts nothing off; panels up to it would be too coarse to see the forecast at all.
  if (brimKg === Number.POSITIVE_INFINITY || overflowRisk(f, brimKg) < NEVER) return crpsKg(f, kg);
  return squares(f, kg, 0, 0) + squares(f, kg, brimKg, 1);
}

/** Panels grow away from `kg`, where the integrand is steepest. */
function squares(f: MassForecast, nearKg: Kg, farKg: Kg, step: 0 | 1): number {
  const panels = 32;
  const span = farKg - nearKg;
  let sum = 0;
  for (let i = 0; i < panels; i++) {
    const u = (i + 0.5) / panels;
    sum += (cdfKg(f, nearKg + u * u * span) - step) ** 2 * 2 * u;
  }
  return (sum / panels) * Math.abs(span);
}

/** CRPS of equally likely values, sorted. */
export function crpsOfValues(values: readonly number[], seen: number): number {
  const n = values.length;
  let distance = 0;
  let spread = 0;
  values.forEach((value, i) => {
    distance += Math.abs(value - seen);
    spread += (2 * i + 1 - n) * value;
  });
  return distance / n - spread / (n * n);
}
