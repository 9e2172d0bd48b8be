/**
 * From all sites' evidence to what is known of each: the masses (`observe.ts`), rows of numbers
 * (`evidence-rows.ts`), one pass of the filter (`filter.ts`), and plain models at the end. Each site is started by
 * what was known on the day of its first row, so that every forecast on the way is out of sample.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import type { EventKind, Grade } from '../vocabulary.ts';
import type { BagMass } from './bag-mass.ts';
import { type DeclaredBias, type DeclaredBiases, learnDeclaredBias, type SiteSum } from './declared-bias.ts';
import { type EvidenceRows, evidenceRows, FLAG, ROW, type RowSite } from './evidence-rows.ts';
import { runFilter, type Said } from './filter.ts';
import { type Filter, levelFactor, newFilter, STATE } from './filter-state.ts';
import { openWeights } from './learn-weekdays.ts';
import { dayNumberOf, localDayOf, zoneDays } from './local-days.ts';
import type { MassForecast } from './mass-forecast.ts';
import { type Observed, observeAll } from './observe.ts';
import { MAX_A, MIN_A } from './rate.ts';
import { joined } from './readings.ts';
import { capacityLAt, capacityLOn, type LoadWeighed, type SiteHistory } from './site-history.ts';
import type { Basis, Exposure, FilterParameters, KnownSurge, SiteModel } from './site-model.ts';
import { START_RATIO, type SurgeRatio } from './surge-ratio.ts';

/** Before a workshop has some weigh-ins of its own. From simulated workshops (methods note, A.10). */
export const START_PARAMETERS: FilterParameters = {
  forgetPerWeek: 0.85,
  granularityKg: 3,
  roughness: 0.1,
  changePerWeek: 0.01,
};
/** A Dirichlet worth this many observations of `GRADE_UNIT_KG` each stands for what a donor declared. */
const GRADE_PRIOR = 8;
const GRADE_UNIT_KG: Kg = 4;
const DAY_S = 86_400;

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

/** Everything that does not depend on the parameters: made once, learnt from many times. */
export type Prepared = {
  readonly sites: readonly RowSite[];
  readonly observed: Observed;
  readonly rows: EvidenceRows;
};

/** @param histories each with its evidence in order of time */
export function prepareWorkshop(
  histories: readonly SiteHistory[],
  loads: readonly LoadWeighed[] = [],
): Prepared {
  const observed = observeAll(histories, loads);
  // In order of their ids, so that ties in time do not depend on the order of the list.
  const sites = histories.toSorted((a, b) => (a.siteId < b.siteId ? -1 : 1)).map(rowSite);
  return { sites, observed, rows: evidenceRows(sites, observed) };
}

/** A site before its first row. */
export function rowSite(history: SiteHistory): RowSite {
  const days = zoneDays(history.zone);
  const litresAt = capacityLAt(history, (at) => localDayOf(days.dayNumberAt(at)));
  return {
    history,
    exposure: exposureOf(history),
    surges: history.surges
      .filter((surge) => surge.cancelledAt === undefined)
      .map((surge) => knownSurge(surge, history)),
    capacityKgAt: (at) => litresAt(at) / history.litresPerKg,
    standing: {
      emptiedAt: history.fillsSinceAt,
      leftKg: 0,
      isStartKnown: history.isStartKnown,
      asOf: history.fillsSinceAt,
    },
    gradeKg: new Map(),
  };
}

/** @param histories each with its evidence in order of time */
export function learnWorkshop(
  histories: readonly SiteHistory[],
  loads: readonly LoadWeighed[] = [],
  parameters: FilterParameters = START_PARAMETERS,
): Learnt {
  const prepared = prepareWorkshop(histories, loads);
  const learning = learnPrepared(prepared, parameters);
  return {
    models: learning.models,
    declared: biasesByDay(learning.sites, learning.filter)(Number.POSITIVE_INFINITY).all,
    levelFactor: levelFactor(learning.filter.level),
    surgeRatios: learning.filter.ratios,
    get steps() {
      return stepsOf(prepared, filterPrepared(prepared, parameters).said);
    },
  };
}

