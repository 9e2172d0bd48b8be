/** What the server and a thread that works over the whole history say to each other: plain data, structured-cloned. */
import type { FittedHistory } from '../usecases/fit-estimator.ts';
import type { ScoredHistory, ScorePhase } from '../usecases/score-history.ts';

/** The thread opens the database itself: reading a long history would hold the server up as well. */
export type HistoryWork = { readonly task: 'fit' | 'score'; readonly databasePath: string };

export type HistoryAnswer =
  | { readonly kind: 'phase'; readonly phase: ScorePhase }
  | { readonly kind: 'fitted'; readonly fitted: FittedHistory }
  | { readonly kind: 'scored'; readonly scored: ScoredHistory }
  | { readonly kind: 'failed'; readonly message: string };
