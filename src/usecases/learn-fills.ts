/** What is known of how every site fills, learnt from the whole history; kept until the journal moves on. */
import { learnWorkshop } from '../core/accumulation/learn-workshop.ts';
import type { SiteModel } from '../core/accumulation/site-model.ts';
import type { Db } from '../store/db.ts';
import { readLoadsWeighed } from '../store/evidence.ts';
import { lastSeq } from '../store/journal.ts';
import { readSiteHistories } from './read-site-histories.ts';

const kept = new WeakMap<Db, { readonly seq: number; readonly models: ReadonlyMap<string, SiteModel> }>();

/** By site id. Every write leaves a journal entry, so its last number says whether anything changed. */
export function learnFills(db: Db): ReadonlyMap<string, SiteModel> {
  const seq = lastSeq(db);
  const known = kept.get(db);
  if (known?.seq === seq) return known.models;
  const { models } = learnWorkshop(readSiteHistories(db), readLoadsWeighed(db));
  kept.set(db, { seq, models });
  return models;
}
