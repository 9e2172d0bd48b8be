/** What the driver's pages need from the rest: two readers, two writers, ids and the clock. */
import type { Result } from '../../core/quantity/result.ts';
import type { Instant, Kg } from '../../core/quantity/units.ts';
import type { Grade, MissedReason, RejectReason } from '../../core/vocabulary.ts';
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
};

export type StopWeighIn = {
  /** Made by the form. The same id again is the same fact: the first outcome is answered, nothing is added. */
  readonly factId: string;
  readonly stopId: string;
  readonly driverId: string;
  readonly at: Instant;
  /** At least one of net mass, bags and "found full" is known; gross and tare come together, net = gross − tare. */
  readonly grossKg?: Kg;
  readonly tareKg?: Kg;
  readonly netKg?: Kg;
  readonly bags?: number;
  readonly foundFull: boolean;
  /** Part of the net that was refused or thrown out. */
  readonly rejectedKg: Kg;
  readonly rejectReason?: RejectReason;
  readonly grades: readonly { readonly grade: Grade; readonly kg: Kg }[];
  readonly note: string;
  /** A correction: the weigh-in that this one replaces. */
  readonly replacesId?: string;
};

export type WeighInRefusal =
  | { readonly kind: 'stop-not-found' }
  /** There is a weigh-in for this stop already, and this one does not say that it replaces it. */
  | { readonly kind: 'already-weighed'; readonly weighInId: string }
  /** The weigh-in to be replaced was itself replaced meanwhile, or is none of this stop's. */
  | { readonly kind: 'not-the-latest' }
  /** The same `factId` came before with other content (`at` aside: the clock moves on between two presses). */
  | { readonly kind: 'fact-differs' };

export type StopMissed = {
  readonly factId: string;
  readonly stopId: string;
  readonly driverId: string;
  readonly at: Instant;
  readonly reason: MissedReason;
  readonly note: string;
};

export type MissedRefusal =
  | { readonly kind: 'stop-not-found' }
  | { readonly kind: 'already-weighed'; readonly weighInId: string }
  | { readonly kind: 'already-missed' }
  | { readonly kind: 'fact-differs' };
