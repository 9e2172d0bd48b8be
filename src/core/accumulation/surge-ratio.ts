/** What announced events bring against what was announced, learnt per kind of event: the mean and shape of a gamma. */
import type { Kg } from '../quantity/units.ts';
import type { EventKind } from '../vocabulary.ts';
import type { Burst } from './evidence-rows.ts';

/** Events bring what was announced, give or take 40 %, until they have been seen to do otherwise. */
export const START_RATIO = { mean: 1, shape: 6 };
export type SurgeRatio = { mean: number; shape: number };

export function ratioOf(ratios: Map<EventKind, SurgeRatio>, kind: EventKind): SurgeRatio {
  const known = ratios.get(kind);
  if (known) return known;
  const fresh = { ...START_RATIO };
  ratios.set(kind, fresh);
  return fresh;
}

/**
 * A pickup that holds film of events: its mass is shared between the events and the daily flow in proportion to their
 * variances, and the events' part moves their ratios by as much as it counts.
 */
export function learnRatios(
  bursts: readonly Burst[],
  ratios: Map<EventKind, SurgeRatio>,
  accruedKg: Kg,
  baseKg: Kg,
  baseKg2: number,
  burstKg: Kg,
  burstKg2: number,
  weight: number,
): void {
  const eventShare = burstKg2 / (baseKg2 + burstKg2);
  const eventKg = Math.min(accruedKg, Math.max(0, burstKg + eventShare * (accruedKg - baseKg - burstKg)));
  for (const { surge, share } of bursts) {
    const ratio = ratioOf(ratios, surge.eventKind);
    const expected = surge.expectedKg * share;
    if (!(expected > 0)) continue;
    const part = eventKg * ((ratio.mean * expected) / burstKg);
    const news = 4 * weight * eventShare * share;
    const shape = ratio.shape + news;
    ratio.mean = (ratio.mean * ratio.shape + news * (part / expected)) / shape;
    ratio.shape = shape;
  }
}
