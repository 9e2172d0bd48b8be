/**
 * What declared volumes are worth: donors as a group over- or under-declare, and scatter around that. Pooled by
 * empirical Bayes: log θ = log(declared) + bias + N(0, spread²); the spread by DerSimonian & Laird (1986),
 * "Meta-analysis in clinical trials", Controlled Clinical Trials 7:177-188, shrunk towards its start value.
 * A kind of site with enough donors has its own bias, and starts from everybody's.
 */
import type { Kg } from '../quantity/units.ts';
import type { SiteKind } from '../vocabulary.ts';
import type { FilterParameters } from './site-model.ts';

export type DeclaredBias = {
  /** Mean of the log ratio, and how sure it is. */
  readonly bias: number;
  readonly biasVariance: number;
  /** Variance of sites around it. */
  readonly spread2: number;
};

/** What a site's weigh-ins came to so far, full containers and slips left out. */
export type SiteSum = { readonly kind: SiteKind; readonly declaredKg: Kg; kg: Kg; weeks: number };

/** Declarations are optimistic, by experience of the method's prototype only: an assumption, soon outweighed. */
export const START_BIAS: DeclaredBias = { bias: -0.2, biasVariance: 0.1, spread2: 0.3 };
/** The start value of the spread counts as much as so many sites. */
const START_SITES = 6;
/** Less than this says nothing about a site's level. */
const LEAST_EXPOSURE = 0.8;
const LEAST_SITES_OF_KIND = 8;

export type DeclaredBiases = {
  readonly all: DeclaredBias;
  readonly byKind: ReadonlyMap<SiteKind, DeclaredBias>;
  /** For a site that declared nothing: mean and spread² of the log rate (kg a week) of sites like it. */
  readonly undeclared: (kind: SiteKind) => DeclaredBias;
};

/** A site of which nothing at all is known, nor of any like it: 8 kg a week, give or take a factor of 2.7. */
const UNKNOWN: DeclaredBias = { bias: Math.log(8), biasVariance: 1, spread2: 1 };

export function learnDeclaredBias(sums: readonly SiteSum[], parameters: FilterParameters): DeclaredBiases {
  const spoken = sums.filter(({ kg, weeks }) => kg > 0 && weeks >= LEAST_EXPOSURE);
  const declaring = spoken.filter(({ declaredKg }) => declaredKg > 0);
  const all = biasOf(declaring, parameters, START_BIAS);
  const byKind = new Map<SiteKind, DeclaredBias>();
  for (const [kind, ofKind] of Map.groupBy(declaring, (sum) => sum.kind))
    if (ofKind.length >= LEAST_SITES_OF_KIND) byKind.set(kind, biasOf(ofKind, parameters, all));
  const levels = new Map<SiteKind, DeclaredBias>();
  const undeclared = (kind: SiteKind): DeclaredBias => {
    const known = levels.get(kind);
    if (known) return known;
    const level = levelOfKind(kind, sums, spoken, parameters, byKind.get(kind) ?? all);
    levels.set(kind, level);
    return level;
  };
  return { all, byKind, undeclared };
}

/** What sites of a kind bring, whatever they declared; before any was weighed, what those of the kind declared. */
function levelOfKind(
  kind: SiteKind,
  sums: readonly SiteSum[],
  spoken: readonly SiteSum[],
  parameters: FilterParameters,
  bias: DeclaredBias,
): DeclaredBias {
  const declared = sums.filter((sum) => sum.kind === kind && sum.declaredKg > 0);
  const start =
    declared.length === 0
      ? UNKNOWN
      : {
          bias:
            bias.bias + declared.reduce((sum, one) => sum + Math.log(one.declaredKg), 0) / declared.length,
          biasVariance: 0.3,
          spread2: 0.5,
        };
  const like = spoken.filter((sum) => sum.kind === kind).map((sum) => ({ ...sum, declaredKg: 1 }));
  return biasOf(like, parameters, start);
}

function biasOf(sums: readonly SiteSum[], parameters: FilterParameters, start: DeclaredBias): DeclaredBias {
  const logs = sums.map(({ declaredKg, kg, weeks }) => {
    const rateKg = kg / weeks;
    const precision = 1 / (parameters.granularityKg / rateKg + parameters.roughness);
    return { value: Math.log(rateKg / declaredKg), variance: 1 / (precision * weeks) };
  });
  const spread2 = pooledSpread2(logs, start.spread2);
  let sum = start.bias / start.biasVariance;
  let weights = 1 / start.biasVariance;
  for (const { value, variance } of logs) {
    sum += value / (spread2 + variance);
    weights += 1 / (spread2 + variance);
  }
  return { bias: sum / weights, biasVariance: 1 / weights, spread2 };
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
