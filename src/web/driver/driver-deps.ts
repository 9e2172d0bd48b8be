/** What the driver's pages need from the rest: two readers, two writers, ids and the clock. */
import type { Result } from '../../core/quantity/result.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { MarkRefusal, RoundMarked } from '../../usecases/mark-round.ts';
import type { MissedEntry, MissedRefusal } from '../../usecases/record-missed-stop.ts';
import type { WeighInEntry, WeighInRefusal } from '../../usecases/record-weigh-in.ts';
import type { RunView, StopPageView } from './run-view.ts';

export type DriverDeps = {
  now(): Instant;
  /** A fresh random id: the form's own, so that a second press of the button changes nothing. */
  newId(): string;
  readRun(driverId: string, nowAt: Instant): RunView;
  /**
   * A site stop of one of this driver's rounds; nothing for a stop that is not this driver's. A stop of a
   * superseded plan is still found: what happened there must be recordable.
   */
  readStop(driverId: string, stopId: string, nowAt: Instant): StopPageView | undefined;
  recordWeighIn(entry: StopWeighIn): Result<{ readonly weighInId: string }, WeighInRefusal>;
  recordMissedStop(entry: StopMissed): Result<{ readonly missedId: string }, MissedRefusal>;
  /** A round of this driver has left, pauses, goes on, is done. */
  markRound(marked: OwnRoundMarked): Result<{ readonly markId: string }, MarkRefusal>;
};

/** What the form hands in, at a stop of this driver. */
export type StopWeighIn = Omit<WeighInEntry, 'siteId' | 'recordedBy'> & {
  readonly stopId: string;
  readonly driverId: string;
};

export type StopMissed = Omit<MissedEntry, 'recordedBy'> & { readonly driverId: string };

export type OwnRoundMarked = Omit<RoundMarked, 'recordedBy'> & { readonly driverId: string };

export type { MissedRefusal, WeighInRefusal };
