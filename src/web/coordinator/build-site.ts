/** A site's forecast and its row in the register, from what is known of how it fills. */
import { fillAt, overflowRisk, quantileKg } from '../../core/accumulation/forecast.ts';
import { meanRateKg } from '../../core/accumulation/rate.ts';
import type { SiteModel } from '../../core/accumulation/site-model.ts';
import type { Instant, Kg, LocalDay, Seconds } from '../../core/quantity/units.ts';
import type { SiteKind } from '../../core/vocabulary.ts';
import { localDay } from '../shared/format.ts';
import type { ForecastPoint, SiteRow } from './site-view.ts';

const DAY_S: Seconds = 86_400;
/** Enough points for a smooth film over weeks, few enough to send. */
const POINTS = 60;
const AHEAD_S: Seconds = 14 * DAY_S;
/** A site that nobody visited for long is not drawn from then: the page would show nothing else. */
const BEHIND_S: Seconds = 42 * DAY_S;

/** From the last emptying to two weeks ahead, if nobody calls. One point stands exactly at `nowAt`. */
export function forecastOf(model: SiteModel, nowAt: Instant): ForecastPoint[] {
  const fromAt = Math.max(Math.min(model.emptiedAt, nowAt), nowAt - BEHIND_S);
  const untilAt = nowAt + AHEAD_S;
  const grid = Array.from({ length: POINTS + 1 }, (_, i) => fromAt + ((untilAt - fromAt) * i) / POINTS);
  return [...new Set([...grid, nowAt])].sort((a, b) => a - b).map((at) => forecastPoint(model, at));
}

function forecastPoint(model: SiteModel, at: Instant): ForecastPoint {
  const fill = fillAt(model, at);
  return {
    at,
    q025: quantileKg(fill, 0.025),
    q10: quantileKg(fill, 0.1),
    q25: quantileKg(fill, 0.25),
    q50: quantileKg(fill, 0.5),
    q75: quantileKg(fill, 0.75),
    q90: quantileKg(fill, 0.9),
    q975: quantileKg(fill, 0.975),
  };
}

/** The chance of standing over the brim a week from now, if nobody calls. */
export const riskInAWeek = (
  model: SiteModel,
  nowAt: Instant,
): { readonly overflowRisk: number; readonly riskDay: LocalDay } => ({
  overflowRisk: overflowRisk(fillAt(model, nowAt + 7 * DAY_S), model.capacityKg),
  riskDay: localDay(nowAt + 7 * DAY_S, model.exposure.zone),
});

/** Learnt rate in a normal week. */
export const kgPerWeek = (model: SiteModel): Kg => meanRateKg(model.rate) * (model.levelFactor ?? 1);

export type RegisterFacts = {
  readonly name: string;
  readonly kind: SiteKind;
  readonly district: string;
  readonly nextVisitAt?: Instant;
};

export function siteRow(model: SiteModel, facts: RegisterFacts, nowAt: Instant): SiteRow {
  const fill = fillAt(model, nowAt);
  /** More may have come than the container holds; what waits in it is at most its capacity. */
  const held = (p: number): Kg => Math.min(model.capacityKg, quantileKg(fill, p));
  const { lastWeighInAt } = model.basis;
  return {
    siteId: model.siteId,
    ...facts,
    capacityKg: model.capacityKg,
    medianKg: held(0.5),
    lowKg: held(0.1),
    highKg: held(0.9),
    besideKg: Math.max(0, quantileKg(fill, 0.9) - model.capacityKg),
    overflowRisk: riskInAWeek(model, nowAt).overflowRisk,
    ...(lastWeighInAt === undefined ? {} : { lastWeighInAt }),
  };
}

/** Most urgent first; then by name. */
export const byRisk = (a: SiteRow, b: SiteRow): number =>
  b.overflowRisk - a.overflowRisk || a.name.localeCompare(b.name);
