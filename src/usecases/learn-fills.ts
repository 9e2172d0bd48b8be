/** What is known of how every site fills, learnt from the whole history; kept until the journal moves on. */
import { learnWorkshop, START_PARAMETERS } from '../core/accumulation/learn-workshop.ts';
import type { FilterParameters, SiteModel } from '../core/accumulation/site-model.ts';
import type { Db } from '../store/db.ts';
import { readLoadsWeighed } from '../store/evidence.ts';
import { lastSeq } from '../store/journal.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { readSiteHistories } from './read-site-histories.ts';

const kept = new WeakMap<Db, { readonly seq: number; readonly models: ReadonlyMap<string, SiteModel> }>();

/** By site id. Every write leaves a journal entry, so its last number says whether anything changed. */
export function learnFills(db: Db): ReadonlyMap<string, SiteModel> {
  const seq = lastSeq(db);
  const known = kept.get(db);
  if (known?.seq === seq) return known.models;
  const { models } = learnWorkshop(readSiteHistories(db), readLoadsWeighed(db), parametersOf(db));
  kept.set(db, { seq, models });
  return models;
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
