/**
 * What is known of how every site fills: kept until the journal moves on, and then carried on with what is new. Only
 * where that cannot be (a correction, an import, a changed register) is it learnt from the whole history again.
 */
import { carryOn, pooledRecord, siteRecords, takeUp } from '../core/accumulation/carry-on.ts';
import {
  filterPrepared,
  type Learning,
  learnPrepared,
  prepareWorkshop,
  START_PARAMETERS,
  type Step,
  stepsOf,
} from '../core/accumulation/learn-workshop.ts';
import type { Evidence } from '../core/accumulation/site-history.ts';
import type { FilterParameters, SiteModel } from '../core/accumulation/site-model.ts';
import { type Db, inTransaction, type Store } from '../store/db.ts';
import { readEvidence, readLoadsWeighed } from '../store/evidence.ts';
import { type Entry, lastSeq, readEntriesAfter } from '../store/journal.ts';
import type { EntryKind } from '../store/journal-kinds.ts';
import { readLearnt, saveLearnt } from '../store/learnt.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { readRegister, readSiteHistories } from './read-site-histories.ts';

type Kept = {
  seq: number;
  readonly learning: Learning;
  /** By site, newest first; absent where what was put away has been taken up and nobody asked for them yet. */
  steps: Map<string, Step[]> | undefined;
  /** Sites that moved since it was last put away; `all` where it never was. */
  changed: Set<string> | 'all';
};
const kept = new WeakMap<Db, Kept>();

/** As many past forecasts of a site as a page shows; those of doubted weigh-ins are kept whatever their age. */
const STEPS_KEPT = 60;
/** More entries than this since, and learning anew is as fast. */
const MOST_ENTRIES = 5_000;

/** Entries that bring evidence, and where it is named in their facts. */
const NEWS: { readonly [kind in EntryKind]?: string } = {
  'weigh-in-recorded': 'weighInId',
  'stop-missed': 'missedId',
  'container-reported-full': 'reportId',
};
/** Entries that bear on no estimate. All others mean that it is learnt anew. */
export const OF_NO_MATTER: ReadonlySet<string> = new Set<EntryKind>([
  'site-moved',
  'plan-drafted',
  'plan-changed',
  'plan-change-taken-back',
  'plan-published',
  'plan-dropped',
  'plan-in-danger',
  'round-started',
  'round-paused',
  'round-resumed',
  'round-finished',
  'van-off-road',
  'van-back',
  'driver-away',
  'driver-back',
  'driver-changed',
  'production-day-changed',
  'production-day-pressed',
  'stock-corrected',
  'film-delivered',
  'take-back-received',
  'link-made',
  'link-withdrawn',
  'calendar-link-made',
  'calendar-link-withdrawn',
  'entered',
  'left',
  'estimator-fit-failed',
  'objective-changed',
  'worth-run-ended',
  'reaction-parked',
  'reaction-tried-again',
  'reaction-set-aside',
  'word-choice-changed',
  'word-template-changed',
  'word-parked',
  'word-tried-again',
]);

/** By site id. Every write leaves a journal entry, so its last number says whether anything changed. */
export const learnFills = (db: Db): ReadonlyMap<string, SiteModel> => keptOf(db).learning.models;

/** A site's last pickups, newest first, each with what was forecast just before it. */
export function pastForecasts(db: Db, siteId: string): readonly Step[] {
  const own = keptOf(db);
  own.steps ??= stepsOfAll(db, own.learning);
  return own.steps.get(siteId) ?? [];
}

/** Puts away what is known, so that the next start goes on from it. True if anything was new. */
export function saveFills(store: Store): boolean {
  const own = keptOf(store);
  const { changed, learning, seq } = own;
  if (changed !== 'all' && changed.size === 0) return false;
  if (!Number.isFinite(learning.lastAt)) return false;
  inTransaction(store, (tx) => {
    const sites = siteRecords(learning, changed === 'all' ? undefined : changed);
    saveLearnt(tx, { seq, pooled: pooledRecord(learning), sites }, changed === 'all');
  });
  own.changed = new Set();
  return true;
}