/** What is known, and all it takes to go on from there (`carry-on.ts`). */
export type Learning = {
  readonly sites: readonly RowSite[];
  readonly bags: Map<string, BagMass>;
  readonly filter: Filter;
  readonly biases: (at: Instant) => DeclaredBiases;
  readonly models: Map<string, SiteModel>;
  /** Newest instant that was taken in. */
  lastAt: Instant;
};

export function learnPrepared(prepared: Prepared, parameters: FilterParameters): Learning {
  const { sites, observed, rows } = prepared;
  const { filter, biases } = filterPrepared(prepared, parameters, { keepsForecasts: false });
  const bags = new Map(observed.bags);
  const known = biasesByDay(sites, filter)(Number.POSITIVE_INFINITY);
  const doubted = doubtedBySite(prepared, filter);
  const models = new Map(
    sites.map((site, s) => [
      site.history.siteId,
      siteModel(site, s, bags, filter, startRate(site.history, known), doubted.get(s) ?? []),
    ]),
  );
  const newest = rows.inOrder.at(-1);
  const lastAt = newest === undefined ? Number.NEGATIVE_INFINITY : rows.cells[newest * ROW.size + ROW.at]!;
  return { sites, bags, filter, biases, models, lastAt };
}

/**
 * Start values for masses of any size. Bags of film have a granularity of 3 kg; where a pickup's usual mass is far
 * from what bags of film weigh (other data in other units), it is an eighth of that.
 */
export function startParametersFor({ rows }: Prepared): FilterParameters {
  const first: number[] = [];
  for (let i = 0; i < rows.count && first.length < 20; i++) {
    const kg = rows.cells[rows.inOrder[i]! * ROW.size + ROW.kg]!;
    if (kg > 0) first.push(kg);
  }
  if (first.length === 0) return START_PARAMETERS;
  const usualKg = first.toSorted((a, b) => a - b)[first.length >> 1]!;
  const isFilm = usualKg > START_PARAMETERS.granularityKg && usualKg < 40 * START_PARAMETERS.granularityKg;
  return isFilm ? START_PARAMETERS : { ...START_PARAMETERS, granularityKg: usualKg / 8 };
}

export type PassOptions = {
  /** Only what came before is taken in. */
  readonly untilAt?: Instant;
  /** False: nobody will ask what was forecast on the way, which saves a third of the time. */
  readonly keepsForecasts?: boolean;
};

/** One pass with these parameters, from nothing. */
export function filterPrepared(
  { sites, rows }: Prepared,
  parameters: FilterParameters,
  { untilAt = Number.POSITIVE_INFINITY, keepsForecasts = true }: PassOptions = {},
): { readonly filter: Filter; readonly said: Said; readonly biases: (at: Instant) => DeclaredBiases } {
  const filter = newFilter(sites.length, parameters);
  const kept = keepsForecasts ? rows.count : 0;
  const said: Said = { forecasts: new Float64Array(kept * 4), weights: new Float64Array(kept) };
  const biases = biasesByDay(sites, filter);
  const start = (s: number, at: Instant) => startRate(sites[s]!.history, biases(at));
  runFilter(filter, rows, start, keepsForecasts ? said : undefined, untilAt);
  return { filter, said, biases };
}

