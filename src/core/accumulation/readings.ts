/**
 * One pickup under its readings (it fits; it is odd; the level has changed), weighed by Bayes' rule, and what each
 * leaves of the two opinions of the site's rate. Written for a loop over millions: one `Pickup` is filled in again and
 * again, nothing is made on the way.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import { censor, densityAt, oddAt, tail } from './densities.ts';
import { matchMoments } from './mass-forecast.ts';
import { MAX_A, MIN_A, shapeOf } from './rate.ts';
import type { FilterParameters } from './site-model.ts';

/** One weigh-in in so many is odd: a factor of ten, the wrong site, a burst that nobody announced. */
export const ODD_CHANCE = 0.03;
/** A level that has changed may be anything like this: coefficient of variation 0.7. */
const CHANGED_A = 4;
/** Below this weight a second opinion is dropped; above the other one it is believed. */
const LEAST_OTHER = 0.003;
const MOST_OTHER = 0.45;
/** So many changes of level end anywhere at all. */
const ANYWHERE = 0.03;
/** Containers bulge and film is pressed, but not to more than this many times what they hold. */
const MOST_PRESSED = 1.5;
/** Said to hold more than this many times what they do, they are not believed. */
const MOST_BELIEVED = 3;
/** A pickup within so many standard deviations of its forecast raises no question. */
const ORDINARY2 = 1.6 ** 2;
const WEEK_S = 7 * 86_400;

/** A pickup in hand. The opinions and `weight` are moved by the readings, all else is given. */
export type Pickup = {
  at: Instant;
  /** Weeks since the site was last learnt from, and exposure since it was emptied. */
  gap: number;
  weeks: number;
  /** NaN where no mass is known. */
  kg: Kg;
  relativeVariance: number;
  capacityKg: Kg;
  offsetKg: Kg;
  isFull: boolean;
  isConfirmed: boolean;
  /** The site's own roughness. */
  own: number;
  /** The usual opinion: mean rate and precision. */
  meanKg: Kg;
  a: number;
  /** The second opinion, its weight (0: there is none), and since when it holds that the level has changed. */
  otherKg: Kg;
  otherA: number;
  otherWeight: number;
  otherSinceAt: Instant;
  /** Both together, and what they expected of the daily flow: mean, shape and squared coefficient of variation. */
  bothKg: Kg;
  bothA: number;
  alpha: number;
  expectedKg: Kg;
  relative2: number;
  /** What announced events were expected to add: mean and variance. */
  burstKg: Kg;
  burstKg2: number;
  /** How far the value is believed, 0 to 1. */
  weight: number;
};

export const emptyPickup = (): Pickup => ({
  at: 0,
  gap: 0,
  weeks: 0,
  kg: 0,
  relativeVariance: 0,
  capacityKg: 0,
  offsetKg: 0,
  isFull: false,
  isConfirmed: false,
  own: 1,
  meanKg: 0,
  a: MIN_A,
  otherKg: 0,
  otherA: MIN_A,
  otherWeight: 0,
  otherSinceAt: 0,
  bothKg: 0,
  bothA: MIN_A,
  alpha: 0,
  expectedKg: 0,
  relative2: 0,
  burstKg: 0,
  burstKg2: 0,
  weight: 1,
});

/** Variance of what the daily flow was expected to bring, kg². */
export const flowVariance = (p: Pickup): number => p.expectedKg * p.expectedKg * p.relative2;

/** What came since the last emptying; where no mass is known, what the containers hold. */
export const accruedKg = (p: Pickup): Kg =>
  Number.isNaN(p.kg) ? p.capacityKg : Math.max(0, p.kg - p.offsetKg);

/** How likely it is, before the pickup is looked at, that the level has changed since the last. */
const changeChance = (p: Pickup, a: number, { changePerWeek = 0 }: FilterParameters): number =>
  a > CHANGED_A + 1 ? 1 - Math.exp(-changePerWeek * p.gap) : 0;

/**
 * A full container held no more than it did: a lower bound of what came. What was weighed is a better bound than a
 * nominal capacity.
 */
