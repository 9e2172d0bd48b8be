/** What the page of simulated years shows. */

import type { Instant, Seconds } from '../../core/quantity/units.ts';
import type { YearsProgress } from '../../core/simulation/run-years.ts';
import type { WorthOutcome } from '../../core/vocabulary.ts';
import type { WorthComparison } from '../../usecases/compare-worth.ts';
import type { SizeRefusal, WorthWanted } from '../../usecases/own-workshop.ts';
import type { WorkshopView } from './week-sheet-view.ts';

export type WorthResult = {
  readonly runId: string;
  readonly startedAt: Instant;
  readonly startedBy: string;
  readonly outcome: WorthOutcome | null;
  readonly wanted: WorthWanted;
  readonly tookS: Seconds;
  readonly comparison: WorthComparison;
};

export type WorthView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  readonly running?: {
    readonly forS: Seconds;
    readonly progress?: YearsProgress;
    readonly isStopping: boolean;
    /** Worlds that are whole. */
    readonly worldsDone: number;
  };
  /** The run on show: the newest that has a whole world, or the one that was asked for. */
  readonly result?: WorthResult;
  /** Earlier runs to look back at, newest first. */
  readonly earlier: readonly {
    readonly runId: string;
    readonly startedAt: Instant;
    readonly worlds: number;
    readonly weeks: number;
  }[];
  /** What one world of a year takes here, or why nothing can be simulated yet. */
  readonly next:
    | {
        readonly kind: 'ready';
        readonly wanted: WorthWanted;
        readonly worldS: Seconds;
        readonly isMeasured: boolean;
      }
    | SizeRefusal;
};
