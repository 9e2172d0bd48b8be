/**
 * From everybody's histories to what is known of every site: one pass over all evidence in order of time, so
 * that what sites share (bag masses of a load, the bias of declarations, what events really bring, the season's
 * level) is learnt together, and no site's place in the list matters.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import type { EventKind, Grade, SiteKind } from '../vocabulary.ts';
import { type DeclaredBias, type DeclaredBiases, learnDeclaredBias, type SiteSum } from './declared-bias.ts';
import { dayNumberOf, localDayOf, zoneDays } from './local-days.ts';
import type { MassForecast } from './mass-forecast.ts';
import { excessOver, meanKg } from './mass-forecast.ts';
import { type Masses, type Observed, observeAll } from './observe.ts';
import { MAX_A, MIN_A } from './rate.ts';
import { type SiteFilter, type SurgeRatio, seePickup } from './site-filter.ts';
import {
  capacityLAt,
  capacityLOn,
  type Evidence,
  type LoadWeighed,
  type SiteHistory,
} from './site-history.ts';
import type { Basis, Exposure, FilterParameters, KnownSurge, RateState, SiteModel } from './site-model.ts';

/** Before a workshop has some 150 weigh-ins of its own. From simulated workshops (methods note, A.10). */
export const START_PARAMETERS: FilterParameters = { forgetPerWeek: 0.78, granularityKg: 3, roughness: 0.1 };
/** Events bring what was announced, give or take 40 %, until they have been seen to do otherwise. */
const START_RATIO = { mean: 1, shape: 6 };
/** A site of which nothing at all is known, nor of any like it. */
const UNKNOWN_KG_PER_WEEK: Kg = 8;
/** Level of all sites together: how fast old weeks fade, and how much mass it takes to move it. */
const LEVEL_KEEP_PER_WEEK = 0.7;
const LEVEL_PRIOR_KG: Kg = 500;
/** A Dirichlet worth this many observations of `GRADE_UNIT_KG` each stands for what a donor declared. */
const GRADE_PRIOR = 8;
const GRADE_UNIT_KG: Kg = 4;
const WEEK_S = 7 * 86_400;

export type Learnt = {
  readonly models: ReadonlyMap<string, SiteModel>;
  readonly declared: DeclaredBias;
  readonly levelFactor: number;
  readonly surgeRatios: ReadonlyMap<EventKind, SurgeRatio>;
  /** Every pickup with the forecast made just before it, in order of time: what a back-test scores. */
  readonly steps: readonly Step[];
};

export type Step = {
  readonly siteId: string;
  readonly evidenceId: string;
  readonly at: Instant;
  /** Exposure since the last emptying. */
  readonly weeks: number;
  /** As it would have been given just before, pooled level included. */
  readonly forecast: MassForecast;
  /** What was picked up; where only "found full" is known, what the containers hold. */
  readonly kg: Kg;
  readonly foundFull: boolean;
  /** What the containers hold; the forecast knows no brim, a pickup does. */
  readonly capacityKg: Kg;
  readonly weight: number;
  /** Pickups at this site before. */
  readonly earlier: number;
};

type Site = {
  readonly history: SiteHistory;
  readonly filter: SiteFilter;
  readonly dayOf: (at: Instant) => string;
  readonly capacityLAt: (at: Instant) => number;
  readonly gradeKg: Map<Grade, Kg>;
  readonly doubted: Basis['doubted'][number][];
  /** What a bag weighs here, by all that was both counted and weighed. */
  readonly bagKg: Kg;
  readonly sum: SiteSum;
  readonly masses: Masses;
  weighIns: number;
  lastWeighInAt: Instant | undefined;
  atLeast: { kg: Kg; at: Instant } | undefined;
};