/** The pickups that were forecast, in order of time. */
export function stepsOf(
  { sites, rows }: Pick<Prepared, 'sites' | 'rows'>,
  said: Said,
  fromAt: Instant = Number.NEGATIVE_INFINITY,
  untilAt: Instant = Number.POSITIVE_INFINITY,
  earlier: Int32Array = new Int32Array(sites.length),
): Step[] {
  const steps: Step[] = [];
  for (let i = 0; i < rows.count; i++) {
    const row = rows.inOrder[i]!;
    const cell = (place: number) => rows.cells[row * ROW.size + place]!;
    const flags = cell(ROW.flags);
    const at = cell(ROW.at);
    if (at >= untilAt) break;
    if (flags & FLAG.report) continue;
    const site = cell(ROW.site);
    const before = earlier[site]!++;
    if (!(flags & FLAG.useful) || at < fromAt) continue;
    const { history } = sites[site]!;
    const kg = cell(ROW.kg);
    steps.push({
      siteId: history.siteId,
      evidenceId: history.evidence[rows.places[row]!]!.id,
      at,
      weeks: cell(ROW.weeks),
      forecast: forecastSaid(said, row),
      kg: Number.isNaN(kg) ? cell(ROW.capacityKg) : kg,
      foundFull: (flags & FLAG.full) !== 0,
      capacityKg: cell(ROW.capacityKg),
      weight: said.weights[row]!,
      earlier: before,
    });
  }
  return steps;
}

export const forecastSaid = ({ forecasts }: Said, row: number): MassForecast => ({
  offsetKg: forecasts[row * 4]!,
  scaleKg: forecasts[row * 4 + 1]!,
  alpha: forecasts[row * 4 + 2]!,
  beta: forecasts[row * 4 + 3]!,
});

function exposureOf(history: SiteHistory): Exposure {
  return {
    zone: history.zone,
    weekdayWeight: history.weekdayWeights ?? openWeights(history),
    closedDays: history.closedDays.toSorted((a, b) => (a.fromDay < b.fromDay ? -1 : 1)),
    monthFactor: history.monthFactor ?? Array.from({ length: 12 }, () => 1),
  };
}

/** Fitted anew when a site is started, at most once a day. */
export function biasesByDay(sites: readonly RowSite[], { states, parameters }: Filter) {
  let fittedOn = Number.NEGATIVE_INFINITY;
  let fitted: DeclaredBiases | undefined;
  return (at: Instant): DeclaredBiases => {
    const day = Math.floor(at / DAY_S);
    if (!fitted || day > fittedOn) {
      const sums = sites.map(
        ({ history }, s): SiteSum => ({
          kind: history.kind,
          declaredKg: history.declaredBagsPerWeek * history.bagKg,
          kg: states[s * STATE.size + STATE.sumKg]!,
          weeks: states[s * STATE.size + STATE.sumWeeks]!,
        }),
      );
      fitted = learnDeclaredBias(sums, parameters);
      fittedOn = day;
    }
    return fitted;
  };
}

/** No weekly flow at all: what such a place holds is announced as a surge. */
const isOneOff = ({ kind, declaredBagsPerWeek }: SiteHistory): boolean =>
  kind === 'one-off' && declaredBagsPerWeek <= 0;

/** Mean and precision of a rate before the first weigh-in: what was declared, corrected by what that turned out to be worth. */
export function startRate(history: SiteHistory, biases: DeclaredBiases): readonly [Kg, number] {
  const declaredKg = history.declaredBagsPerWeek * history.bagKg;
  if (isOneOff(history)) return [0.01, MIN_A];
  const { bias, biasVariance, spread2 } =
    declaredKg > 0 ? (biases.byKind.get(history.kind) ?? biases.all) : biases.undeclared(history.kind);
  const variance = biasVariance + spread2;
  const mean = (declaredKg > 0 ? declaredKg : 1) * Math.exp(bias + variance / 2);
  return [mean, Math.min(MAX_A, Math.max(MIN_A, 2 + 1 / Math.expm1(variance)))];
}

const knownSurge = (surge: SiteHistory['surges'][number], { bagKg }: SiteHistory): KnownSurge => ({
  eventKind: surge.eventKind,
  startsAt: surge.startsAt,
  endsAt: surge.endsAt,
  expectedKg: surge.expectedBags * bagKg,
});

