/**
 * Learning that goes on: new evidence costs what it is, not what the history is. What was learnt can be put away as
 * plain data and taken up again. Where new evidence is not simply the newest (it comes late, it belongs to a load
 * whose total is still to come, the register changed), whoever asks must learn anew from the whole history.
 */
import type { Instant, Kg } from '../quantity/units.ts';
import type { EventKind, Grade } from '../vocabulary.ts';
import type { BagMass } from './bag-mass.ts';
import { evidenceRows, type RowSite, type Standing } from './evidence-rows.ts';
import { runFilter } from './filter.ts';
import { type Filter, type Level, levelFactor, newFilter, STATE } from './filter-state.ts';
import {
  biasesByDay,
  doubtedBySite,
  type Learning,
  rowSite,
  type Step,
  siteModel,
  startRate,
  stepsOf,
} from './learn-workshop.ts';
import { observeAll } from './observe.ts';
import type { Evidence, SiteHistory } from './site-history.ts';
import type { Basis, FilterParameters } from './site-model.ts';
import type { SurgeRatio } from './surge-ratio.ts';

/**
 * Takes new evidence in, in place: the models of its sites are made anew, the level of all is moved.
 *
 * @param news by site, in order of time
 * @returns the new pickups, each with what was forecast just before it; nothing, and nothing is changed, where this
 * cannot be carried on from
 */
export function carryOn(
  learning: Learning,
  news: ReadonlyMap<string, readonly Evidence[]>,
): readonly Step[] | undefined {
  const { sites, filter, bags, models } = learning;
  const places = new Map<string, number>();
  sites.forEach(({ history }, s) => {
    if (news.has(history.siteId)) places.set(history.siteId, s);
  });
  if (places.size < news.size) return undefined;
  for (const [siteId, s] of places)
    for (const one of news.get(siteId)!)
      if (
        one.at <= learning.lastAt ||
        one.at < sites[s]!.standing.emptiedAt ||
        (one.kind === 'picked-up' && one.loadId !== undefined)
      )
        return undefined;

  const told = sites.slice();
  for (const [siteId, s] of places)
    told[s] = { ...sites[s]!, history: { ...sites[s]!.history, evidence: news.get(siteId)! } };
  const asked = [...places.values()].sort((a, b) => a - b);
  const observed = observeAll(
    asked.map((s) => told[s]!.history),
    [],
    bags,
  );
  const rows = evidenceRows(told, observed, asked);
  const earlier = Int32Array.from(sites, (_, s) => filter.states[s * STATE.size + STATE.weighIns]!);
  const said = { forecasts: new Float64Array(rows.count * 4), weights: new Float64Array(rows.count) };
  filter.doubted.length = 0;
  runFilter(filter, rows, (s, at) => startRate(sites[s]!.history, learning.biases(at)), said);
  for (const [siteId, bag] of observed.bags) bags.set(siteId, bag);
  for (const evidence of news.values())
    learning.lastAt = Math.max(learning.lastAt, evidence.at(-1)?.at ?? learning.lastAt);

  const factor = levelFactor(filter.level);
  const known = biasesByDay(sites, filter)(Number.POSITIVE_INFINITY);
  for (const [s, site] of sites.entries()) {
    const { siteId } = site.history;
    if (places.has(siteId)) continue;
    const model = models.get(siteId)!;
    if (model.basis.weighIns === 0) {
      models.set(siteId, siteModel(site, s, bags, filter, startRate(site.history, known), []));
      continue;
    }
    const ratios = model.surges.map((surge) => ({
      ...surge,
      ratio: { ...(filter.ratios.get(surge.eventKind) ?? model.surgeRatio) },
    }));
    models.set(siteId, { ...model, levelFactor: factor, surges: ratios });
  }
  const doubted = doubtedBySite({ sites: told, rows }, filter);
  for (const [siteId, s] of places) {
    const before = models.get(siteId)!.basis.doubted;
    const all = [...(doubted.get(s) ?? []), ...before];
    const site = sites[s]!;
    models.set(siteId, siteModel(site, s, bags, filter, startRate(site.history, known), all));
  }
  return stepsOf({ sites: told, rows }, said, undefined, undefined, earlier);
}