export function readFull(p: Pickup, parameters: FilterParameters): void {
  const isKnown = !Number.isNaN(p.kg);
  const fullKg = isKnown ? Math.min(p.kg, MOST_PRESSED * p.capacityKg) : p.capacityKg;
  if (isKnown && p.kg > MOST_BELIEVED * p.capacityKg && !p.isConfirmed) p.weight = ODD_CHANCE;
  const boundKg = Math.max(0, fullKg - p.offsetKg - p.burstKg);
  if (!(boundKg > 0)) return;
  const { weeks, own, meanKg, a, otherKg, otherA, otherWeight } = p;
  const isSurprise = boundKg > 1.5 * p.expectedKg || otherWeight > 0;
  const above = tail(parameters, meanKg, a, weeks, own, boundKg);
  // As surprising as an odd burst would make it: then it says nothing of the rate.
  const odd = 0.5 * ODD_CHANCE;
  if (above > odd) [p.meanKg, p.a] = censor(parameters, meanKg, a, weeks, own, boundKg);
  if (!isSurprise) return;
  const changed = changeChance(p, a, parameters);
  const changedAbove = changed > 0 ? tail(parameters, meanKg, CHANGED_A, weeks, own, boundKg) : 0;
  const otherAbove = otherWeight > 0 ? tail(parameters, otherKg, otherA, weeks, own, boundKg) : 0;
  const [oldKg, oldA] = otherWeight > 0 ? censor(parameters, otherKg, otherA, weeks, own, boundKg) : NOBODY;
  const [newKg, newA] = changed > 0 ? censor(parameters, meanKg, CHANGED_A, weeks, own, boundKg) : NOBODY;
  keepOther(
    p,
    (1 - otherWeight) * (1 - changed) * ((1 - ODD_CHANCE) * above + odd),
    otherWeight * ((1 - ODD_CHANCE) * otherAbove + odd),
    changed * changedAbove,
    oldKg,
    oldA,
    newKg,
    newA,
  );
}

/** A pickup that was weighed, counted or apportioned. */
export function readWeighed(p: Pickup, parameters: FilterParameters, nothingKg: Kg): void {
  const came = accruedKg(p);
  const { weeks, meanKg, a, burstKg } = p;
  const sd2 = flowVariance(p);
  let pureKg = came;
  let eventShare = 0;
  if (burstKg > 0) {
    // Share the surprise between the event and the daily flow in proportion to their variances.
    eventShare = p.burstKg2 / (sd2 + p.burstKg2);
    pureKg = came - Math.min(came, Math.max(0, burstKg + eventShare * (came - p.expectedKg - burstKg)));
  }
  const off = came - p.expectedKg - burstKg;
  const isOrdinary = off * off <= ORDINARY2 * (sd2 + p.burstKg2);
  const alpha = p.otherWeight > 0 ? shapeOf(parameters, meanKg, weeks, p.own) : p.alpha;
  let believed = 1;
  if (!isOrdinary || p.otherWeight > 0)
    believed =
      burstKg > 0
        ? believedWithEvents(p, came, sd2, nothingKg)
        : believedAndOther(p, parameters, came, alpha, isOrdinary, nothingKg);
  const gain = believed / (1 / (alpha * (1 - 0.7 * eventShare)) + p.relativeVariance);
  p.meanKg = (meanKg * (a - 1) + (gain * pureKg) / weeks) / (a - 1 + gain);
  p.a = Math.min(MAX_A, a + gain);
}

/** With events in it, a pickup is only told from an odd one. */
function believedWithEvents(p: Pickup, came: Kg, sd2: number, nothingKg: Kg): number {
  const oddChance = p.isConfirmed ? 0 : ODD_CHANCE;
  const odd = oddChance * oddAt(came, p.expectedKg + p.burstKg, nothingKg);
  const f = matchMoments(0, p.expectedKg + p.burstKg, sd2 + p.burstKg2, p.bothA);
  const fits = (1 - oddChance) * densityAt(came, f.alpha, f.beta, f.scaleKg, nothingKg);
  p.weight = fits / (fits + odd);
  return p.weight;
}

