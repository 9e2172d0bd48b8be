/**
 * The filter: one pass over rows of evidence in order of time. Every site has two opinions of its rate: the usual
 * one, and a second one that holds that the level has changed lately. Each pickup is weighed under three readings
 * (`readings.ts`) by Bayes' rule, as in the multi-process models of West & Harrison, _Bayesian Forecasting and Dynamic
 * Models_, ch. 12 (from memory). Formulas: README of this folder. A million pickups take about a second.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import { type EvidenceRows, FLAG, ROW } from './evidence-rows.ts';
import { type Filter, type Level, levelFactor, STATE } from './filter-state.ts';
import { burstMoments } from './forecast.ts';
import { excessOver, type MassForecast, matchMoments, meanKg, varianceKg2 } from './mass-forecast.ts';
import { learnRoughness } from './own-roughness.ts';
import { forgotten, shapeOf } from './rate.ts';
import {
  accruedKg,
  believesOther,
  emptyPickup,
  flowVariance,
  joined,
  type Pickup,
  readFull,
  readWeighed,
} from './readings.ts';
import { learnRatios, ratioOf } from './surge-ratio.ts';

/** From this weight on it is heard in a forecast. */
const HEARD_OTHER = 0.02;
/** How fast the usual mass of a pickup follows. */
const LOG_MASS_KEEP = 0.8;

/** Level of all sites together: how fast old weeks fade. */
const LEVEL_KEEP_PER_WEEK = 0.7;
const WEEK_S = 7 * 86_400;

/** What was forecast just before each row, level included: rows × 4 (offset, scale, alpha, beta), and its weight. */
export type Said = { readonly forecasts: Float64Array; readonly weights: Float64Array };

/**
 * Takes all rows before `untilAt` in. `start` gives a site's mean and precision when its first row comes; `said`, where
 * given, receives what was forecast for each row just before it.
 */
export function runFilter(
  filter: Filter,
  rows: EvidenceRows,
  start: (site: number, at: Instant) => readonly [Kg, number],
  said?: Said,
  untilAt: Instant = Number.POSITIVE_INFINITY,
): void {
  const { states } = filter;
  const { cells, inOrder, count } = rows;
  const logForget = Math.log(filter.parameters.forgetPerWeek);
  const p = emptyPickup();
  for (let i = 0; i < count; i++) {
    const row = inOrder[i]!;
    const c = row * ROW.size;
    const site = cells[c + ROW.site]!;
    const st = site * STATE.size;
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
      const [kg, a] = start(site, at);
      states[st + STATE.meanKg] = kg;
      states[st + STATE.a] = a;
    }
    states[st + STATE.weighIns]!++;
    states[st + STATE.lastAt] = at;
    const saidKg = states[st + STATE.saidAt]! <= at ? states[st + STATE.saidKg]! : 0;
    states[st + STATE.saidAt] = Number.NaN;
    if (flags & FLAG.useful) {
      takeUp(p, filter, cells, c, st, logForget);
      takeIn(p, filter, rows, row, st, saidKg, said);
    } else if (said) said.weights[row] = 1;
  }
}

/** Puts a row and its site into the hand: the opinions forgotten until now, and what they expect. */
function takeUp(
  p: Pickup,
  { parameters, states }: Filter,
  cells: Float64Array,
  c: number,
  st: number,
  logForget: number,
): void {
  const flags = cells[c + ROW.flags]!;
  p.at = cells[c + ROW.at]!;
  p.gap = cells[c + ROW.gap]!;
  p.weeks = cells[c + ROW.weeks]!;
  p.kg = cells[c + ROW.kg]!;
  p.relativeVariance = cells[c + ROW.relativeVariance]!;
  p.capacityKg = cells[c + ROW.capacityKg]!;
  p.offsetKg = cells[c + ROW.offsetKg]!;
  p.isFull = (flags & FLAG.full) !== 0;
  p.isConfirmed = (flags & FLAG.confirmed) !== 0;
  p.own = parameters.roughnessSpread === undefined ? 1 : states[st + STATE.own]!;
  const keep = Math.exp(p.gap * logForget);
  p.meanKg = states[st + STATE.meanKg]!;
  p.a = forgotten(states[st + STATE.a]!, keep);
  p.otherWeight = states[st + STATE.otherWeight]!;
  p.otherKg = states[st + STATE.otherKg]!;
  p.otherA = p.otherWeight > 0 ? forgotten(states[st + STATE.otherA]!, keep) : 3;
  p.otherSinceAt = states[st + STATE.otherSinceAt]!;
  p.bothKg = p.meanKg;
  p.bothA = p.a;
  if (p.otherWeight >= HEARD_OTHER)
    [p.bothKg, p.bothA] = joined(p.meanKg, p.a, p.otherKg, p.otherA, p.otherWeight);
  p.alpha = shapeOf(parameters, p.bothKg, p.weeks, p.own);
  p.expectedKg = p.bothKg * p.weeks;
  p.relative2 = p.weeks > 0 ? (p.alpha + p.bothA - 1) / (p.alpha * (p.bothA - 2)) : 0;
  p.burstKg = 0;
  p.burstKg2 = 0;
  p.weight = 1;
}