/** @param histories each with its evidence in order of time */
export function learnWorkshop(
  histories: readonly SiteHistory[],
  loads: readonly LoadWeighed[] = [],
  parameters: FilterParameters = START_PARAMETERS,
): Learnt {
  const observed = observeAll(histories, loads);
  const likeIt = meanDeclaredByKind(histories);
  const surgeRatios = new Map<EventKind, SurgeRatio>();
  const ratioOf = ({ eventKind }: KnownSurge): SurgeRatio => {
    const known = surgeRatios.get(eventKind);
    if (known) return known;
    const fresh = { ...START_RATIO };
    surgeRatios.set(eventKind, fresh);
    return fresh;
  };
  const sites = new Map<string, Site>();
  // In order of their ids, so that ties in time do not depend on the order of the list.
  for (const history of histories.toSorted((a, b) => (a.siteId < b.siteId ? -1 : 1)))
    sites.set(history.siteId, startSite(history, exposureOf(history), parameters, observed));
  const timeline = inOrderOfTime([...sites.values()]);

  const biases = biasesByDay(sites, parameters);
  const steps: Step[] = [];
  const level = {
    seenKg: LEVEL_PRIOR_KG,
    forecastKg: LEVEL_PRIOR_KG,
    at: timeline.length === 0 ? 0 : timeline[0]!.evidence.at,
  };
  for (const { site, evidence, place } of timeline) {
    const capacityKg = site.capacityLAt(evidence.at) / site.history.litresPerKg;
    if (evidence.kind === 'reported') {
      // Said before a pickup that came later in the day, it tells of the container as it was.
      if (evidence.at >= site.filter.emptiedAt)
        site.atLeast = { kg: evidence.fraction * capacityKg, at: evidence.at };
      continue;
    }
    if (evidence.kind === 'missed' && evidence.reason !== 'nothing-there') continue;
    const observation = site.masses[place];
    const pickup =
      evidence.kind === 'missed'
        ? { kg: 0, relativeVariance: 0, foundFull: false, leftKg: 0 }
        : {
            ...(observation === undefined ? {} : { kg: observation.kg }),
            relativeVariance: observation?.relativeVariance ?? 0,
            foundFull: evidence.foundFull,
            leftKg: evidence.leftKg ?? 0,
          };
    // Started by what was known that day, so that no forecast in `steps` has seen what came later.
    if (site.weighIns === 0) site.filter.rate = startRate(site.history, biases(evidence.at), likeIt);
    const { forecast, weight, weeks } = seePickup(
      site.filter,
      { ...pickup, at: evidence.at, capacityKg },
      ratioOf,
    );
    site.atLeast = undefined;
    if (evidence.kind === 'picked-up') noteGrades(site, evidence.gradesKg);
    site.weighIns++;
    site.lastWeighInAt = evidence.at;
    if (weight < 0.5) site.doubted.unshift({ weighInId: evidence.id, at: evidence.at, weight });
    if (!forecast) continue;
    if (!pickup.foundFull && weight >= 0.5 && pickup.kg !== undefined) {
      site.sum.kg += pickup.kg;
      site.sum.weeks += weeks;
    }
    steps.push({
      siteId: site.history.siteId,
      evidenceId: evidence.id,
      at: evidence.at,
      weeks,
      forecast: { ...forecast, scaleKg: (forecast.scaleKg * level.seenKg) / level.forecastKg },
      kg: pickup.kg ?? capacityKg,
      foundFull: pickup.foundFull,
      capacityKg,
      weight,
      earlier: site.weighIns - 1,
    });
    if (site.weighIns > 2) moveLevel(level, evidence.at, forecast, pickup.kg ?? capacityKg, pickup.foundFull);
  }

  const levelFactor = level.seenKg / level.forecastKg;
  const models = new Map<string, SiteModel>();
  const known = biases(Number.POSITIVE_INFINITY);
  for (const [siteId, site] of sites) {
    if (site.weighIns === 0) site.filter.rate = startRate(site.history, known, likeIt);
    models.set(siteId, modelOf(site, levelFactor, surgeRatios));
  }
  return { models, declared: known.all, levelFactor, surgeRatios, steps };
}

type Entry = { readonly site: Site; readonly evidence: Evidence; readonly place: number };

/** All sites' evidence in order of time; of equal instants, the site first in order goes first. */
function inOrderOfTime(sites: readonly Site[]): Entry[] {
  const all = sites.flatMap((site) =>
    site.history.evidence.map((evidence, place) => ({ site, evidence, place })),
  );
  // Whole seconds and places in one number each: sorting numbers is ten times faster than sorting objects.
  const places = 2 ** Math.ceil(Math.log2(all.length + 1));
  const keys = Float64Array.from(all, ({ evidence }, place) => Math.floor(evidence.at) * places + place);
  const isExact = keys.every((key) => Math.abs(key) < Number.MAX_SAFE_INTEGER);
  if (!isExact) return all.toSorted((x, y) => x.evidence.at - y.evidence.at);
  return Array.from(keys.sort(), (key) => all[key - Math.floor(key / places) * places]!);
}

