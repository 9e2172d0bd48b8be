/**
 * What declared volumes are worth: donors as a group over- or under-declare, and scatter around that. Pooled by
 * empirical Bayes: log θ = log(declared) + bias + N(0, spread²); the spread by DerSimonian & Laird (1986),
 * "Meta-analysis in clinical trials", Controlled Clinical Trials 7:177-188, shrunk towards its start value.
 * A kind of site with enough donors has its own bias, and starts from everybody's.
 */
import type { Kg } from '../quantity/units.ts';
import type { SiteKind } from '../vocabulary.ts';
import type { FilterParameters } from './site-model.ts';

export type DeclaredBias = { readonly bias: number; readonly spread2: number };

/** What a site's weigh-ins came to so far, full containers and slips left out. */
export type SiteSum = { readonly kind: SiteKind; readonly declaredKg: Kg; kg: Kg; weeks: number };

/** Declarations are optimistic, by experience of the method's prototype only: an assumption, soon outweighed. */
export const START_BIAS: DeclaredBias = { bias: -0.2, spread2: 0.25 };
/** The start value of the spread counts as much as so many sites, that of the bias as one. */
const START_SITES = 6;
/** Less than this says nothing about a site's level. */
const LEAST_EXPOSURE = 0.8;
const LEAST_SITES_OF_KIND = 8;

export type DeclaredBiases = {
  readonly all: DeclaredBias;
  readonly byKind: ReadonlyMap<SiteKind, DeclaredBias>;
};

export function learnDeclaredBias(sums: Iterable<SiteSum>, parameters: FilterParameters): DeclaredBiases {
  const spoken = [...sums].filter(
    ({ declaredKg, kg, weeks }) => declaredKg > 0 && kg > 0 && weeks >= LEAST_EXPOSURE,
  );
  const all = biasOf(spoken, parameters, START_BIAS);
  const byKind = new Map<SiteKind, DeclaredBias>();
  for (const [kind, ofKind] of Map.groupBy(spoken, (sum) => sum.kind))
    if (ofKind.length >= LEAST_SITES_OF_KIND) byKind.set(kind, biasOf(ofKind, parameters, all));
  return { all, byKind };
}

function biasOf(sums: readonly SiteSum[], parameters: FilterParameters, start: DeclaredBias): DeclaredBias {
  const logs = sums.map(({ declaredKg, kg, weeks }) => {
    const rateKg = kg / weeks;
    const precision = 1 / (parameters.granularityKg / rateKg + parameters.roughness);
    return { value: Math.log(rateKg / declaredKg), variance: 1 / (precision * weeks) };
  });
  const spread2 = pooledSpread2(logs, start.spread2);
  let sum = start.bias / (spread2 + start.spread2);
  let weights = 1 / (spread2 + start.spread2);
  for (const { value, variance } of logs) {
    sum += value / (spread2 + variance);
    weights += 1 / (spread2 + variance);
  }
  return { bias: sum / weights, spread2 };
}

function pooledSpread2(
  logs: readonly { readonly value: number; readonly variance: number }[],
  startSpread2: number,
): number {
  const n = logs.length;
  if (n < 2) return startSpread2;
  let w = 0;
  let w2 = 0;
  let wx = 0;
  for (const { value, variance } of logs) {
    w += 1 / variance;
    w2 += 1 / variance ** 2;
    wx += value / variance;
  }
  const mean = wx / w;
  const q = logs.reduce((sum, { value, variance }) => sum + (value - mean) ** 2 / variance, 0);
  const between = Math.max(0, (q - (n - 1)) / (w - w2 / w));
  return Math.max(0.01, (n * between + START_SITES * startSpread2) / (n + START_SITES));
}
