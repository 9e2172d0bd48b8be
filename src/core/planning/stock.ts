/**
 * What the store and production make of a plan's arrivals, in money. Per grade k and day h, with X the usable
 * kilograms that have arrived by the end of day h and R what production has drawn beyond the stock at the start:
 *
 *   short by h   E(R - X)+ = R F(R; s) - m F(R; s + 1),   X ~ Gamma(shape s = m^2 / v, scale v / m)
 *   bought by h  the running maximum of that: film bought in stays in the store
 *   too much     E(X - R)+ = m - R + E(R - X)+, over all grades, against the store's limit
 *   at the end   stock up to `endCoverDays` of draw is worth `endValueShare` of its buying price
 *
 * The partial expectation of a gamma variable is textbook (e.g. Johnson, Kotz & Balakrishnan 1994, Continuous
 * Univariate Distributions 1, ch. 17). Sites are independent but for a common factor (`commonSd`); grade shares
 * are Dirichlet, so Var(Y p) = V (q^2 + u) + m^2 u with u = q (1 - q) / (concentration + 1). Film that arrives on
 * a day can be pressed on that day.
 */
import { gammaCdf, gammaQuantile, lgamma } from '../quantity/special.ts';
import type { Kg, Micros } from '../quantity/units.ts';
import type { StockDay } from './plan.ts';
import type { PlanningProblem } from './problem.ts';
import { quantum } from './quanta.ts';

/** Grades that production draws ("drawn"), and per site what a kilogram collected brings to each of them. */
export type StockModel = {
  readonly days: number;
  /** Index into `problem.grades` of each drawn grade. */
  readonly drawn: readonly number[];
  /** Numbers a day in an `Arrivals` array: drawn grades, then the total. */
  readonly columns: number;
  /** Drawn up to and including a day, per column, minus the stock at the start. */
  readonly need: Float64Array;
  readonly endCapKg: Float64Array;
  /** Per site and drawn grade: mean share, and the Dirichlet variance of the share. */
  readonly share: Float64Array;
  readonly shareVariance: Float64Array;
};

/** Mean and variance of what arrives, per day and column; dyadic, so that sums are exact. */
export type Arrivals = { readonly meanKg: Float64Array; readonly varianceKg2: Float64Array };

export type StockCost = {
  /** Cost by part, and per day. */
  shortage: Micros;
  storeOverflow: Micros;
  leftAtEnd: Micros;
  readonly shortageByDay: Float64Array;
  readonly storeOverflowByDay: Float64Array;
};

export function stockModel(problem: PlanningProblem): StockModel {
  const days = problem.days.length;
  const drawn = problem.grades.map((_, k) => k).filter((k) => problem.drawKg.some((row) => row[k]! > 0));
  const columns = drawn.length + 1;
  const need = new Float64Array(days * columns);
  const endCapKg = new Float64Array(drawn.length);
  drawn.forEach((grade, c) => {
    let sum = 0;
    for (let day = 0; day < days; day++) {
      sum += problem.drawKg[day]![grade]!;
      need[day * columns + c] = sum - problem.stockKg[grade]!;
    }
    endCapKg[c] = (problem.prices.endCoverDays * sum) / days;
  });
  const stockKg = problem.stockKg.reduce<number>((sum, kg) => sum + kg, 0);
  let drawnKg = 0;
  for (let day = 0; day < days; day++) {
    for (const kg of problem.drawKg[day]!) drawnKg += kg;
    need[day * columns + drawn.length] = drawnKg - stockKg;
  }
  const share = new Float64Array(problem.sites.length * drawn.length);
  const shareVariance = new Float64Array(share.length);
  problem.sites.forEach((site, i) => {
    drawn.forEach((grade, c) => {
      const q = site.model.gradeShares[problem.grades[grade]!] ?? 0;
      share[i * drawn.length + c] = q;
      shareVariance[i * drawn.length + c] = (q * (1 - q)) / (site.model.gradeConcentration + 1);
    });
  });
  return { days, drawn, columns, need, endCapKg, share, shareVariance };
}

export function noArrivals(model: StockModel): Arrivals {
  const size = model.days * model.columns;
  return { meanKg: new Float64Array(size), varianceKg2: new Float64Array(size) };
}

