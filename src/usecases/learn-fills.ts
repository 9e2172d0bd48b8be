/** What is known of how every site fills, learnt from the whole history; kept until the journal moves on. */
import { learnWorkshop, START_PARAMETERS, type Step } from '../core/accumulation/learn-workshop.ts';
import type { FilterParameters, SiteModel } from '../core/accumulation/site-model.ts';
import type { Db } from '../store/db.ts';
import { readLoadsWeighed } from '../store/evidence.ts';
import { lastSeq } from '../store/journal.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { readSiteHistories } from './read-site-histories.ts';

type Kept = {
  readonly seq: number;
  readonly models: ReadonlyMap<string, SiteModel>;
  /** By site, newest first. */
  readonly steps: ReadonlyMap<string, readonly Step[]>;
};
const kept = new WeakMap<Db, Kept>();

/** As many past forecasts of a site as a page shows; those of doubted weigh-ins are kept whatever their age. */
const STEPS_KEPT = 60;

/** By site id. Every write leaves a journal entry, so its last number says whether anything changed. */
export const learnFills = (db: Db): ReadonlyMap<string, SiteModel> => keptOf(db).models;

/** A site's last pickups, newest first, each with what was forecast just before it. */
export const pastForecasts = (db: Db, siteId: string): readonly Step[] => keptOf(db).steps.get(siteId) ?? [];

function keptOf(db: Db): Kept {
  const seq = lastSeq(db);
  const known = kept.get(db);
  if (known?.seq === seq) return known;
  const learnt = learnWorkshop(readSiteHistories(db), readLoadsWeighed(db), parametersOf(db));
  const fresh = { seq, models: learnt.models, steps: newestSteps(learnt.steps, learnt.models) };
  kept.set(db, fresh);
  return fresh;
}

function newestSteps(steps: readonly Step[], models: ReadonlyMap<string, SiteModel>): Map<string, Step[]> {
  const bySite = new Map<string, Step[]>();
  const doubted = new Set(
    [...models.values()].flatMap((model) => model.basis.doubted.map((one) => one.weighInId)),
  );
  for (const step of steps.toReversed()) {
    const own = bySite.get(step.siteId);
    if (!own) bySite.set(step.siteId, [step]);
    else if (own.length < STEPS_KEPT || doubted.has(step.evidenceId)) own.push(step);
  }
  return bySite;
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
