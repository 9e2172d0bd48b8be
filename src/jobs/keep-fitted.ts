/**
 * Keeps the estimator fitted while the server runs: looks at the start and whenever the journal has moved on, fits
 * somewhere else when enough is new, one fit at a time. A fit that fails is said, and tried again after a while.
 */
import { lastSeq } from '../store/journal.ts';
import type { Context } from '../usecases/context.ts';
import { type HistoryFitter, isFitDue, keepFit, noteFailedFit } from '../usecases/fit-estimator.ts';

const LOOK_EVERY_MS = 15_000;
const RETRY_AFTER_MS = 3_600_000;
const ACTOR = 'server';

export type KeepFitted = {
  readonly context: Context;
  readonly fit: HistoryFitter;
  /** For the log. */
  readonly onFault: (error: unknown) => void;
  readonly lookEveryMs?: number;
  readonly retryAfterMs?: number;
};

export type Keeper = {
  /** Ends a fit that runs, and returns when nothing of it is left. */
  readonly stop: () => Promise<void>;
};

export function keepFitted(deps: KeepFitted): Keeper {
  const {
    context,
    fit: fitHistory,
    onFault,
    lookEveryMs = LOOK_EVERY_MS,
    retryAfterMs = RETRY_AFTER_MS,
  } = deps;
  const stopping = new AbortController();
  let seenSeq = -1;
  let notBeforeMs = 0;
  let running: Promise<void> | undefined;

  const fitNow = async (): Promise<void> => {
    try {
      const fitted = await fitHistory(stopping.signal);
      if (!stopping.signal.aborted) keepFit(context, fitted, ACTOR);
    } catch (error) {
      if (stopping.signal.aborted) return;
      notBeforeMs = performance.now() + retryAfterMs;
      onFault(error);
      noteFailedFit(context, error instanceof Error ? error.message : String(error), ACTOR);
    }
  };
  const look = (): void => {
    if (running || performance.now() < notBeforeMs) return;
    try {
      const seq = lastSeq(context.store);
      // After a failure nothing need have changed for another try.
      if (seq === seenSeq && notBeforeMs === 0) return;
      seenSeq = seq;
      notBeforeMs = 0;
      if (!isFitDue(context.store)) return;
      running = fitNow()
        .catch(onFault)
        .finally(() => {
          running = undefined;
        });
    } catch (error) {
      // A look that fails (the file is locked, say) must not end the server.
      notBeforeMs = performance.now() + retryAfterMs;
      onFault(error);
    }
  };
  const timer = setInterval(look, lookEveryMs);
  timer.unref();
  look();
  return {
    async stop() {
      clearInterval(timer);
      stopping.abort();
      await running;
    },
  };
}
