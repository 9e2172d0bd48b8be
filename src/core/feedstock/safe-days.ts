/**
 * Days of production that stock and planned collections feed with some certainty. Cumulative arrivals are taken
 * as gamma by mean and variance, with a factor common to all sites (weather, season); short when they stay below
 * what production draws beyond stock. The deterministic count is `coverDays` in need.ts.
 */
import { gammaCdf } from '../quantity/special.ts';
import type { Kg } from '../quantity/units.ts';

export type Arriving = { readonly meanKg: Kg; readonly varianceKg2: number };

/** Chance of having run short by the end of each day, never falling from one day to the next. */
export function shortageRiskByDay(
  stockKg: Kg,
  drawKg: readonly Kg[],
  arriving: readonly Arriving[],
  commonSd: number,
): readonly number[] {
  let drawn = 0;
  let mean = 0;
  let variance = 0;
  let worst = 0;
  return drawKg.map((draw, day) => {
    drawn += draw;
    mean += arriving[day]?.meanKg ?? 0;
    variance += arriving[day]?.varianceKg2 ?? 0;
    const spread = variance + (commonSd * mean) ** 2;
    const neededKg = drawn - stockKg;
    const risk =
      neededKg <= 1e-9
        ? 0
        : mean <= 0 || spread <= 0
          ? mean + 1e-9 >= neededKg
            ? 0
            : 1
          : gammaCdf(neededKg, (mean * mean) / spread, spread / mean);
    worst = Math.max(worst, risk);
    return worst;
  });
}

/** How many days from the first go by with at most `riskLimit` of running short; all of them if none exceeds it. */
export function safeDays(
  stockKg: Kg,
  drawKg: readonly Kg[],
  arriving: readonly Arriving[],
  commonSd: number,
  riskLimit = 0.05,
): number {
  const risks = shortageRiskByDay(stockKg, drawKg, arriving, commonSd);
  const first = risks.findIndex((risk) => risk > riskLimit);
  return first < 0 ? risks.length : first;
}
