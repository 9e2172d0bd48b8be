/** Simulated years of the own workshop, kept world by world, so that the answer is there tomorrow. */

import type { Seconds } from '../core/quantity/units.ts';
import type { YearsProgress } from '../core/simulation/run-years.ts';
import type { YearResult } from '../core/simulation/year-result.ts';
import type { WorthOutcome } from '../core/vocabulary.ts';
import { type Db, inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { listWorthRuns, saveWorthRun, type WorthRun } from '../store/worth-runs.ts';
import type { Context } from './context.ts';
import type { WorthWanted } from './own-workshop.ts';

/** Drives the years somewhere that holds nobody up; a signal ends it with the worlds that are whole. */
export type YearsRunner = (wanted: WorthWanted, hooks: YearsHooks) => Promise<void>;
export type YearsHooks = {
  readonly onProgress: (progress: YearsProgress) => void;
  /** All policies have been through one more world. */
  readonly onWorld: (years: readonly YearResult[]) => void;
  readonly signal: AbortSignal;
};

export const newWorthRun = (
  { now, newId }: Context,
  { wanted, actor }: { readonly wanted: WorthWanted; readonly actor: string },
): WorthRun => ({
  id: newId(),
  startedAt: now(),
  startedBy: actor,
  wanted,
  years: [],
  tookS: 0,
  outcome: null,
});

/** After each whole world. */
export function keepWorthYears({ store }: Context, run: WorthRun): void {
  inTransaction(store, (tx) => saveWorthRun(tx, run));
}

/** A run without a single whole world leaves only its journal entry. */
export function endWorthRun(
  { store, now }: Context,
  run: WorthRun & { readonly outcome: WorthOutcome },
  message?: string,
): void {
  inTransaction(store, (tx) => {
    if (run.years.length > 0) saveWorthRun(tx, run);
    appendEntry(tx, {
      at: now(),
      kind: 'worth-run-ended',
      subject: `worth-run:${run.id}`,
      actor: run.startedBy,
      facts: {
        outcome: run.outcome,
        worlds: worldsOf(run),
        wanted: run.wanted.seeds.length,
        ...(message === undefined ? {} : { message }),
      },
    });
  });
}

export const worldsOf = (run: WorthRun): number => new Set(run.years.map((year) => year.seed)).size;

/** Seconds a site and simulated week of all policies, measured on two shared cores: for the very first estimate. */
const USUAL_S_PER_SITE_WEEK = 0.03;

/** Wall clock of one world: by the last run on this machine, if there was one. */
export function secondsPerWorld(
  db: Db,
  wanted: WorthWanted,
): { readonly s: Seconds; readonly isMeasured: boolean } {
  const work = ({ world, planner }: WorthRun['wanted']): number =>
    world.donors * world.weeks * planner.iterations * planner.horizonDays;
  const last = listWorthRuns(db).find((run) => run.tookS > 0 && worldsOf(run) > 0);
  if (!last)
    return { s: USUAL_S_PER_SITE_WEEK * wanted.world.donors * wanted.world.weeks, isMeasured: false };
  return { s: (last.tookS / worldsOf(last)) * (work(wanted) / work(last.wanted)), isMeasured: true };
}
