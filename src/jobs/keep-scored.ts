/** The back-test of the own history: computed when somebody asks, kept until the facts it rests on move on. */
import type { Db } from '../store/db.ts';
import { lastSeqBeside } from '../store/journal.ts';
import type { HistoryScorer, ScoredHistory, ScorePhase, ScoreState } from '../usecases/score-history.ts';

/** What happens without anything being weighed, registered or corrected: it changes no score. */
const BESIDE = [
  'entered',
  'link-made',
  'link-withdrawn',
  'plan-drafted',
  'plan-published',
  'estimator-fitted',
  'estimator-fit-failed',
  'objective-changed',
  'worth-run-ended',
];
const RETRY_AFTER_MS = 60_000;

export type ScoreKeeper = {
  /** Starts the work if it is not done; answers when it is, or what there is to say after `waitMs`. */
  readonly read: (waitMs: number) => Promise<ScoreState>;
  readonly stop: () => Promise<void>;
};

export function keepScored(db: Db, score: HistoryScorer, onFault: (error: unknown) => void): ScoreKeeper {
  const stopping = new AbortController();
  let done: { readonly seq: number; readonly scored: ScoredHistory } | undefined;
  let failed: { readonly seq: number; readonly untilMs: number; readonly message: string } | undefined;
  let running: { phase: ScorePhase; readonly sinceMs: number; readonly ended: Promise<void> } | undefined;

  const start = (seq: number): void => {
    const work = score((phase) => {
      if (running) running.phase = phase;
    }, stopping.signal);
    const ended = work
      .then(
        (scored) => {
          done = { seq, scored };
          failed = undefined;
        },
        (error: unknown) => {
          if (stopping.signal.aborted) return;
          const message = error instanceof Error ? error.message : String(error);
          failed = { seq, untilMs: performance.now() + RETRY_AFTER_MS, message };
          onFault(error);
        },
      )
      .finally(() => {
        running = undefined;
      });
    running = { phase: 'reading', sinceMs: performance.now(), ended };
  };
  const state = (seq: number): ScoreState | undefined => {
    if (done?.seq === seq) return { kind: 'ready', scored: done.scored };
    if (failed?.seq === seq && performance.now() < failed.untilMs)
      return { kind: 'failed', message: failed.message };
    return undefined;
  };
  return {
    async read(waitMs) {
      const seq = lastSeqBeside(db, BESIDE);
      const known = state(seq);
      if (known) return known;
      if (!running) start(seq);
      const { ended } = running!;
      let timer: NodeJS.Timeout | undefined;
      const waited = new Promise<void>((over) => {
        timer = setTimeout(over, waitMs);
      });
      await Promise.race([ended, waited]);
      clearTimeout(timer);
      const now = state(seq);
      if (now) return now;
      const { phase, sinceMs } = running ?? { phase: 'reading', sinceMs: performance.now() };
      return { kind: 'running', phase, forS: Math.round((performance.now() - sinceMs) / 1000) };
    },
    async stop() {
      stopping.abort();
      await running?.ended;
    },
  };
}
