/**
 * What declared volumes are worth: donors as a group over- or under-declare, and scatter around that. Pooled by
 * empirical Bayes: log θ = log(declared) + bias + N(0, spread²); the spread by DerSimonian & Laird (1986),
 * "Meta-analysis in clinical trials", Controlled Clinical Trials 7:177-188, shrunk towards its start value.
 */
import { exposureBetween } from './exposure.ts';
import type { Observed } from './observe.ts';
import type { SiteHistory } from './site-history.ts';
import type { Exposure, FilterParameters } from './site-model.ts';

export type DeclaredBias = { readonly bias: number; readonly spread2: number };

/** Declarations are optimistic, by experience of the method's prototype only: an assumption, soon outweighed. */
export const START_BIAS: DeclaredBias = { bias: -0.2, spread2: 0.25 };
/** The start value of the spread counts as much as so many sites. */
const START_SITES = 6;
/** Less than this says nothing about a site's level. */
const LEAST_EXPOSURE = 0.8;

export function learnDeclaredBias(
  histories: readonly SiteHistory[],
  observed: Observed,
  exposures: ReadonlyMap<string, Exposure>,
  parameters: FilterParameters,
): DeclaredBias {
  const logs: { value: number; variance: number }[] = [];
  for (const history of histories) {
    const declaredKg = history.declaredBagsPerWeek * history.bagKg;
    if (!(declaredKg > 0)) continue;
    const { kg, weeks } = plainIntervals(history, observed, exposures.get(history.siteId)!);
    if (weeks < LEAST_EXPOSURE || !(kg > 0)) continue;
    const rateKg = kg / weeks;
    const precision = 1 / (parameters.granularityKg / rateKg + parameters.roughness);
    logs.push({ value: Math.log(rateKg / declaredKg), variance: 1 / (precision * weeks) });
  }
  const spread2 = pooledSpread2(logs);
  let sum = START_BIAS.bias / (spread2 + 0.25);
  let weights = 1 / (spread2 + 0.25);
  for (const { value, variance } of logs) {
    sum += value / (spread2 + variance);
    weights += 1 / (spread2 + variance);
  }
  return { bias: sum / weights, spread2 };
}

/** Mass and exposure of the intervals that were measured and not cut off by a full container. */
function plainIntervals(history: SiteHistory, observed: Observed, exposure: Exposure) {
  let kg = 0;
  let weeks = 0;
  let fromAt = history.isStartKnown ? history.fillsSinceAt : undefined;
  for (const evidence of history.evidence) {
    if (evidence.kind !== 'picked-up') continue;
    const mass = observed.masses.get(evidence.id);
    if (mass && !evidence.foundFull && fromAt !== undefined) {
      kg += mass.kg;
      weeks += exposureBetween(exposure, fromAt, evidence.at);
    }
    fromAt = evidence.at;
  }
  return { kg, weeks };
}

function pooledSpread2(logs: readonly { readonly value: number; readonly variance: number }[]): number {
  const n = logs.length;
  if (n < 2) return START_BIAS.spread2;
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
  return Math.max(0.01, (n * between + START_SITES * START_BIAS.spread2) / (n + START_SITES));
}