/** Adds (`sign` 1) or takes back (-1) what one visit brings. */
export function addArrival(
  arrivals: Arrivals,
  model: StockModel,
  usableShare: number,
  site: number,
  day: number,
  massKg: Kg,
  varianceKg2: number,
  sign: 1 | -1,
): void {
  const grades = model.drawn.length;
  const at = day * model.columns;
  const usableSquared = usableShare * usableShare;
  for (let c = 0; c < grades; c++) {
    const q = model.share[site * grades + c]!;
    if (q === 0) continue;
    const u = model.shareVariance[site * grades + c]!;
    arrivals.meanKg[at + c]! += sign * quantum(usableShare * massKg * q);
    arrivals.varianceKg2[at + c]! +=
      sign * quantum(usableSquared * (varianceKg2 * (q * q + u) + massKg * massKg * u));
  }
  arrivals.meanKg[at + grades]! += sign * quantum(usableShare * massKg);
  arrivals.varianceKg2[at + grades]! += sign * quantum(usableSquared * varianceKg2);
}

/** P(X <= need) and E(need - X)+ of a gamma variable by two moments; `out` = [probability, kg]. */
export function shortfall(needKg: Kg, meanKg: Kg, varianceKg2: number, out: Float64Array): void {
  if (needKg <= 0) {
    out[0] = 0;
    out[1] = 0;
  } else if (meanKg <= 0) {
    out[0] = 1;
    out[1] = needKg;
  } else if (varianceKg2 * 1e8 < meanKg * meanKg) {
    out[0] = needKg > meanKg ? 1 : 0;
    out[1] = Math.max(0, needKg - meanKg);
  } else {
    const shape = (meanKg * meanKg) / varianceKg2;
    const x = (needKg * meanKg) / varianceKg2;
    const below = gammaCdf(x, shape, 1);
    // F(x; s + 1) = F(x; s) - x^s e^-x / Gamma(s + 1), DLMF 8.8.5.
    const belowNext = Math.max(0, below - Math.exp(shape * Math.log(x) - x - lgamma(shape + 1)));
    out[0] = below;
    out[1] = Math.max(0, needKg - meanKg, needKg * below - meanKg * belowNext);
  }
}

const pair = new Float64Array(2);

/**
 * The stock's part of the objective. With `guide` (days x columns) also its slope: what one more usable kilogram
 * of a grade, arriving on a day, changes (micros per kg, negative is good).
 */
export function stockCost(
  problem: PlanningProblem,
  model: StockModel,
  arrivals: Arrivals,
  into: StockCost,
  guide?: Float64Array,
): StockCost {
  const { days, columns, drawn, need } = model;
  const { prices } = problem;
  const common = prices.commonSd * prices.commonSd;
  const grades = drawn.length;
  into.shortageByDay.fill(0);
  into.storeOverflowByDay.fill(0);
  into.shortage = 0;
  into.storeOverflow = 0;
  into.leftAtEnd = 0;
  guide?.fill(0);
  const boughtByDay = new Float64Array(days);

  for (let c = 0; c < grades; c++) {
    const price = problem.buyPriceMicrosPerKg[drawn[c]!]!;
    let mean = 0;
    let variance = 0;
    let bought = 0;
    let boughtMicros = 0;
    let worstDay = -1;
    let worstRisk = 0;
    for (let day = 0; day < days; day++) {
      const at = day * columns + c;
      mean += arrivals.meanKg[at]!;
      variance += arrivals.varianceKg2[at]!;
      shortfall(need[at]!, mean, variance + common * mean * mean, pair);
      if (pair[1]! > bought) {
        bought = pair[1]!;
        const micros = Math.round(price * bought);
        into.shortageByDay[day]! += micros - boughtMicros;
        boughtMicros = micros;
        worstDay = day;
        worstRisk = pair[0]!;
      }
      boughtByDay[day]! += bought;
    }
    into.shortage += boughtMicros;
    if (guide) for (let day = 0; day <= worstDay; day++) guide[day * columns + c]! -= price * worstRisk;

    // Stock at the end, bought film included, up to the cap.
    const needAtEnd = need[(days - 1) * columns + c]! - bought;
    const spread = variance + common * mean * mean;
    shortfall(needAtEnd, mean, spread, pair);
    const above = mean - needAtEnd + pair[1]!;
    const shortRisk = pair[0]!;
    shortfall(needAtEnd + model.endCapKg[c]!, mean, spread, pair);
    const beyond = mean - needAtEnd - model.endCapKg[c]! + pair[1]!;
    const worth = prices.endValueShare * price;
    into.leftAtEnd -= Math.round(worth * (above - beyond)) || 0;
    if (guide) {
      const slope = worth * (pair[0]! - shortRisk);
      // What is not bought in is not there at the end either.
      for (let day = 0; day < days; day++)
        guide[day * columns + c]! -= slope * (day <= worstDay ? 1 - worstRisk : 1);
    }
  }

  let mean = 0;
  let variance = 0;
  const tooMuchRisk = new Float64Array(days);
  for (let day = 0; day < days; day++) {
    const at = day * columns + grades;
    mean += arrivals.meanKg[at]!;
    variance += arrivals.varianceKg2[at]!;
    const room = problem.storeLimitKg + need[at]! - boughtByDay[day]!;
    shortfall(room, mean, variance + common * mean * mean, pair);
    const excess = Math.max(0, mean - room + pair[1]!);
    const micros = Math.round(prices.storeOverflowMicrosPerKgDay * excess);
    into.storeOverflowByDay[day] = micros;
    into.storeOverflow += micros;
    tooMuchRisk[day] = 1 - pair[0]!;
  }
  if (guide) {
    let slope = 0;
    for (let day = days - 1; day >= 0; day--) {
      slope += prices.storeOverflowMicrosPerKgDay * tooMuchRisk[day]!;
      guide[day * columns + grades] = slope;
    }
  }
  return into;
}

