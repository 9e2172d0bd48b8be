/**
 * How good the estimates were on the workshop's own history: every pickup against what was forecast just before it,
 * with parameters that had been fitted on what had come by then.
 */
import { type Backtest, backtest } from '../core/accumulation/backtest.ts';
import type { Db } from '../store/db.ts';
import { readLoadsWeighed } from '../store/evidence.ts';
import { readSiteHistories } from './read-site-histories.ts';

export type ScorePhase = 'reading' | 'scoring';

export type ScoredHistory = { readonly result: Backtest; readonly pickups: number };

/** Where the work stands. */
export type ScoreState =
  | { readonly kind: 'ready'; readonly scored: ScoredHistory }
  | { readonly kind: 'running'; readonly phase: ScorePhase; readonly forS: number }
  | { readonly kind: 'failed'; readonly message: string };

/** Runs it somewhere that holds nobody up; a signal ends it, and then it rejects. */
export type HistoryScorer = (
  onPhase: (phase: ScorePhase) => void,
  signal: AbortSignal,
) => Promise<ScoredHistory>;

export function scoreHistory(db: Db, onPhase: (phase: ScorePhase) => void = () => {}): ScoredHistory {
  onPhase('reading');
  const histories = readSiteHistories(db);
  const loads = readLoadsWeighed(db);
  const pickups = histories.reduce(
    (sum, { evidence }) => sum + evidence.filter((one) => one.kind === 'picked-up').length,
    0,
  );
  onPhase('scoring');
  return { result: backtest(histories, loads), pickups };
}
