/** From simulated years to figures that can be compared: per tonne, with 95 % confidence intervals over the worlds. */
import { betaPrimeQuantile } from '../quantity/special.ts';
import type { YearResult } from './year-result.ts';

/** What is reported of a year; per tonne means per tonne collected. Days and events are counted over the scored days. */
export const FIGURES = [
  'kmPerTonne',
  'hoursPerTonne',
  'moneyPerTonne',
  'storeMoneyPerTonne',
  'overflowDays',
  'overflowEvents',
  'lostKg',
  'lostShare',
  'shortDays',
  'boughtInKg',
  'avoidableKg',
  'shortShare',
  'collectedKg',
  'stops',
  'calls',
  'changesPerVisit',
] as const;
export type Figure = (typeof FIGURES)[number];
export type Figures = { readonly [figure in Figure]: number };

export function figuresOf(year: YearResult): Figures {
  const tonnes = year.collectedKg / 1000;
  const per = (amount: number, of: number): number => (of > 0 ? amount / of : 0);
  return {
    kmPerTonne: per(year.distanceM / 1000, tonnes),
    hoursPerTonne: per(year.workS / 3600, tonnes),
    moneyPerTonne: per(year.costMicros / 1e6, tonnes),
    storeMoneyPerTonne: per(year.money['full-store'] / 1e6, tonnes),
    overflowDays: year.overflowDays,
    overflowEvents: year.overflowEvents,
    lostKg: year.lostKg,
    lostShare: per(year.lostKg, year.cameKg),
    shortDays: year.shortDays,
    boughtInKg: year.boughtInKg,
    avoidableKg: year.boughtInKg - year.unavoidableKg,
    shortShare: per(year.boughtInKg, year.neededKg),
    collectedKg: year.collectedKg,
    stops: year.stops,
    calls: year.calls,
    changesPerVisit: per(year.planChanges, year.plannedVisits),
  };
}

/** `low` and `high`: the 95 % interval of the mean; absent for a single world, which says nothing of others. */
export type Estimate = { readonly mean: number; readonly low?: number; readonly high?: number };

const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Half of Student's 95 % interval of a mean (Student 1908): t^2 / n is beta-prime(1/2, n/2) with n degrees of freedom. */
function halfWidth(values: readonly number[]): number {
  const n = values.length;
  const mean = meanOf(values);
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1);
  const t = Math.sqrt((n - 1) * betaPrimeQuantile(0.95, 0.5, (n - 1) / 2));
  return t * Math.sqrt(variance / n);
}

export function estimate(values: readonly number[]): Estimate {
  const mean = meanOf(values);
  if (values.length < 2) return { mean };
  const half = halfWidth(values);
  return { mean, low: mean - half, high: mean + half };
}

/**
 * Ratio of two means over the same worlds, with the interval that pairing gives: by linearisation its error is that of
 * the mean of y - r x, over the mean of x (Cochran 1977, Sampling Techniques, 3rd ed., section 6.3). Null where x is 0.
 */
export function pairedRatio(pairs: readonly (readonly [y: number, x: number])[]): Estimate | null {
  const x = meanOf(pairs.map((pair) => pair[1]));
  if (x === 0) return null;
  const mean = meanOf(pairs.map((pair) => pair[0])) / x;
  if (pairs.length < 2) return { mean };
  const half = halfWidth(pairs.map((pair) => pair[0] - mean * pair[1])) / x;
  return { mean, low: mean - half, high: mean + half };
}

export type PolicyReport = {
  readonly policy: string;
  readonly seeds: readonly number[];
  readonly figures: { readonly [figure in Figure]: Estimate };
};

export type Comparison = {
  readonly policy: string;
  readonly against: string;
  /** Ratio of the means over the same worlds; null where the other needs nothing of it. */
  readonly ratios: { readonly [figure in Figure]: number | null };
  /** The same with its paired 95 % interval. */
  readonly ratioEstimates: { readonly [figure in Figure]: Estimate | null };
  /** In how many of the worlds the policy needs less of it. */
  readonly lessIn: { readonly [figure in Figure]: number };
  readonly worlds: number;
};

const each = <T>(make: (figure: Figure) => T): { readonly [figure in Figure]: T } =>
  Object.fromEntries(FIGURES.map((figure) => [figure, make(figure)])) as { readonly [figure in Figure]: T };

/** One report a policy, and every policy against every other over the worlds that both have been through. */
export function compareYears(years: readonly YearResult[]): {
  readonly reports: readonly PolicyReport[];
  readonly comparisons: readonly Comparison[];
} {
  const byPolicy = Map.groupBy(years, (year) => year.policy);
  const reports = [...byPolicy].map(([policy, ofPolicy]): PolicyReport => {
    const all = ofPolicy.map(figuresOf);
    return {
      policy,
      seeds: ofPolicy.map((year) => year.seed),
      figures: each((figure) => estimate(all.map((figures) => figures[figure]))),
    };
  });
  const comparisons = [...byPolicy].flatMap(([policy, mine]) =>
    [...byPolicy].flatMap(([against, theirs]): Comparison | [] => {
      if (against === policy) return [];
      const pairs = mine.flatMap((year) => {
        const other = theirs.find((candidate) => candidate.seed === year.seed);
        return other ? [[figuresOf(year), figuresOf(other)] as const] : [];
      });
      if (pairs.length === 0) return [];
      const ratioEstimates = each((figure) => pairedRatio(pairs.map(([a, b]) => [a[figure], b[figure]])));
      return {
        policy,
        against,
        worlds: pairs.length,
        ratios: each((figure) => ratioEstimates[figure]?.mean ?? null),
        ratioEstimates,
        lessIn: each((figure) => pairs.filter(([a, b]) => a[figure] < b[figure]).length),
      };
    }),
  );
  return { reports, comparisons };
}
