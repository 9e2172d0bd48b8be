/** What the interface needs from the rest. */

import type { Context, Planner } from '../../usecases/context.ts';
import type { ScoreState } from '../../usecases/score-history.ts';

export type ApiDeps = {
  /** The back-test of the own history: its result, or how far the work is after `waitMs`. */
  readonly scores: { readonly read: (waitMs: number) => Promise<ScoreState> };
  readonly context: Context;
  readonly planner: Planner;
};
