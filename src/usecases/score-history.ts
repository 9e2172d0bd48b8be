/**
 * How good the estimates were on the workshop's own history. Where it is long enough, the parameters are chosen on
 * the first half of the pickups and only the second half is scored, so that nothing scored was known beforehand.
 */
import { type Backtest, backtest } from '../core/accumulation/backtest.ts';
import { fitParameters, LEAST_PICKUPS } from '../core/accumulation/fit-parameters.ts';
import { START_PARAMETERS } from '../core/accumulation/learn-workshop.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { readLoadsWeighed } from '../store/evidence.ts';
import { readSiteHistories } from './read-site-histories.ts';

export type ScorePhase = 'reading' | 'fitting' | 'scoring';

export type ScoredHistory = {
  readonly result: Backtest;
  /** Pickups that the parameters were chosen on; absent where history was too short and start values were used. */
  readonly fittedOn?: number;
  /** From then on pickups were scored; absent where all were. */
  readonly fromAt?: Instant;
  readonly pickups: number;
};

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
  const times = histories
    .flatMap(({ evidence }) => evidence.filter((one) => one.kind === 'picked-up').map((one) => one.at))
    .sort((a, b) => a - b);
  const pickups = times.length;
  const halfAt = times[Math.floor(pickups / 2)] ?? 0;
  const before = histories.map((history) => ({
    ...history,
    evidence: history.evidence.filter((one) => one.at < halfAt),
  }));
  const fittedOn = before.reduce(
    (sum, { evidence }) => sum + evidence.filter((one) => one.kind === 'picked-up').length,
    0,
  );
  if (fittedOn < LEAST_PICKUPS) {
    onPhase('scoring');
    return { result: backtest(histories, loads, START_PARAMETERS), pickups };
  }
  onPhase('fitting');
  const { parameters } = fitParameters(before, loads);
  onPhase('scoring');
  return { result: backtest(histories, loads, parameters, halfAt), fittedOn, fromAt: halfAt, pickups };
}