/** A site's part of what was learnt, as plain data. */
export type SiteRecord = {
  readonly standing: Standing;
  /** In the order of `STATE`; null for "never". */
  readonly state: readonly (number | null)[];
  readonly bag: BagMass;
  readonly gradeKg: readonly (readonly [Grade, Kg])[];
  readonly doubted: Basis['doubted'];
};

/** What all sites share. */
export type PooledRecord = {
  readonly parameters: FilterParameters;
  /** Without a time until a site was weighed for the third time. */
  readonly level: Omit<Level, 'at'> & { readonly at: Instant | null };
  readonly ratios: readonly (readonly [EventKind, SurgeRatio])[];
  readonly lastAt: Instant;
};

/** @param only the sites that are wanted; else all */
export function siteRecords(
  { sites, filter, bags, models }: Learning,
  only?: ReadonlySet<string>,
): ReadonlyMap<string, SiteRecord> {
  const records = new Map<string, SiteRecord>();
  for (const [s, { history, standing, gradeKg }] of sites.entries()) {
    const { siteId } = history;
    if (only && !only.has(siteId)) continue;
    const state = filter.states.subarray(s * STATE.size, (s + 1) * STATE.size);
    records.set(siteId, {
      standing: { ...standing },
      state: Array.from(state, (x) => (Number.isNaN(x) ? null : x)),
      bag: bags.get(siteId)!,
      gradeKg: [...gradeKg],
      doubted: models.get(siteId)!.basis.doubted,
    });
  }
  return records;
}

export const pooledRecord = ({ filter, lastAt }: Learning): PooledRecord => ({
  parameters: filter.parameters,
  level: { ...filter.level, at: Number.isNaN(filter.level.at) ? null : filter.level.at },
  ratios: [...filter.ratios],
  lastAt,
});

/**
 * Takes up what was put away. Nothing where the sites of the register are not the ones of the records.
 *
 * @param register the sites as they are now; their evidence is not looked at
 */
export function takeUp(
  register: readonly SiteHistory[],
  pooled: PooledRecord,
  records: ReadonlyMap<string, SiteRecord>,
): Learning | undefined {
  if (register.length !== records.size) return undefined;
  const sites: RowSite[] = [];
  const bags = new Map<string, BagMass>();
  const filter: Filter = {
    ...newFilter(register.length, pooled.parameters),
    level: { ...pooled.level, at: pooled.level.at ?? Number.NaN },
    ratios: new Map(pooled.ratios.map(([kind, ratio]) => [kind, { ...ratio }])),
  };
  const sorted = register.toSorted((a, b) => (a.siteId < b.siteId ? -1 : 1));
  for (const [s, history] of sorted.entries()) {
    const record = records.get(history.siteId);
    if (record?.state.length !== STATE.size) return undefined;
    const site = rowSite({ ...history, evidence: [] });
    Object.assign(site.standing, record.standing);
    for (const [grade, kg] of record.gradeKg) site.gradeKg.set(grade, kg);
    sites.push(site);
    bags.set(history.siteId, record.bag);
    record.state.forEach((x, i) => {
      filter.states[s * STATE.size + i] = x ?? Number.NaN;
    });
  }
  const biases = biasesByDay(sites, filter);
  const known = biases(Number.POSITIVE_INFINITY);
  const models = new Map(
    sites.map((site, s) => [
      site.history.siteId,
      siteModel(
        site,
        s,
        bags,
        filter,
        startRate(site.history, known),
        records.get(site.history.siteId)!.doubted,
      ),
    ]),
  );
  return { sites, bags, filter, biases: biasesByDay(sites, filter), models, lastAt: pooled.lastAt };
}
