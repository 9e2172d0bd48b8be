/**
 * The filter: one pass over rows of evidence in order of time. Every site has two opinions of its rate: the usual
 * one, and a second one that holds that the level has changed lately. Each pickup is weighed under three readings
 * (it fits; it is odd, by a slip of the pen or an unannounced burst; the level has changed) by Bayes' rule, as in
 * the multi-process models of West & Harrison, _Bayesian Forecasting and Dynamic Models_, ch. 12 (from memory).
 * Formulas: README of this folder. States live in flat arrays, so that a million pickups take about a second.
 */
import { betaPrimeLogPdf, betaPrimeLogSf } from '../quantity/special.ts';
import type { Instant, Kg } from '../quantity/units.ts';
import type { EventKind } from '../vocabulary.ts';
import { type Burst, type EvidenceRows, FLAG, ROW } from './evidence-rows.ts';
import { burstMoments } from './forecast.ts';
import { excessOver, type MassForecast, matchMoments, meanKg, varianceKg2 } from './mass-forecast.ts';
import { censoredRate, MAX_A, MIN_A } from './rate.ts';
import type { FilterParameters } from './site-model.ts';

/** Places of a site's numbers. */
export const STATE = {
  /** The usual opinion: mean rate, kg per exposure-week, and its precision (see `RateState`). */
  meanKg: 0,
  a: 1,
  /** The second opinion, its weight (0: there is none), and since when it holds that the level has changed. */
  otherKg: 2,
  otherA: 3,
  otherWeight: 4,
  otherSinceAt: 5,
  /** Last change of level that was believed: since when (NaN: never), and the mean rate before it. */
  changedAt: 6,
  changedFromKg: 7,
  /** Pickups and "nothing there". */
  weighIns: 8,
  lastAt: 9,
  /** Sum of what was weighed, and of its exposure: what a declaration was worth. */
  sumKg: 10,
  sumWeeks: 11,
  /** This site's own roughness, and the log likelihood of each of `ROUGHNESSES` (seven from `roughnessLog` on). */
  own: 12,
  /** Usual mass of a pickup, on the log scale: weighted sum and weight. */
  logMass: 13,
  logMassWeight: 14,
  /** A report of the least fill since the last emptying: kg and when (NaN: none). */
  saidKg: 15,
  saidAt: 16,
  /** Mean rate when the second opinion came up. */
  otherFromKg: 17,
  roughnessLog: 18,
  size: 25,
} as const;

/** A site may be so many times as rough as all sites are. */
const ROUGHNESSES = [0.45, 0.67, 1, 1.5, 2.2, 3.3, 5];
/** Older pickups tell less of it. */
const ROUGHNESS_KEEP = 0.97;

/** One weigh-in in so many is odd: a factor of ten, the wrong site, a burst that nobody announced. */
const ODD_CHANCE = 0.03;
/** An odd value is somewhere within this many e-foldings of what was expected (half of them). */
const ODD_SPREAD = 1.2;
/** A level that has changed may be anything like this: coefficient of variation 0.7. */
const CHANGED_A = 4;
/** Below this weight a second opinion is dropped; above the other one it is believed. */
const LEAST_OTHER = 0.003;
const MOST_OTHER = 0.45;
/** From this weight on it is heard in a forecast. */
const HEARD_OTHER = 0.02;
/** So many changes of level end anywhere at all. */
const ANYWHERE = 0.03;
/** Containers bulge and film is pressed, but not to more than this many times what they hold. */
const MOST_PRESSED = 1.5;
/** A pickup within so many standard deviations of its forecast raises no question. */
const ORDINARY2 = 1.6 ** 2;
/** How fast the usual mass of a pickup follows. */
const LOG_MASS_KEEP = 0.8;

/** Level of all sites together: how fast old weeks fade, and how many pickups it takes to move it. */
const LEVEL_KEEP_PER_WEEK = 0.7;
const LEVEL_PRIOR_PICKUPS = 20;
const WEEK_S = 7 * 86_400;

