/** Fits how sites fill to the workshop's own history, when there is enough of it and a good part is new. */
import { fitParameters, LEAST_PICKUPS } from '../core/accumulation/fit-parameters.ts';
import { learnWeekdays, type Weekdays, weekdayWeights } from '../core/accumulation/learn-weekdays.ts';
import type { FilterParameters } from '../core/accumulation/site-model.ts';
import { type Db, inTransaction } from '../store/db.ts';
import { readLoadsWeighed } from '../store/evidence.ts';
import { appendEntry } from '../store/journal.ts';
import { countPickups } from '../store/weigh-ins.ts';
import { getWorkshop, requireWorkshop, saveWorkshop } from '../store/workshop.ts';
import type { Context } from './context.ts';
import { readSiteHistories } from './read-site-histories.ts';

/** A tenth more pickups than last time may change the answer; fewer hardly do. */
const NEW_SHARE = 0.1;

export type FittedHistory = {
  readonly parameters: FilterParameters;
  readonly weekdays: Weekdays;
  readonly pickups: number;
};

/** Runs the fit somewhere that holds nobody up; a signal ends it, and then it rejects. */
export type HistoryFitter = (signal: AbortSignal) => Promise<FittedHistory>;

/** Enough pickups, and a good part of them new. Cheap: two counts. */
export function isFitDue(db: Db): boolean {
  const workshop = getWorkshop(db);
  if (!workshop) return false;
  const pickups = countPickups(db);
  const last = workshop.settings.filter?.pickups ?? 0;
  return pickups >= LEAST_PICKUPS && pickups >= last * (1 + NEW_SHARE);
}

/** Seconds of work on a long history: not for a page to wait on. */
export function fitHistory(db: Db): FittedHistory {
  const histories = readSiteHistories(db);
  const weekdays = learnWeekdays(histories);
  const told = histories.map((history) => ({
    ...history,
    weekdayWeights: weekdayWeights(history, weekdays),
  }));
  return {
    parameters: fitParameters(told, readLoadsWeighed(db)).parameters,
    weekdays,
    pickups: countPickups(db),
  };
}

export function keepFit(
  { store, now }: Context,
  { parameters, weekdays, pickups }: FittedHistory,
  actor: string,
): void {
  inTransaction(store, (tx) => {
    const workshop = requireWorkshop(tx);
    const filter = { ...parameters, weekdays, pickups };
    saveWorkshop(tx, { ...workshop, settings: { ...workshop.settings, filter } });
    appendEntry(tx, {
      at: now(),
      kind: 'estimator-fitted',
      subject: 'workshop:workshop',
      actor,
      facts: filter,
    });
  });
}

/** In the journal, so that whoever wonders why the estimates stay as they are can see it. */
export function noteFailedFit({ store, now }: Context, message: string, actor: string): void {
  inTransaction(store, (tx) => {
    appendEntry(tx, {
      at: now(),
      kind: 'estimator-fit-failed',
      subject: 'workshop:workshop',
      actor,
      facts: { message },
    });
  });
}

/** In place, for a command. True if new parameters were kept. */
export function fitEstimator(context: Context, actor: string): boolean {
  if (!isFitDue(context.store)) return false;
  keepFit(context, fitHistory(context.store), actor);
  return true;
}
