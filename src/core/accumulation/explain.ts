/** The facts behind an estimate, as plain data. Sentences and pictures are made of them at the edge. */
import type { Instant, Kg } from '../quantity/units.ts';
import { exposureBetween } from './exposure.ts';
import { fillAt } from './forecast.ts';
import { meanKg, overflowRisk, quantileKg } from './mass-forecast.ts';
import { meanRateKg } from './rate.ts';
import type { SiteModel } from './site-model.ts';

const DAY_S = 86_400;
/** How far ahead "full by" is looked for. */
const HORIZON_DAYS = 120;

export type Explanation = {
  readonly at: Instant;
  readonly meanKg: Kg;
  readonly medianKg: Kg;
  readonly interval50Kg: readonly [Kg, Kg];
  readonly interval80Kg: readonly [Kg, Kg];
  readonly interval95Kg: readonly [Kg, Kg];
  readonly capacityKg: Kg;
  readonly overflowRisk: number;
  /** Film of a usual week, the level of all sites included. */
  readonly usualKgPerWeek: Kg;
  readonly weighIns: number;
  readonly lastWeighInDaysAgo?: number;
  readonly emptiedDaysAgo: number;
  readonly declaredBagsPerWeek: number;
  /** The usual week in bags of this site, to set beside what was declared. */
  readonly usualBagsPerWeek: number;
  /** Usual over declared; absent where nothing was declared. */
  readonly againstDeclared?: number;
  /** What the estimate rests on most. */
  readonly restsOn: 'declared' | 'weigh-ins' | 'report';
  /** Latest first: what moved the estimate beside the steady run of weigh-ins. */
  readonly moved: readonly Moved[];
  /** Days from `at` until the container is full with a chance of 10, 50 and 90 %; absent beyond 120 days. */
  readonly fullInDays: { readonly p10?: number; readonly p50?: number; readonly p90?: number };
};

export type Moved =
  | { readonly kind: 'report'; readonly at: Instant; readonly kg: Kg }
  | { readonly kind: 'level-change'; readonly at: Instant; readonly factor: number }
  | { readonly kind: 'doubted'; readonly at: Instant; readonly weighInId: string; readonly weight: number }
  | { readonly kind: 'surge'; readonly at: Instant; readonly expectedKg: Kg }
  | { readonly kind: 'closed'; readonly at: Instant; readonly shareOpen: number }
  | { readonly kind: 'level-of-all'; readonly at: Instant; readonly factor: number };

export function explainFill(model: SiteModel, at: Instant): Explanation {
  const fill = fillAt(model, at);
  const { basis } = model;
  const usualKgPerWeek = meanRateKg(model.rate) * (model.levelFactor ?? 1);
  const hasReport = model.atLeast !== undefined && model.atLeast.at <= at;
  const interval = (low: number): readonly [Kg, Kg] => [quantileKg(fill, low), quantileKg(fill, 1 - low)];
  return {
    at,
    meanKg: meanKg(fill),
    medianKg: quantileKg(fill, 0.5),
    interval50Kg: interval(0.25),
    interval80Kg: interval(0.1),
    interval95Kg: interval(0.025),
    capacityKg: model.capacityKg,
    overflowRisk: overflowRisk(fill, model.capacityKg),
    usualKgPerWeek,
    weighIns: basis.weighIns,
    ...(basis.lastWeighInAt === undefined ? {} : { lastWeighInDaysAgo: (at - basis.lastWeighInAt) / DAY_S }),
    emptiedDaysAgo: (at - model.emptiedAt) / DAY_S,
    declaredBagsPerWeek: basis.declaredBagsPerWeek,
    usualBagsPerWeek: usualKgPerWeek / model.bagKg,
    ...(basis.declaredKgPerWeek > 0 ? { againstDeclared: usualKgPerWeek / basis.declaredKgPerWeek } : {}),
    restsOn: hasReport ? 'report' : basis.weighIns === 0 ? 'declared' : 'weigh-ins',
    moved: movedBy(model, at),
    fullInDays: fullInDays(model, at),
  };
}

function movedBy(model: SiteModel, at: Instant): Moved[] {
  const moved: Moved[] = [];
  const { basis, atLeast } = model;
  if (atLeast && atLeast.at <= at) moved.push({ kind: 'report', at: atLeast.at, kg: atLeast.kg });
  if (basis.levelChange) moved.push({ kind: 'level-change', ...basis.levelChange });
  for (const { at: doubtedAt, weighInId, weight } of basis.doubted)
    moved.push({ kind: 'doubted', at: doubtedAt, weighInId, weight });
  for (const surge of model.surges)
    if (surge.startsAt < at && surge.endsAt > model.emptiedAt)
      moved.push({ kind: 'surge', at: surge.startsAt, expectedKg: surge.expectedKg });
  const open = exposureBetween(model.exposure, model.emptiedAt, at);
  const usual = exposureBetween(openOnly(model), model.emptiedAt, at);
  if (usual > 0 && open < usual - 1e-9)
    moved.push({ kind: 'closed', at: model.emptiedAt, shareOpen: open / usual });
  const factor = model.levelFactor ?? 1;
  if (Math.abs(factor - 1) >= 0.05) moved.push({ kind: 'level-of-all', at, factor });
  return moved.toSorted((a, b) => b.at - a.at);
}

/** The same profile without its closed days. Kept, so that its running sums are found again. */
const withoutClosures = new WeakMap<SiteModel['exposure'], SiteModel['exposure']>();
function openOnly({ exposure }: SiteModel): SiteModel['exposure'] {
  const known = withoutClosures.get(exposure);
  if (known) return known;
  const made = { ...exposure, closedDays: [] };
  withoutClosures.set(exposure, made);
  return made;
}

/** First times at which P(full) reaches 10, 50 and 90 %: bisection, since the chance only grows. */
function fullInDays(model: SiteModel, at: Instant): Explanation['fullInDays'] {
  const risk = (days: number) => overflowRisk(fillAt(model, at + days * DAY_S), model.capacityKg);
  const when = (chance: number): number | undefined => {
    if (risk(0) >= chance) return 0;
    if (risk(HORIZON_DAYS) < chance) return undefined;
    let low = 0;
    let high = HORIZON_DAYS;
    while (high - low > 0.01) {
      const middle = (low + high) / 2;
      if (risk(middle) < chance) low = middle;
      else high = middle;
    }
    return high;
  };
  const [p10, p50, p90] = [when(0.1), when(0.5), when(0.9)];
  return {
    ...(p10 === undefined ? {} : { p10 }),
    ...(p50 === undefined ? {} : { p50 }),
    ...(p90 === undefined ? {} : { p90 }),
  };
}
