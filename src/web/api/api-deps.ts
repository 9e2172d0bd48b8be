/** What the interface needs from the rest. */

import type { Result } from '../../core/quantity/result.ts';
import type { WorthRun } from '../../store/worth-runs.ts';
import type { Context, Planner } from '../../usecases/context.ts';
import type { SizeRefusal } from '../../usecases/own-workshop.ts';
import type { ScoreState } from '../../usecases/score-history.ts';

export type ApiDeps = {
  /** Simulated years of the own workshop. */
  readonly worth: {
    readonly running: () =>
      | {
          readonly run: WorthRun;
          readonly progress?: { readonly share: number };
          readonly forS: number;
        }
      | undefined;
    readonly start: (request: {
      readonly worlds: number;
      readonly weeks: number;
      readonly actor: string;
    }) => Result<{ readonly runId: string }, SizeRefusal | { readonly kind: 'already-running' }>;
    readonly stopRun: () => boolean;
  };
  /** The back-test of the own history: its result, or how far the work is after `waitMs`. */
  readonly scores: { readonly read: (waitMs: number) => Promise<ScoreState> };
  readonly context: Context;
  readonly planner: Planner;
};