/** All readings: moves the second opinion, and says how far the usual one should believe the value. */
function believedAndOther(
  p: Pickup,
  parameters: FilterParameters,
  came: Kg,
  alpha: number,
  isOrdinary: boolean,
  nothingKg: Kg,
): number {
  const { weeks, own, meanKg, a, otherKg, otherA, otherWeight } = p;
  const oddChance = p.isConfirmed ? 0 : ODD_CHANCE;
  const odd = oddChance * oddAt(came, p.expectedKg, nothingKg);
  const byOpinion = (kg: Kg, precision: number, shape: number, share: number): number =>
    share * densityAt(came, shape, precision, (kg * (precision - 1) * weeks) / shape, nothingKg);

  const fits = byOpinion(meanKg, a, alpha, 1 - oddChance);
  const otherAlpha = otherWeight > 0 ? shapeOf(parameters, otherKg, weeks, own) : 0;
  const otherFits = otherWeight > 0 ? byOpinion(otherKg, otherA, otherAlpha, 1 - oddChance) : 0;
  const changed = isOrdinary ? 0 : changeChance(p, a, parameters);
  const near = changed > 0 ? byOpinion(meanKg, CHANGED_A, alpha, 1 - ANYWHERE) : 0;
  const anywhere = changed > 0 ? ANYWHERE * oddAt(came, p.expectedKg, nothingKg) : 0;
  const changedFits = Math.max(near, anywhere);

  const usual = (1 - otherWeight) * (1 - changed);
  const total = usual * (fits + odd) + otherWeight * (otherFits + odd) + changed * changedFits;
  p.weight = total > 0 ? (usual * fits + otherWeight * otherFits + changed * changedFits) / total : 0;

  // The value taken in by the second opinion, and by one that starts from it.
  let oldKg = otherKg;
  let oldA = otherA;
  if (otherWeight > 0) {
    const gain = shareOf(otherFits, odd) / (1 / otherAlpha + p.relativeVariance);
    oldKg = (otherKg * (otherA - 1) + (gain * came) / weeks) / (otherA - 1 + gain);
    oldA = Math.min(MAX_A, otherA + gain);
  }
  let [newKg, newA] = NOBODY;
  if (changed > 0) {
    const gain = 1 / (1 / alpha + p.relativeVariance);
    if (near >= anywhere) {
      newKg = (meanKg * (CHANGED_A - 1) + (gain * came) / weeks) / (CHANGED_A - 1 + gain);
      newA = CHANGED_A + gain;
    } else {
      newKg = Math.max(came, nothingKg, 1e-3 * p.expectedKg) / weeks;
      newA = MIN_A + gain;
    }
  }
  keepOther(
    p,
    usual * (fits + odd),
    otherWeight * (otherFits + odd),
    changed * changedFits,
    oldKg,
    oldA,
    newKg,
    newA,
  );
  return shareOf(fits, odd);
}

const shareOf = (fits: number, odd: number): number => (fits + odd > 0 ? fits / (fits + odd) : 0);
const NOBODY = [0, MIN_A] as const;

/** The second opinion after a pickup: the old one and a new one, by their weights, first two moments kept. */
function keepOther(
  p: Pickup,
  usual: number,
  old: number,
  fresh: number,
  oldKg: Kg,
  oldA: number,
  newKg: Kg,
  newA: number,
): void {
  const both = old + fresh;
  const weight = both / (usual + both);
  if (!(weight >= LEAST_OTHER)) {
    p.otherWeight = 0;
    p.otherKg = 0;
    p.otherA = MIN_A;
    p.otherSinceAt = 0;
    return;
  }
  p.otherWeight = weight;
  if (fresh > old) p.otherSinceAt = p.at - p.gap * WEEK_S;
  const share = fresh / both;
  if (share < 1e-6) {
    p.otherKg = oldKg;
    p.otherA = oldA;
  } else if (share > 1 - 1e-6) {
    p.otherKg = newKg;
    p.otherA = newA;
  } else [p.otherKg, p.otherA] = joined(oldKg, oldA, newKg, newA, share);
}

/** Mean and precision of the two opinions together: first two moments of the rate are kept. */
export function joined(
  kg: Kg,
  a: number,
  otherKg: Kg,
  otherA: number,
  weight: number,
): readonly [Kg, number] {
  const mean = (1 - weight) * kg + weight * otherKg;
  const square =
    (1 - weight) * kg * kg * (1 + 1 / Math.max(0.5, a - 2)) +
    weight * otherKg * otherKg * (1 + 1 / Math.max(0.5, otherA - 2));
  return [mean, Math.min(MAX_A, Math.max(MIN_A, 2 + 1 / (square / (mean * mean) - 1)))];
}

/** Believed: the second opinion becomes the usual one. True if so. */
export function believesOther(p: Pickup): boolean {
  if (p.otherWeight < MOST_OTHER) return false;
  p.meanKg = p.otherKg;
  p.a = p.otherA;
  p.otherWeight = 0;
  return true;
}