export function noStockCost(days: number): StockCost {
  return {
    shortage: 0,
    storeOverflow: 0,
    leftAtEnd: 0,
    shortageByDay: new Float64Array(days),
    storeOverflowByDay: new Float64Array(days),
  };
}

export type Collected = {
  readonly site: number;
  readonly day: number;
  readonly massKg: Kg;
  readonly varianceKg2: number;
};

/** The table that people read: every grade, every day, also those that nothing draws. */
export function stockDays(problem: PlanningProblem, collected: readonly Collected[]): StockDay[] {
  const { prices, sites, stockKg, drawKg } = problem;
  const common = prices.commonSd * prices.commonSd;
  const usable = 1 - prices.contaminationShare;
  const rows: StockDay[] = [];
  const grades = problem.grades.map(() => ({ mean: 0, variance: 0, bought: 0, drawn: 0 }));
  problem.days.forEach((day, h) => {
    const today = collected.filter((visit) => visit.day === h);
    problem.grades.forEach((grade, k) => {
      const g = grades[k]!;
      let arriving = 0;
      for (const { site, massKg, varianceKg2 } of today) {
        const { gradeShares, gradeConcentration } = sites[site]!.model;
        const q = gradeShares[grade] ?? 0;
        const u = (q * (1 - q)) / (gradeConcentration + 1);
        arriving += quantum(usable * massKg * q);
        g.variance += quantum(usable * usable * (varianceKg2 * (q * q + u) + massKg * massKg * u));
      }
      g.mean += arriving;
      g.drawn += drawKg[h]![k]!;
      const spread = g.variance + common * g.mean * g.mean;
      shortfall(g.drawn - stockKg[k]!, g.mean, spread, pair);
      const before = g.bought;
      g.bought = Math.max(before, pair[1]!);
      const base = stockKg[k]! - g.drawn + g.bought;
      const arrived = (p: number): Kg =>
        g.mean > 0 && spread > 0 ? gammaQuantile(p, (g.mean * g.mean) / spread, spread / g.mean) : g.mean;
      rows.push({
        day,
        grade,
        drawKg: grams(drawKg[h]![k]!),
        arrivingKg: grams(arriving),
        stockKg: grams(Math.max(0, base + g.mean)),
        lowKg: grams(Math.max(0, base + arrived(0.1))),
        highKg: grams(Math.max(0, base + arrived(0.9))),
        shortageRisk: Math.round(pair[0]! * 1e6) / 1e6,
        shortKg: grams(g.bought - before),
      });
    });
  });
  return rows;
}

const grams = (kg: Kg): Kg => Math.round(kg * 1000) / 1000 || 0;
