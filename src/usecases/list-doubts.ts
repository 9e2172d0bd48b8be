/** Weigh-ins that do not fit what was expected, and that nobody has answered for yet. */
import type { Step } from '../core/accumulation/learn-workshop.ts';
import { quantileKg } from '../core/accumulation/mass-forecast.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { listConfirmations } from '../store/weigh-in-confirmations.ts';
import { learnFills, pastForecasts } from './learn-fills.ts';

export type Expected = {
  /** What the estimate takes the pickup for: weighed, or worked out from bags; of "found full" alone, the brim. */
  readonly kg: Kg;
  /** Four chances in five, as forecast just before. */
  readonly lowKg: Kg;
  readonly highKg: Kg;
};
export type Doubt = Expected & {
  readonly weighInId: string;
  readonly siteId: string;
  readonly at: Instant;
  /** How much it counts, 0 to 1. */
  readonly weight: number;
};

/** Newest first. */
export function listDoubts(db: Db): Doubt[] {
  const confirmed = listConfirmations(db);
  const doubts: Doubt[] = [];
  for (const [siteId, { basis }] of learnFills(db)) {
    const open = basis.doubted.filter(({ weighInId }) => !confirmed.has(weighInId));
    if (open.length === 0) continue;
    const steps = new Map(pastForecasts(db, siteId).map((step) => [step.evidenceId, step]));
    for (const { weighInId, at, weight } of open) {
      const step = steps.get(weighInId);
      if (step) doubts.push({ weighInId, siteId, at, weight, ...expectedOf(step) });
    }
  }
  return doubts.sort((a, b) => b.at - a.at || (a.weighInId < b.weighInId ? -1 : 1));
}

/**
 * What was expected of a pickup. No more than the containers hold, unless more was there: then nobody knows where
 * the brim is.
 */
export function expectedOf({ forecast, kg, capacityKg }: Step): Expected {
  const mostKg = kg <= capacityKg ? capacityKg : Number.POSITIVE_INFINITY;
  const at = (p: number): Kg => Math.min(mostKg, quantileKg(forecast, p));
  return { kg, lowKg: at(0.1), highKg: at(0.9) };
}