function takeIn(
  p: Pickup,
  filter: Filter,
  rows: EvidenceRows,
  row: number,
  st: number,
  saidKg: Kg,
  said: Said | undefined,
): void {
  const { parameters, states, level, ratios } = filter;
  const nothingKg = parameters.granularityKg / 10;
  const bursts = rows.bursts.size > 0 ? rows.bursts.get(row) : undefined;
  if (bursts)
    for (const { surge, share } of bursts) {
      const one = burstMoments(surge, share, ratioOf(ratios, surge.eventKind));
      p.burstKg += one.meanKg;
      p.burstKg2 += one.varianceKg2;
    }
  if (said) keepSaid(p, filter, st, row, saidKg, said);

  const isKnown = !Number.isNaN(p.kg);
  const hadOther = p.otherWeight > 0;
  const hadSinceAt = p.otherSinceAt;
  const beforeKg = p.meanKg;
  // Without exposure only an event can have brought anything.
  if (p.weeks > 0) {
    if (p.isFull || !isKnown) readFull(p, parameters);
    else {
      readWeighed(p, parameters, nothingKg);
      if (parameters.roughnessSpread !== undefined && p.expectedKg > 0 && p.burstKg === 0)
        learnRoughness(parameters, states, st, accruedKg(p), p.bothKg, p.bothA, p.weeks, nothingKg);
    }
  }
  if (bursts && p.burstKg > 0 && isKnown && !p.isFull)
    learnRatios(bursts, ratios, accruedKg(p), p.expectedKg, flowVariance(p), p.burstKg, p.burstKg2, p.weight);
  if (p.otherWeight > 0 && (!hadOther || p.otherSinceAt !== hadSinceAt))
    states[st + STATE.otherFromKg] = beforeKg;
  if (believesOther(p)) {
    states[st + STATE.changedAt] = p.otherSinceAt;
    states[st + STATE.changedFromKg] = states[st + STATE.otherFromKg]!;
  }
  putBack(p, states, st, nothingKg);
  if (said) said.weights[row] = p.weight;
  if (p.weight < 0.5) filter.doubted.push({ row, weight: p.weight });
  if (states[st + STATE.weighIns]! > 2) moveLevel(level, p);
}

/** What the hand holds goes back to the site. */
function putBack(p: Pickup, states: Float64Array, st: number, nothingKg: Kg): void {
  states[st + STATE.meanKg] = p.meanKg;
  states[st + STATE.a] = p.a;
  states[st + STATE.otherWeight] = p.otherWeight;
  states[st + STATE.otherKg] = p.otherKg;
  states[st + STATE.otherA] = p.otherA;
  states[st + STATE.otherSinceAt] = p.otherSinceAt;
  const isKnown = !Number.isNaN(p.kg);
  if (isKnown || p.isFull) {
    const mass = Math.log(Math.max(nothingKg, isKnown ? p.kg : p.capacityKg) || 1e-9);
    states[st + STATE.logMass] = LOG_MASS_KEEP * states[st + STATE.logMass]! + mass;
    states[st + STATE.logMassWeight] = LOG_MASS_KEEP * states[st + STATE.logMassWeight]! + 1;
  }
  if (!p.isFull && isKnown && p.weight >= 0.5) {
    states[st + STATE.sumKg]! += p.kg;
    states[st + STATE.sumWeeks]! += p.weeks;
  }
}

function keepSaid(
  p: Pickup,
  { parameters, states, level }: Filter,
  st: number,
  row: number,
  saidKg: Kg,
  { forecasts }: Said,
): void {
  const f = toldForecast(p, levelFactor(level), saidKg);
  const { habitSpread } = parameters;
  const told =
    habitSpread === undefined
      ? f
      : habitual(f, habitSpread ** 2, states[st + STATE.logMass]!, states[st + STATE.logMassWeight]!);
  forecasts[row * 4] = told.offsetKg;
  forecasts[row * 4 + 1] = told.scaleKg;
  forecasts[row * 4 + 2] = told.alpha;
  forecasts[row * 4 + 3] = told.beta;
}

/** The forecast as it would have been given: level of all sites, events and a donor's report included. */
function toldForecast(p: Pickup, factor: number, saidKg: Kg): MassForecast {
  const { offsetKg, bothA, alpha } = p;
  const flowKg = p.expectedKg * factor;
  const base: MassForecast =
    p.expectedKg > 0
      ? { offsetKg, scaleKg: (factor * p.expectedKg * (bothA - 1)) / alpha, alpha, beta: bothA }
      : { offsetKg, scaleKg: 0, alpha: 0, beta: bothA };
  const f =
    p.burstKg > 0
      ? matchMoments(offsetKg, flowKg + p.burstKg, flowKg * flowKg * p.relative2 + p.burstKg2, bothA)
      : base;
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
function moveLevel(level: Level, p: Pickup): void {
  const keep = Number.isNaN(level.at)
    ? 1
    : Math.exp((Math.max(0, p.at - level.at) / WEEK_S) * Math.log(LEVEL_KEEP_PER_WEEK));
  const mean = p.offsetKg + p.expectedKg + p.burstKg;
  let seen = Number.isNaN(p.kg) ? p.capacityKg : p.kg;
  if (p.isFull) seen += excessOver(toldForecast(p, 1, 0), seen).meanKg;
  level.at = p.at;
  level.seenKg = keep * level.seenKg + Math.min(seen, 3.5 * mean);
  level.forecastKg = keep * level.forecastKg + mean;
  level.pickupKg += mean;
  level.pickups++;
}