function exposureOf(history: SiteHistory): Exposure {
  const open = history.openWeekdays.filter(Boolean).length;
  return {
    zone: history.zone,
    weekdayWeight: history.openWeekdays.map((isOpen) => (open === 0 ? 1 / 7 : isOpen ? 1 / open : 0)),
    closedDays: history.closedDays.toSorted((a, b) => (a.fromDay < b.fromDay ? -1 : 1)),
    monthFactor: history.monthFactor ?? Array.from({ length: 12 }, () => 1),
  };
}

/** For sites that declared nothing: the mean of those of their kind that did, kg a week. */
function meanDeclaredByKind(histories: readonly SiteHistory[]): (kind: SiteKind) => Kg {
  const sums = new Map<SiteKind, { kg: Kg; sites: number }>();
  for (const { kind, declaredBagsPerWeek, bagKg } of histories) {
    if (declaredBagsPerWeek <= 0) continue;
    const sum = sums.get(kind) ?? { kg: 0, sites: 0 };
    sums.set(kind, { kg: sum.kg + declaredBagsPerWeek * bagKg, sites: sum.sites + 1 });
  }
  return (kind) => {
    const sum = sums.get(kind);
    return sum ? sum.kg / sum.sites : UNKNOWN_KG_PER_WEEK;
  };
}

/** Fitted anew when a site is started, at most once a day. */
function biasesByDay(sites: ReadonlyMap<string, Site>, parameters: FilterParameters) {
  let fittedOn = Number.NEGATIVE_INFINITY;
  let fitted: DeclaredBiases | undefined;
  return (at: Instant): DeclaredBiases => {
    const day = Math.floor(at / 86_400);
    if (!fitted || day > fittedOn) {
      fitted = learnDeclaredBias(
        [...sites.values()].map((site) => site.sum),
        parameters,
      );
      fittedOn = day;
    }
    return fitted;
  };
}

/** The rate before the first weigh-in: what was declared, corrected by what declarations turned out to be worth. */
function startRate(history: SiteHistory, biases: DeclaredBiases, likeIt: (kind: SiteKind) => Kg): RateState {
  const { bias, spread2 } = biases.byKind.get(history.kind) ?? biases.all;
  const declaredKg = history.declaredBagsPerWeek * history.bagKg;
  const isDeclared = declaredKg > 0;
  // A one-off place has no weekly flow at all: what it holds is announced as a surge.
  const isOneOff = history.kind === 'one-off' && !isDeclared;
  const spread = isDeclared ? spread2 : 1;
  const mean =
    (isDeclared ? declaredKg : isOneOff ? 0.01 : likeIt(history.kind)) * Math.exp(bias + spread / 2);
  const a = Math.min(MAX_A, Math.max(MIN_A, 2 + 1 / Math.expm1(spread)));
  return { a, b: mean * (a - 1), asOf: history.fillsSinceAt };
}

function startSite(
  history: SiteHistory,
  exposure: Exposure,
  parameters: FilterParameters,
  observed: Observed,
): Site {
  const days = zoneDays(history.zone);
  const dayOf = (at: Instant) => localDayOf(days.dayNumberAt(at));
  return {
    history,
    filter: {
      exposure,
      parameters,
      surges: history.surges
        .filter((surge) => surge.cancelledAt === undefined)
        .map((surge) => knownSurge(surge, history)),
      rate: { a: MIN_A, b: 0, asOf: history.fillsSinceAt },
      emptiedAt: history.fillsSinceAt,
      leftKg: 0,
      isStartKnown: history.isStartKnown,
      strange: undefined,
      levelChangedAt: undefined,
    },
    dayOf,
    capacityLAt: capacityLAt(history, dayOf),
    gradeKg: new Map(),
    bagKg: observed.bags.get(history.siteId)!.kg,
    masses: observed.masses.get(history.siteId)!,
    sum: { kind: history.kind, declaredKg: history.declaredBagsPerWeek * history.bagKg, kg: 0, weeks: 0 },
    doubted: [],
    weighIns: 0,
    lastWeighInAt: undefined,
    atLeast: undefined,
  };
}

const knownSurge = (surge: SiteHistory['surges'][number], { bagKg }: SiteHistory): KnownSurge => ({
  eventKind: surge.eventKind,
  startsAt: surge.startsAt,
  endsAt: surge.endsAt,
  expectedKg: surge.expectedBags * bagKg,
});