/** Events bring what was announced, give or take 40 %, until they have been seen to do otherwise. */
export const START_RATIO = { mean: 1, shape: 6 };
export type SurgeRatio = { mean: number; shape: number };

/** How far all sites together are above what was forecast for them, and what that rests on. */
export type Level = { seenKg: Kg; forecastKg: Kg; at: Instant; pickupKg: Kg; pickups: number };

export type Filter = {
  readonly parameters: FilterParameters;
  /** Sites × `STATE.size`. */
  readonly states: Float64Array;
  readonly level: Level;
  readonly ratios: Map<EventKind, SurgeRatio>;
  /** Rows that were counted at less than half their weight, in order of time. */
  readonly doubted: { readonly row: number; readonly weight: number }[];
};

/** What was forecast just before each row, level included: rows × 4 (offset, scale, alpha, beta), and its weight. */
export type Said = { readonly forecasts: Float64Array; readonly weights: Float64Array };

export function newFilter(sites: number, parameters: FilterParameters): Filter {
  const states = new Float64Array(sites * STATE.size);
  for (let s = 0; s < sites; s++) {
    states[s * STATE.size + STATE.changedAt] = Number.NaN;
    states[s * STATE.size + STATE.saidAt] = Number.NaN;
    states[s * STATE.size + STATE.lastAt] = Number.NaN;
    states[s * STATE.size + STATE.own] = 1;
  }
  return {
    parameters,
    states,
    level: { seenKg: 0, forecastKg: 0, at: Number.NaN, pickupKg: 0, pickups: 0 },
    ratios: new Map(),
    doubted: [],
  };
}

export const levelFactor = ({ seenKg, forecastKg, pickupKg, pickups }: Level): number => {
  const priorKg = pickups === 0 ? 1 : (LEVEL_PRIOR_PICKUPS * pickupKg) / pickups;
  return (priorKg + seenKg) / (priorKg + forecastKg);
};

/** ν E / (1 + ν E φ), times the site's own roughness: what a pickup is worth in gamma units of shape. */
export function shapeOf(parameters: FilterParameters, rateKg: Kg, weeks: number, own: number): number {
  const shape = weeks / ((parameters.granularityKg / rateKg + parameters.roughness) * own);
  return parameters.perPickup ? shape / (1 + shape * parameters.perPickup * own) : shape;
}

