/** Puts away what is known of the sites while the server runs, so that the next start goes on from it. */
import { lastSeq } from '../store/journal.ts';
import type { Context } from '../usecases/context.ts';
import { saveFills } from '../usecases/learn-fills.ts';

const LOOK_EVERY_MS = 15_000;

export type LearntKeeper = { readonly stop: () => void };

/** @param onFault for the log; the next look tries again */
export function keepLearnt(
  { store }: Context,
  onFault: (error: unknown) => void,
  lookEveryMs = LOOK_EVERY_MS,
): LearntKeeper {
  let seenSeq = -1;
  const look = (): void => {
    try {
      const seq = lastSeq(store);
      // Before there is a workshop there is nothing in the journal, and nothing to learn.
      if (seq === seenSeq || seq === 0) return;
      saveFills(store);
      seenSeq = seq;
    } catch (error) {
      onFault(error);
    }
  };
  const timer = setInterval(look, lookEveryMs);
  timer.unref();
  return {
    stop() {
      clearInterval(timer);
      look();
    },
  };
}
