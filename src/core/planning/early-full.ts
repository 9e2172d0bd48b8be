/**
 * Whether a van is full too early: the chance that what lies in it exceeds its payload or its load space. Mean and
 * variance of a trip's load are sums over its visits and a factor that all share; the load is then taken as gamma with
 * these two moments (methods: as for the store, `stock.ts`). Kilograms and litres rise and fall together, so that
 * "either" is less than the sum of both: their normal scores are joined with the correlation that the visits give, by
 * Plackett's identity (1954, Biometrika 41, 351-360) for the bivariate normal.
 */
import { gammaSf, normalCdf } from '../quantity/special.ts';
import type { Kg, Litres } from '../quantity/units.ts';

export type VisitLoad = { readonly massKg: Kg; readonly varianceKg2: number; readonly litresPerKg: number };
export type VanRoom = { readonly payloadKg: Kg; readonly loadSpaceL: Litres };

export type TripRisk = {
  /** P(full before the last stop): what the stops but the last one give is too much, 0 to 1. */
  readonly fullEarlyRisk: number;
  /** P(not everything fits): the whole trip's load is too much, 0 to 1. */
  readonly leftBehindRisk: number;
  /** What is reached first, most likely. */
  readonly fullBy: 'payload' | 'load-space';
};

/** Of one trip; `commonSd` is the relative standard deviation of the factor that all visits share. */
export function tripRisk(visits: readonly VisitLoad[], room: VanRoom, commonSd: number): TripRisk {
  const early = excessRisk(visits.slice(0, -1), room, commonSd);
  const whole = excessRisk(visits, room, commonSd);
  return {
    fullEarlyRisk: early.either,
    leftBehindRisk: whole.either,
    fullBy: whole.payload >= whole.loadSpace ? 'payload' : 'load-space',
  };
}

type ExcessRisk = { readonly payload: number; readonly loadSpace: number; readonly either: number };

function excessRisk(visits: readonly VisitLoad[], room: VanRoom, commonSd: number): ExcessRisk {
  let kg = 0;
  let kg2 = 0;
  let litres = 0;
  let litres2 = 0;
  let kgLitres = 0;
  for (const { massKg, varianceKg2, litresPerKg } of visits) {
    kg += massKg;
    kg2 += varianceKg2;
    litres += massKg * litresPerKg;
    litres2 += varianceKg2 * litresPerKg * litresPerKg;
    kgLitres += varianceKg2 * litresPerKg;
  }
  const common = commonSd * commonSd;
  kg2 += common * kg * kg;
  litres2 += common * litres * litres;
  kgLitres += common * kg * litres;
  const payload = exceeds(room.payloadKg, kg, kg2);
  const loadSpace = exceeds(room.loadSpaceL, litres, litres2);
  const correlation = kg2 > 0 && litres2 > 0 ? Math.min(1, kgLitres / Math.sqrt(kg2 * litres2)) : 1;
  return { payload, loadSpace, either: payload + loadSpace - both(payload, loadSpace, correlation) };
}

/** P(X > limit) of a gamma variable by two moments. */
function exceeds(limit: number, mean: number, variance: number): number {
  if (mean <= 0) return 0;
  if (variance * 1e8 < mean * mean) return mean > limit ? 1 : 0;
  return gammaSf(limit, (mean * mean) / variance, variance / mean);
}

/** Steps of Simpson's rule; the integrand is smooth but for correlations close to 1, which are cut off. */
const STEPS = 32;
const NEARLY_ONE = 0.9999;
const BEYOND = 1e-12;

/**
 * P(Z1 > a and Z2 > b) with P(Z1 > a) = p, P(Z2 > b) = q and correlation `rho` from 0 to 1:
 * p q + 1/(2 pi) * integral over t from 0 to asin(rho) of exp(-(a^2 + b^2 - 2 a b sin t) / (2 cos^2 t)).
 */
export function both(p: number, q: number, rho: number): number {
  const least = Math.min(p, q);
  if (least < BEYOND || Math.max(p, q) > 1 - BEYOND || rho >= NEARLY_ONE) return least;
  const a = upperScore(p);
  const b = upperScore(q);
  const until = Math.asin(Math.max(0, rho));
  let sum = 0;
  for (let k = 0; k <= STEPS; k++) {
    const t = (until * k) / STEPS;
    const cos2 = Math.cos(t) ** 2;
    const f = Math.exp(-(a * a + b * b - 2 * a * b * Math.sin(t)) / (2 * cos2));
    sum += (k === 0 || k === STEPS ? 1 : k % 2 === 1 ? 4 : 2) * f;
  }
  return Math.min(least, p * q + (sum * until) / STEPS / 3 / (2 * Math.PI));
}

/** z with P(Z > z) = p, by bisection. */
function upperScore(p: number): number {
  let low = -9;
  let high = 9;
  for (let i = 0; i < 60; i++) {
    const mid = (low + high) / 2;
    if (normalCdf(-mid) > p) low = mid;
    else high = mid;
  }
  return (low + high) / 2;
}
