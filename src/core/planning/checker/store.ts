/** Shortage, a store too full, and stock at the end. */
import { gammaCdf, lgamma } from '../../quantity/special.ts';
import type { PlanningProblem } from '../problem.ts';
import type { Collected } from './faults.ts';
import { dyadic } from './masses.ts';
import type { MoneySums } from './sums.ts';

/** Shortage, store overflow and stock at the end, grade by grade, from gamma distributions with two moments. */
export function addStock(
  problem: PlanningProblem,
  collected: readonly Collected[],
  byDay: MoneySums[],
): void {
  const { prices, grades, sites } = problem;
  const days = byDay.length;
  const usable = 1 - prices.contaminationShare;
  const boughtByDay = problem.days.map(() => 0);
  grades.forEach((grade, k) => {
    const drawn = problem.drawKg.reduce((sum, row) => sum + row[k]!, 0);
    if (!problem.drawKg.some((row) => row[k]! > 0)) return;
    const price = problem.buyPriceMicrosPerKg[k]!;
    let mean = 0;
    let variance = 0;
    let drawnSoFar = 0;
    let bought = 0;
    for (let day = 0; day < days; day++) {
      for (const visit of collected) {
        if (visit.day !== day) continue;
        const { gradeShares, gradeConcentration } = sites[visit.site]!.model;
        const q = gradeShares[grade] ?? 0;
        if (q === 0) continue;
        const u = (q * (1 - q)) / (gradeConcentration + 1);
        mean += dyadic(usable * visit.kg * q);
        variance += dyadic(usable * usable * (visit.kg2 * (q * q + u) + visit.kg * visit.kg * u));
      }
      drawnSoFar += problem.drawKg[day]![k]!;
      const short = lacking(drawnSoFar - problem.stockKg[k]!, mean, spreadOf(problem, mean, variance));
      if (short > bought) {
        byDay[day]!.shortage += Math.round(price * short) - Math.round(price * bought);
        bought = short;
      }
      boughtByDay[day]! += bought;
    }
    const need = drawnSoFar - problem.stockKg[k]! - bought;
    const cap = (prices.endCoverDays * drawn) / days;
    const spread = spreadOf(problem, mean, variance);
    const above = mean - need + lacking(need, mean, spread);
    const beyond = mean - need - cap + lacking(need + cap, mean, spread);
    byDay[days - 1]!['left-at-end'] -= Math.round(prices.endValueShare * price * (above - beyond));
  });

  const stockKg = problem.stockKg.reduce<number>((sum, kg) => sum + kg, 0);
  let mean = 0;
  let variance = 0;
  let drawn = 0;
  for (let day = 0; day < days; day++) {
    for (const visit of collected) {
      if (visit.day !== day) continue;
      mean += dyadic(usable * visit.kg);
      variance += dyadic(usable * usable * visit.kg2);
    }
    for (const kg of problem.drawKg[day]!) drawn += kg;
    const room = problem.storeLimitKg + (drawn - stockKg) - boughtByDay[day]!;
    const excess = Math.max(0, mean - room + lacking(room, mean, spreadOf(problem, mean, variance)));
    byDay[day]!['store-overflow'] += Math.round(prices.storeOverflowMicrosPerKgDay * excess);
  }
}

const spreadOf = (problem: PlanningProblem, mean: number, variance: number): number =>
  variance + problem.prices.commonSd * problem.prices.commonSd * mean * mean;

/** E(need - X)+ for X gamma with this mean and variance. */
function lacking(need: number, mean: number, variance: number): number {
  if (need <= 0) return 0;
  if (mean <= 0) return need;
  if (variance * 1e8 < mean * mean) return Math.max(0, need - mean);
  const shape = (mean * mean) / variance;
  const x = (need * mean) / variance;
  const p = gammaCdf(x, shape, 1);
  const next = Math.max(0, p - Math.exp(shape * Math.log(x) - x - lgamma(shape + 1)));
  return Math.max(0, need - mean, need * p - mean * next);
}
