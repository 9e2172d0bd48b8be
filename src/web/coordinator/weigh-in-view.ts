/** One weigh-in as the coordinator sees it: what it says, how it fits, who entered and changed it. */
import type { Instant, Kg } from '../../core/quantity/units.ts';
import type { Grade, WeighMethod } from '../../core/vocabulary.ts';
import type { Amounts } from '../shared/weigh-in-fields.ts';
import type { WorkshopView } from './week-sheet-view.ts';

/** A weigh-in that does not fit what was expected and that nobody has answered for. */
export type DoubtView = {
  readonly weighInId: string;
  readonly siteId: string;
  readonly siteName: string;
  readonly at: Instant;
  readonly kg: Kg;
  /** Four chances in five, as expected just before. */
  readonly lowKg: Kg;
  readonly highKg: Kg;
  /** How much it counts, 0 to 1. */
  readonly weight: number;
};

export type ConfirmedView = { readonly by: string; readonly at: Instant };

/** One entry of its history, oldest first: the first figure, then each correction. */
export type WeighInVersion = {
  readonly weighInId: string;
  readonly at: Instant;
  readonly siteName: string;
  readonly amounts: Amounts;
  readonly method: WeighMethod;
  readonly by: string;
  readonly recordedAt: Instant;
};

export type WeighInView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  readonly siteId: string;
  readonly bagKg: Kg;
  /** What stands now. */
  readonly now: WeighInVersion;
  /** False when a correction has taken its place: then `now` is not the one that was asked for. */
  readonly isCurrent: boolean;
  readonly versions: readonly WeighInVersion[];
  readonly doubt?: DoubtView;
  readonly expected?: { readonly lowKg: Kg; readonly highKg: Kg };
  readonly confirmed?: ConfirmedView;
  /** A pickup in a round stays with its stop; only others may have been written under the wrong site. */
  readonly stopId: string | null;
  readonly sites: readonly { readonly id: string; readonly name: string }[];
  readonly grades: readonly { readonly grade: Grade }[];
};