export function siteModel(
  { history, exposure, surges, standing, gradeKg }: RowSite,
  s: number,
  bags: ReadonlyMap<string, BagMass>,
  { parameters, states, ratios, level }: Filter,
  start: readonly [Kg, number],
  doubted: Basis['doubted'],
): SiteModel {
  const state = states.subarray(s * STATE.size, (s + 1) * STATE.size);
  const weighIns = state[STATE.weighIns]!;
  const usual = weighIns === 0 ? start : ([state[STATE.meanKg]!, state[STATE.a]!] as const);
  const [kg, a] = joined(...usual, state[STATE.otherKg]!, state[STATE.otherA]!, state[STATE.otherWeight]!);
  const days = zoneDays(history.zone);
  const today = localDayOf(days.dayNumberAt(standing.emptiedAt));
  // Containers that stand there from the last emptying on; a change announced for later counts when it comes.
  const capacityL = Math.max(1, capacityLOn(history, newestDay(history, today)));
  const sorted = [...gradeKg.values()].reduce((sum, one) => sum + one, 0) / GRADE_UNIT_KG;
  const own = parameters.roughnessSpread === undefined ? 1 : state[STATE.own]!;
  const changedAt = state[STATE.changedAt]!;
  const saidAt = state[STATE.saidAt]!;
  return {
    siteId: history.siteId,
    parameters:
      own === 1
        ? parameters
        : {
            ...parameters,
            granularityKg: parameters.granularityKg * own,
            roughness: parameters.roughness * own,
            ...(parameters.perPickup === undefined ? {} : { perPickup: parameters.perPickup * own }),
          },
    rate: { a, b: kg * (a - 1), asOf: standing.asOf },
    levelFactor: levelFactor(level),
    exposure,
    // A surge that was over before the last emptying is gone with it.
    surges: surges
      .filter((surge) => surge.endsAt > standing.emptiedAt)
      .map((surge) => ({ ...surge, ratio: { ...START_RATIO, ...ratios.get(surge.eventKind) } })),
    surgeRatio: START_RATIO,
    emptiedAt: standing.emptiedAt,
    leftKg: standing.leftKg,
    ...(Number.isNaN(saidAt) ? {} : { atLeast: { kg: state[STATE.saidKg]!, at: saidAt } }),
    capacityKg: capacityL / history.litresPerKg,
    capacityL,
    litresPerKg: history.litresPerKg,
    bagKg: bags.get(history.siteId)!.kg,
    gradeShares: gradeShares(history, gradeKg, sorted),
    gradeConcentration: GRADE_PRIOR + sorted,
    basis: {
      weighIns,
      ...(weighIns === 0 ? {} : { lastWeighInAt: state[STATE.lastAt]! }),
      declaredBagsPerWeek: history.declaredBagsPerWeek,
      declaredKgPerWeek: history.declaredBagsPerWeek * history.bagKg,
      doubted,
      ...(Number.isNaN(changedAt)
        ? {}
        : { levelChange: { at: changedAt, factor: kg / state[STATE.changedFromKg]! } }),
    },
  };
}

/** Weigh-ins that were counted at less than half their weight, newest first, by place of the site. */
export function doubtedBySite(
  { sites, rows }: Pick<Prepared, 'sites' | 'rows'>,
  { doubted }: Filter,
): ReadonlyMap<number, Basis['doubted']> {
  const bySite = new Map<number, Basis['doubted'][number][]>();
  for (const { row, weight } of doubted.toReversed()) {
    const s = rows.cells[row * ROW.size + ROW.site]!;
    // A one-off place has nothing usual that a pickup could differ from.
    if (isOneOff(sites[s]!.history)) continue;
    const one = {
      weighInId: sites[s]!.history.evidence[rows.places[row]!]!.id,
      at: rows.cells[row * ROW.size + ROW.at]!,
      weight,
    };
    const list = bySite.get(s);
    if (list) list.push(one);
    else bySite.set(s, [one]);
  }
  return bySite;
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