function noteGrades(site: Site, gradesKg: { readonly [grade in Grade]?: Kg } | undefined): void {
  for (const [grade, kg] of Object.entries(gradesKg ?? {}))
    site.gradeKg.set(grade as Grade, (site.gradeKg.get(grade as Grade) ?? 0) + kg);
}

/** What all sites bring together against what was forecast; full containers count their expected excess. */
function moveLevel(
  level: { seenKg: Kg; forecastKg: Kg; at: Instant },
  at: Instant,
  forecast: MassForecast,
  kg: Kg,
  foundFull: boolean,
): void {
  const keep = LEVEL_KEEP_PER_WEEK ** Math.max(0, (at - level.at) / WEEK_S);
  level.seenKg = LEVEL_PRIOR_KG + keep * (level.seenKg - LEVEL_PRIOR_KG);
  level.forecastKg = LEVEL_PRIOR_KG + keep * (level.forecastKg - LEVEL_PRIOR_KG);
  level.at = at;
  const expected = meanKg(forecast);
  const seen = foundFull ? kg + excessOver(forecast, kg).meanKg : kg;
  level.seenKg += Math.min(seen, 3.5 * expected);
  level.forecastKg += expected;
}

function modelOf(site: Site, levelFactor: number, ratios: ReadonlyMap<EventKind, SurgeRatio>): SiteModel {
  const { history, filter, atLeast } = site;
  const today = site.dayOf(filter.emptiedAt);
  // Containers that stand there from the last emptying on; a change announced for later counts when it comes.
  const capacityL = Math.max(1, capacityLOn(history, newestDay(history, today)));
  const sorted = [...site.gradeKg.values()].reduce((sum, kg) => sum + kg, 0) / GRADE_UNIT_KG;
  return {
    siteId: history.siteId,
    parameters: filter.parameters,
    rate: filter.rate,
    levelFactor,
    exposure: filter.exposure,
    // A surge that was over before the last emptying is gone with it.
    surges: filter.surges
      .filter((surge) => surge.endsAt > filter.emptiedAt)
      .map((surge) => ({ ...surge, ratio: { ...START_RATIO, ...ratios.get(surge.eventKind) } })),
    surgeRatio: START_RATIO,
    emptiedAt: filter.emptiedAt,
    leftKg: filter.leftKg,
    ...(atLeast === undefined ? {} : { atLeast }),
    capacityKg: capacityL / history.litresPerKg,
    capacityL,
    litresPerKg: history.litresPerKg,
    bagKg: site.bagKg,
    gradeShares: gradeShares(history, site.gradeKg, sorted),
    gradeConcentration: GRADE_PRIOR + sorted,
    basis: {
      weighIns: site.weighIns,
      ...(site.lastWeighInAt === undefined ? {} : { lastWeighInAt: site.lastWeighInAt }),
      declaredBagsPerWeek: history.declaredBagsPerWeek,
      declaredKgPerWeek: history.declaredBagsPerWeek * history.bagKg,
      doubted: site.doubted,
      ...(filter.levelChangedAt === undefined ? {} : { levelChangedAt: filter.levelChangedAt }),
    },
  };
}

/** The first day, from `day` on, on which some container stands there; that day itself if none does. */
function newestDay(history: SiteHistory, day: string): string {
  if (capacityLOn(history, day) > 0) return day;
  const later = history.containers.flatMap((c) =>
    c.fromDay !== undefined && c.fromDay > day ? [c.fromDay] : [],
  );
  return later.toSorted((a, b) => dayNumberOf(a) - dayNumberOf(b))[0] ?? day;
}

/** Mean of the Dirichlet: what was declared, and what was sorted since. */
function gradeShares(history: SiteHistory, sortedKg: ReadonlyMap<Grade, Kg>, sorted: number) {
  const shares: { [grade in Grade]?: number } = {};
  const declared = Object.entries(history.declaredShares) as [Grade, number][];
  const total = declared.reduce((sum, [, share]) => sum + share, 0);
  const prior = total > 0 ? GRADE_PRIOR : 0;
  if (prior + sorted === 0) return shares;
  for (const [grade, share] of declared) shares[grade] = ((share / total) * prior) / (prior + sorted);
  for (const [grade, kg] of sortedKg)
    shares[grade] = (shares[grade] ?? 0) + kg / GRADE_UNIT_KG / (prior + sorted);
  return shares;
}