/** Learns a site's own roughness: the likelihood of each candidate, held by how much sites differ (log-normal). */
function learnRoughness(
  parameters: FilterParameters,
  states: Float64Array,
  st: number,
  accruedKg: Kg,
  rateKg: Kg,
  a: number,
  weeks: number,
  nothingKg: Kg,
): void {
  const spread = parameters.roughnessSpread!;
  const odd = ODD_CHANCE * oddAt(accruedKg, rateKg * weeks, nothingKg);
  let most = -Infinity;
  for (let j = 0; j < ROUGHNESSES.length; j++) {
    const alpha = shapeOf(parameters, rateKg, weeks, ROUGHNESSES[j]!);
    const fits = densityAt(accruedKg, alpha, a, (rateKg * (a - 1) * weeks) / alpha, nothingKg);
    const at = st + STATE.roughnessLog + j;
    states[at] = ROUGHNESS_KEEP * states[at]! + Math.log((1 - ODD_CHANCE) * fits + odd);
    most = Math.max(most, states[at]! - 0.5 * (Math.log(ROUGHNESSES[j]!) / spread) ** 2);
  }
  let sum = 0;
  let log = 0;
  for (let j = 0; j < ROUGHNESSES.length; j++) {
    const own = Math.log(ROUGHNESSES[j]!);
    const p = Math.exp(states[st + STATE.roughnessLog + j]! - 0.5 * (own / spread) ** 2 - most);
    sum += p;
    log += p * own;
  }
  states[st + STATE.own] = Math.exp(log / sum);
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

export const forgotten = (a: number, keep: number): number => {
  const wanted = 1 + keep * (a - 1);
  return wanted >= MIN_A ? wanted : Math.min(a, MIN_A);
};

/**
 * Takes all rows before `untilAt` in. `start` gives a site's mean and precision when its first row comes; `said`, where given,
 * receives what was forecast for each row just before it.
 */
export function runFilter(
  filter: Filter,
  rows: EvidenceRows,
  start: (site: number, at: Instant) => readonly [Kg, number],
  said?: Said,
  untilAt: Instant = Number.POSITIVE_INFINITY,
): void {
  const { parameters, states, level, ratios } = filter;
  const { cells, inOrder, count } = rows;
  const logForget = Math.log(parameters.forgetPerWeek);
  const changePerWeek = parameters.changePerWeek ?? 0;
  const nothingKg = parameters.granularityKg / 10;
  const hasOwn = parameters.roughnessSpread !== undefined;
  const habit2 = parameters.habitSpread === undefined ? Infinity : parameters.habitSpread ** 2;

  for (let i = 0; i < count; i++) {
    const row = inOrder[i]!;
    const c = row * ROW.size;
    const st = cells[c + ROW.site]! * STATE.size;
    const at = cells[c + ROW.at]!;
    if (at >= untilAt) break;
    const flags = cells[c + ROW.flags]!;
    if (said) said.forecasts[row * 4 + 2] = Number.NaN;
    if (flags & FLAG.report) {
      // Said before a pickup that came later in the day, it tells of the container as it was.
      if (!(at < states[st + STATE.lastAt]!)) {
        states[st + STATE.saidKg] = cells[c + ROW.saidKg]!;
        states[st + STATE.saidAt] = at;
      }
      continue;
    }
    if (states[st + STATE.weighIns] === 0) {
      const [kg, a] = start(cells[c + ROW.site]!, at);
      states[st + STATE.meanKg] = kg;
      states[st + STATE.a] = a;
    }
    const weighIns = ++states[st + STATE.weighIns]!;
    states[st + STATE.lastAt] = at;
    const saidKg = states[st + STATE.saidAt]! <= at ? states[st + STATE.saidKg]! : 0;
    states[st + STATE.saidAt] = Number.NaN;
    if (!(flags & FLAG.useful)) {
      if (said) said.weights[row] = 1;
      continue;
    }

    const beforeKg = states[st + STATE.meanKg]!;
    const beforeOther = states[st + STATE.otherWeight]!;
    const beforeSinceAt = states[st + STATE.otherSinceAt]!;
    // Forgetting since the last time.
    const keep = Math.exp(cells[c + ROW.gap]! * logForget);
    let kg = states[st + STATE.meanKg]!;
    let a = forgotten(states[st + STATE.a]!, keep);
    let other = states[st + STATE.otherWeight]!;
    let otherKg = states[st + STATE.otherKg]!;
    let otherA = other > 0 ? forgotten(states[st + STATE.otherA]!, keep) : 3;

    // What was forecast.
    const weeks = cells[c + ROW.weeks]!;
    const own = hasOwn ? states[st + STATE.own]! : 1;
    let bothKg = kg;
    let bothA = a;
    if (other >= HEARD_OTHER) [bothKg, bothA] = joined(kg, a, otherKg, otherA, other);
    const alpha = shapeOf(parameters, bothKg, weeks, own);
    const offsetKg = cells[c + ROW.offsetKg]!;
    const expectedKg = bothKg * weeks;
    const relative2 = weeks > 0 ? (alpha + bothA - 1) / (alpha * (bothA - 2)) : 0;
    const bursts = rows.bursts.size > 0 ? rows.bursts.get(row) : undefined;
    let burstKg = 0;
    let burstKg2 = 0;
    if (bursts)
      for (const { surge, share } of bursts) {
        const one = burstMoments(surge, share, ratioOf(ratios, surge.eventKind));
        burstKg += one.meanKg;
        burstKg2 += one.varianceKg2;
      }
    const capacityKg = cells[c + ROW.capacityKg]!;
    const isFull = (flags & FLAG.full) !== 0;
    const pickedKg = cells[c + ROW.kg]!;
    const isKnown = !Number.isNaN(pickedKg);
    const factor = levelFactor(level);

    if (said) {
      const f = toldForecast(
        offsetKg,
        expectedKg,
        relative2,
        bothA,
        alpha,
        factor,
        burstKg,
        burstKg2,
        saidKg,
      );
      const told =
        habit2 === Infinity
          ? f
          : habitual(f, habit2, states[st + STATE.logMass]!, states[st + STATE.logMassWeight]!);
      said.forecasts[row * 4] = told.offsetKg;
      said.forecasts[row * 4 + 1] = told.scaleKg;
      said.forecasts[row * 4 + 2] = told.alpha;
      said.forecasts[row * 4 + 3] = told.beta;
    }

    let weight = 1;
    const accruedKg = isKnown ? Math.max(0, pickedKg - offsetKg) : capacityKg;
    if (weeks <= 0) {
      // Only an event can have brought anything; it is judged below.
    } else if (isFull || !isKnown) {
      // The container held no more: a lower bound. What was weighed is a better bound than a nominal capacity.
      const fullKg = isKnown ? Math.min(pickedKg, MOST_PRESSED * capacityKg) : capacityKg;
      if (isKnown && pickedKg > 3 * capacityKg && !(flags & FLAG.confirmed)) weight = ODD_CHANCE;
      const boundKg = Math.max(0, fullKg - offsetKg - burstKg);
      if (boundKg > 0) {
        const asked = boundKg > 1.5 * expectedKg || other > 0;
        const above = tail(parameters, kg, a, weeks, own, boundKg);
        const otherAbove = other > 0 ? tail(parameters, otherKg, otherA, weeks, own, boundKg) : 0;
        const fresh = asked && a > CHANGED_A + 1 ? 1 - Math.exp(-changePerWeek * cells[c + ROW.gap]!) : 0;
        const freshAbove = fresh > 0 ? tail(parameters, kg, CHANGED_A, weeks, own, boundKg) : 0;
        const before = kg;
        // As surprising as an odd burst would make it: then it says nothing of the rate.
        const odd = 0.5 * ODD_CHANCE;
        if (above > odd) [kg, a] = censor(parameters, kg, a, weeks, own, boundKg);
        if (asked) {
          const [o1, oa1] = other > 0 ? censor(parameters, otherKg, otherA, weeks, own, boundKg) : [0, 3];
          const [f1, fa1] = fresh > 0 ? censor(parameters, before, CHANGED_A, weeks, own, boundKg) : [0, 3];
          mergeOther(
            (1 - other) * (1 - fresh) * ((1 - ODD_CHANCE) * above + odd),
            other * ((1 - ODD_CHANCE) * otherAbove + odd),
            fresh * freshAbove,
            o1,
            oa1,
            f1,
            fa1,
            at - cells[c + ROW.gap]! * WEEK_S,
            states[st + STATE.otherSinceAt]!,
          );
          other = merged.weight;
          otherKg = merged.kg;
          otherA = merged.a;
          states[st + STATE.otherSinceAt] = merged.sinceAt;
        }
      }
    } else {
      let pureKg = accruedKg;
      let eventShare = 0;
      const sd2 = expectedKg * expectedKg * relative2;
      if (burstKg > 0) {
        // Share the surprise between the event and the daily flow in proportion to their variances.
        eventShare = burstKg2 / (sd2 + burstKg2);
        pureKg =
          accruedKg -
          Math.min(accruedKg, Math.max(0, burstKg + eventShare * (accruedKg - expectedKg - burstKg)));
      }
      const off = accruedKg - expectedKg - burstKg;
      const isOrdinary = off * off <= ORDINARY2 * (sd2 + burstKg2);
      const alphaKg = other > 0 ? shapeOf(parameters, kg, weeks, own) : alpha;
      let otherFits = 1;
      let fresh = 0;
      if (!isOrdinary || other > 0) {
        const oddChance = flags & FLAG.confirmed ? 0 : ODD_CHANCE;
        const oddDensity = oddChance * oddAt(accruedKg, expectedKg + burstKg, nothingKg);
        if (burstKg > 0) {
          const f = matchMoments(0, expectedKg + burstKg, sd2 + burstKg2, bothA);
          const fits = (1 - oddChance) * densityAt(accruedKg, f.alpha, f.beta, f.scaleKg, nothingKg);
          weight = fits / (fits + oddDensity);
          otherFits = weight;
        } else {
          const fits =
            (1 - oddChance) * densityAt(accruedKg, alphaKg, a, (kg * (a - 1) * weeks) / alphaKg, nothingKg);
          const fitsWeight = fits + oddDensity > 0 ? fits / (fits + oddDensity) : 0;
          let asOther = 0;
          let otherAlpha = 0;
          if (other > 0) {
            otherAlpha = shapeOf(parameters, otherKg, weeks, own);
            asOther =
              (1 - oddChance) *
              densityAt(
                accruedKg,
                otherAlpha,
                otherA,
                (otherKg * (otherA - 1) * weeks) / otherAlpha,
                nothingKg,
              );
            otherFits = asOther + oddDensity > 0 ? asOther / (asOther + oddDensity) : 0;
          }
          fresh = !isOrdinary && a > CHANGED_A + 1 ? 1 - Math.exp(-changePerWeek * cells[c + ROW.gap]!) : 0;
          const near =
            fresh > 0
              ? (1 - ANYWHERE) *
                densityAt(accruedKg, alphaKg, CHANGED_A, (kg * (CHANGED_A - 1) * weeks) / alphaKg, nothingKg)
              : 0;
          const anywhere = fresh > 0 ? ANYWHERE * oddAt(accruedKg, expectedKg, nothingKg) : 0;
          const asFresh = Math.max(near, anywhere);
          const usual = (1 - other) * (1 - fresh);
          const total = usual * (fits + oddDensity) + other * (asOther + oddDensity) + fresh * asFresh;
          weight = total > 0 ? (usual * fits + other * asOther + fresh * asFresh) / total : 0;
          // The three readings taken in, each by its own opinion.
          let o1 = otherKg;
          let oa1 = otherA;
          if (other > 0) {
            const gain = otherFits / (1 / otherAlpha + cells[c + ROW.relativeVariance]!);
            o1 = (otherKg * (otherA - 1) + (gain * accruedKg) / weeks) / (otherA - 1 + gain);
            oa1 = Math.min(MAX_A, otherA + gain);
          }
          let f1 = 0;
          let fa1 = 3;
          if (fresh > 0) {
            const gain = 1 / (1 / alphaKg + cells[c + ROW.relativeVariance]!);
            if (near >= anywhere) {
              f1 = (kg * (CHANGED_A - 1) + (gain * accruedKg) / weeks) / (CHANGED_A - 1 + gain);
              fa1 = CHANGED_A + gain;
            } else {
              f1 = Math.max(accruedKg, nothingKg, 1e-3 * expectedKg) / weeks;
              fa1 = MIN_A + gain;
            }
          }
          mergeOther(
            usual * (fits + oddDensity),
            other * (asOther + oddDensity),
            fresh * asFresh,
            o1,
            oa1,
            f1,
            fa1,
            at - cells[c + ROW.gap]! * WEEK_S,
            states[st + STATE.otherSinceAt]!,
          );
          other = merged.weight;
          otherKg = merged.kg;
          otherA = merged.a;
          states[st + STATE.otherSinceAt] = merged.sinceAt;
          otherFits = fitsWeight;
        }
      }
      const gain = otherFits / (1 / (alphaKg * (1 - 0.7 * eventShare)) + cells[c + ROW.relativeVariance]!);
      kg = (kg * (a - 1) + (gain * pureKg) / weeks) / (a - 1 + gain);
      a = Math.min(MAX_A, a + gain);
      if (hasOwn && expectedKg > 0 && burstKg === 0)
        learnRoughness(parameters, states, st, accruedKg, bothKg, bothA, weeks, nothingKg);
    }
    if (bursts && burstKg > 0 && isKnown && !isFull)
      learnRatios(
        bursts,
        ratios,
        accruedKg,
        expectedKg,
        expectedKg * expectedKg * relative2,
        burstKg,
        burstKg2,
        weight,
      );

    if (other > 0 && (beforeOther === 0 || states[st + STATE.otherSinceAt] !== beforeSinceAt))
      states[st + STATE.otherFromKg] = beforeKg;
    if (other >= MOST_OTHER) {
      states[st + STATE.changedAt] = states[st + STATE.otherSinceAt]!;
      states[st + STATE.changedFromKg] = states[st + STATE.otherFromKg]!;
      kg = otherKg;
      a = otherA;
      other = 0;
    }
    states[st + STATE.meanKg] = kg;
    states[st + STATE.a] = a;
    states[st + STATE.otherWeight] = other;
    states[st + STATE.otherKg] = otherKg;
    states[st + STATE.otherA] = otherA;
    if (isKnown || isFull) {
      const mass = Math.log(Math.max(nothingKg, isKnown ? pickedKg : capacityKg) || 1e-9);
      states[st + STATE.logMass] = LOG_MASS_KEEP * states[st + STATE.logMass]! + mass;
      states[st + STATE.logMassWeight] = LOG_MASS_KEEP * states[st + STATE.logMassWeight]! + 1;
    }
    if (!isFull && isKnown && weight >= 0.5) {
      states[st + STATE.sumKg]! += pickedKg;
      states[st + STATE.sumWeeks]! += weeks;
    }
    if (said) said.weights[row] = weight;
    if (weight < 0.5) filter.doubted.push({ row, weight });
    if (weighIns > 2)
      moveLevel(
        level,
        at,
        offsetKg,
        expectedKg,
        relative2,
        bothA,
        alpha,
        burstKg,
        burstKg2,
        isKnown ? pickedKg : capacityKg,
        isFull,
      );
  }
}

const merged = { weight: 0, kg: 0, a: 3, sinceAt: 0 };

/** The second opinion after a pickup: the old one and a fresh one, by their weights, first two moments kept. */
function mergeOther(
  usual: number,
  old: number,
  fresh: number,
  oldKg: Kg,
  oldA: number,
  freshKg: Kg,
  freshA: number,
  freshSinceAt: Instant,
  oldSinceAt: Instant,
): void {
  const both = old + fresh;
  const weight = both / (usual + both);
  if (!(weight >= LEAST_OTHER)) {
    merged.weight = 0;
    merged.kg = 0;
    merged.a = 3;
    merged.sinceAt = 0;
    return;
  }
  merged.weight = weight;
  merged.sinceAt = old >= fresh ? oldSinceAt : freshSinceAt;
  const share = fresh / both;
  if (share < 1e-6) {
    merged.kg = oldKg;
    merged.a = oldA;
  } else if (share > 1 - 1e-6) {
    merged.kg = freshKg;
    merged.a = freshA;
  } else {
    const [kg, a] = joined(oldKg, oldA, freshKg, freshA, share);
    merged.kg = kg;
    merged.a = a;
  }
}

function ratioOf(ratios: Map<EventKind, SurgeRatio>, kind: EventKind): SurgeRatio {
  const known = ratios.get(kind);
  if (known) return known;
  const fresh = { ...START_RATIO };
  ratios.set(kind, fresh);
  return fresh;
}

function learnRatios(
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

/** Log-Cauchy around what was expected: an odd value may be ten times too much or too little. */
function oddAt(kg: Kg, expectedKg: Kg, nothingKg: Kg): number {
  const least = Math.max(nothingKg, 1e-3 * expectedKg);
  const u = Math.log((kg + least) / (expectedKg + least)) / ODD_SPREAD;
  return 1 / (Math.PI * ODD_SPREAD * (kg + least) * (1 + u * u));
}

/** Density of a scaled F; "next to nothing" is one outcome. */
function densityAt(kg: Kg, alpha: number, beta: number, scaleKg: Kg, nothingKg: Kg): number {
  if (!(scaleKg > 0)) return 0;
  if (kg < nothingKg) return -Math.expm1(betaPrimeLogSf(nothingKg / scaleKg, alpha, beta)) / nothingKg;
  if (kg <= 0) return 0;
  return Math.exp(betaPrimeLogPdf(kg / scaleKg, alpha, beta)) / scaleKg;
}

function tail(p: FilterParameters, kg: Kg, a: number, weeks: number, own: number, boundKg: Kg): number {
  const alpha = shapeOf(p, kg, weeks, own);
  return Math.exp(betaPrimeLogSf((boundKg * alpha) / (kg * (a - 1) * weeks), alpha, a));
}

function censor(
  p: FilterParameters,
  kg: Kg,
  a: number,
  weeks: number,
  own: number,
  boundKg: Kg,
): readonly [Kg, number] {
  const alpha = shapeOf(p, kg, weeks, own);
  const rate = censoredRate({ a, b: kg * (a - 1), asOf: 0 }, alpha, alpha / weeks, boundKg);
  return [rate.b / (rate.a - 1), rate.a];
}

function toldForecast(
  offsetKg: Kg,
  expectedKg: Kg,
  relative2: number,
  a: number,
  alpha: number,
  factor: number,
  burstKg: Kg,
  burstKg2: number,
  saidKg: Kg,
): MassForecast {
  const base: MassForecast =
    expectedKg > 0
      ? { offsetKg, scaleKg: (factor * expectedKg * (a - 1)) / alpha, alpha, beta: a }
      : { offsetKg, scaleKg: 0, alpha: 0, beta: a };
  const m = expectedKg * factor;
  const f = burstKg > 0 ? matchMoments(offsetKg, m + burstKg, m * m * relative2 + burstKg2, a) : base;
  if (!(saidKg > offsetKg)) return f;
  const over = excessOver(f, saidKg);
  return matchMoments(saidKg, over.meanKg, over.varianceKg2, f.beta);
}

/**
 * What is found at a pickup whose time depends on the fill: the forecast times a log-normal around the site's
 * usual pickup. The product of two log-normals is one, and is matched by mean and variance.
 */
function habitual(f: MassForecast, habit2: number, logMass: number, weight: number): MassForecast {
  if (weight === 0 || f.alpha === 0) return f;
  const mean = meanKg(f);
  const spread2 = Math.log1p(varianceKg2(f) / (mean * mean));
  const center2 = habit2 * (1 + 1 / weight);
  const w = center2 / (spread2 + center2);
  const log = w * (Math.log(mean) - spread2 / 2) + (1 - w) * (logMass / weight);
  const s2 = w * spread2;
  const kg = Math.exp(log + s2 / 2);
  return matchMoments(0, kg, kg * kg * Math.expm1(s2), f.beta);
}

/** What all sites bring together against what was forecast; full containers count their expected excess. */
function moveLevel(
  level: Level,
  at: Instant,
  offsetKg: Kg,
  expectedKg: Kg,
  relative2: number,
  a: number,
  alpha: number,
  burstKg: Kg,
  burstKg2: number,
  kg: Kg,
  isFull: boolean,
): void {
  const keep = !Number.isNaN(level.at)
    ? Math.exp((Math.max(0, at - level.at) / WEEK_S) * Math.log(LEVEL_KEEP_PER_WEEK))
    : 1;
  level.at = at;
  const mean = offsetKg + expectedKg + burstKg;
  let seen = kg;
  if (isFull) {
    const f = toldForecast(offsetKg, expectedKg, relative2, a, alpha, 1, burstKg, burstKg2, 0);
    seen += excessOver(f, kg).meanKg;
  }
  level.seenKg = keep * level.seenKg + Math.min(seen, 3.5 * mean);
  level.forecastKg = keep * level.forecastKg + mean;
  level.pickupKg += mean;
  level.pickups++;
}