function keptOf(db: Db): Kept {
  const seq = lastSeq(db);
  const known = kept.get(db) ?? takenUp(db);
  if (known && (known.seq === seq || isCarriedOn(db, known, seq))) {
    known.seq = seq;
    kept.set(db, known);
    return known;
  }
  const learning = learnPrepared(
    prepareWorkshop(readSiteHistories(db), readLoadsWeighed(db)),
    parametersOf(db),
  );
  const fresh: Kept = { seq, learning, steps: undefined, changed: 'all' };
  kept.set(db, fresh);
  return fresh;
}

function takenUp(db: Db): Kept | undefined {
  const records = readLearnt(db);
  if (!records) return undefined;
  const learning = takeUp(readRegister(db), records.pooled, records.sites);
  return learning && { seq: records.seq, learning, steps: undefined, changed: new Set() };
}

function isCarriedOn(db: Db, known: Kept, untilSeq: number): boolean {
  const entries = readEntriesAfter(db, known.seq, MOST_ENTRIES).filter(
    (entry) => entry.seq <= untilSeq && !OF_NO_MATTER.has(entry.kind),
  );
  if (entries.length >= MOST_ENTRIES || entries.some((entry) => !(entry.kind in NEWS))) return false;
  if (entries.length === 0) return true;
  const news = newsOf(db, entries, known.learning);
  const steps = news && carryOn(known.learning, news);
  if (!steps) return false;
  for (const siteId of news.keys()) if (known.changed !== 'all') known.changed.add(siteId);
  if (known.steps) for (const step of steps) remember(known.steps, step);
  return true;
}

/** The evidence that entries tell of, by site; nothing where some of it is not the newest, or is gone. */
function newsOf(
  db: Db,
  entries: readonly Entry[],
  learning: Learning,
): ReadonlyMap<string, readonly Evidence[]> | undefined {
  const ids = new Set<string>();
  const siteIds = new Set<string>();
  for (const { kind, subject, facts } of entries) {
    const id = (facts as { readonly [name: string]: unknown })[NEWS[kind as EntryKind]!];
    if (typeof id !== 'string' || !subject.startsWith('site:')) return undefined;
    ids.add(id);
    siteIds.add(subject.slice('site:'.length));
  }
  const news = new Map<string, Evidence[]>();
  for (const [siteId, evidence] of readEvidence(db, learning.lastAt, [...siteIds])) {
    const own = evidence.filter((one) => ids.delete(one.id));
    if (own.length > 0) news.set(siteId, own);
  }
  return ids.size === 0 ? news : undefined;
}

function stepsOfAll(db: Db, { filter }: Learning): Map<string, Step[]> {
  const prepared = prepareWorkshop(readSiteHistories(db), readLoadsWeighed(db));
  const steps = new Map<string, Step[]>();
  for (const step of stepsOf(prepared, filterPrepared(prepared, filter.parameters).said))
    remember(steps, step);
  return steps;
}

function remember(steps: Map<string, Step[]>, step: Step): void {
  const own = steps.get(step.siteId);
  if (!own) {
    steps.set(step.siteId, [step]);
    return;
  }
  own.unshift(step);
  const oldest = own.findLastIndex((one) => one.weight >= 0.5);
  if (own.length > STEPS_KEPT && oldest >= 0) own.splice(oldest, 1);
}

/** What was fitted on the own history, or the start values while that is short. */
export function parametersOf(db: Db): FilterParameters {
  const fitted = requireWorkshop(db).settings.filter;
  if (!fitted) return START_PARAMETERS;
  const { forgetPerWeek, granularityKg, roughness, ...parts } = fitted;
  const { perPickup, changePerWeek, roughnessSpread, habitSpread } = parts;
  return {
    forgetPerWeek,
    granularityKg,
    roughness,
    ...(perPickup === undefined ? {} : { perPickup }),
    ...(changePerWeek === undefined ? {} : { changePerWeek }),
    ...(roughnessSpread === undefined ? {} : { roughnessSpread }),
    ...(habitSpread === undefined ? {} : { habitSpread }),
  };
}
