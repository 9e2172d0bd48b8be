/**
 * Runs the reactions while the server runs: at once when something is written in this process, after a while when
 * another process wrote, and again when what failed is due. Each reaction goes its own way, so that one that computes
 * a plan holds up no other.
 */
import { afterWrites } from '../store/db.ts';
import { lastSeq } from '../store/journal.ts';
import { hasWaiting } from '../store/reactions.ts';
import { beginReactions, type Reacting, takeStep } from '../usecases/react.ts';
import type { Reaction } from '../usecases/reaction.ts';

const LOOK_EVERY_MS = 2000;

export type KeepReacting = {
  readonly context: Omit<Reacting, 'signal' | 'onFault'>;
  readonly reactions: readonly Reaction[];
  /** For the log. */
  readonly onFault: (error: unknown) => void;
  readonly lookEveryMs?: number;
};

export type Reactor = {
  /** Answers once nothing is left to do now. */
  readonly settled: () => Promise<void>;
  /** Ends after the steps that are being taken; what is left waits in the database. */
  readonly stop: () => Promise<void>;
};

export function keepReacting({
  context,
  reactions,
  onFault,
  lookEveryMs = LOOK_EVERY_MS,
}: KeepReacting): Reactor {
  const stopping = new AbortController();
  const { signal } = stopping;
  const reacting: Reacting = { ...context, signal, onFault };
  beginReactions(context, reactions);
  const walks = reactions.map((reaction) => walk(reacting, reaction, onFault));
  const wake = (): void => {
    for (const one of walks) one.wake();
  };
  const forget = afterWrites(context.store, wake);
  const timer = setInterval(wake, lookEveryMs);
  timer.unref();
  wake();
  return {
    settled: async () => {
      // One reaction's effect may be another's cause.
      while (walks.some((one) => one.going())) await Promise.all(walks.map((one) => one.going()));
    },
    async stop() {
      clearInterval(timer);
      forget();
      stopping.abort();
      await Promise.all(walks.map((one) => one.going()));
    },
  };
}

/** Steps of one reaction, one after the other, as long as there are any. */
function walk(reacting: Reacting, reaction: Reaction, onFault: (error: unknown) => void) {
  let going: Promise<void> | undefined;
  let isCalled = false;
  /** The journal's last number when nothing was left to do: while it stands, a call costs next to nothing. */
  let idleSeq = -1;
  const { store, signal } = reacting;
  const go = async (): Promise<void> => {
    while (isCalled && !signal.aborted) {
      isCalled = false;
      for (;;) {
        // Between two steps others have their turn.
        await new Promise((next) => setImmediate(next));
        const seq = lastSeq(store);
        if (signal.aborted || (seq === idleSeq && !hasWaiting(store, reaction.name))) break;
        if ((await takeStep(reacting, reaction)) !== 'nothing') continue;
        idleSeq = seq;
        break;
      }
    }
  };
  return {
    going: () => going,
    wake(): void {
      isCalled = true;
      // A step that breaks (the file is locked, say) is taken again at the next look.
      going ??= go()
        .catch(onFault)
        .finally(() => {
          going = undefined;
        });
    },
  };
}
