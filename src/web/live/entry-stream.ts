/**
 * The journal as server-sent events (WHATWG HTML, 9.2): every entry that the listener may hear of, once, in order, from
 * the one after a given place on. The place is the entry's number, so a browser that comes back with `Last-Event-ID`
 * goes on where it was, out of the journal itself: nothing is kept for it here.
 */
import { afterWrites, type Store } from '../../store/db.ts';
import { type Entry, lastSeq, readEntriesAfter } from '../../store/journal.ts';

/** What other processes write must be looked for. */
const LOOK_EVERY_MS = 2000;
/** Proxies commonly let go of a silent connection after a minute (common practice, no source). */
const HEARTBEAT_MS = 20_000;
const RETRY_MS = 3000;
/** Whoever has missed more than this loads the page anew and need not be told one by one. */
export const MAX_REPLAY = 500;

export type Listening = {
  readonly store: Store;
  /** The last entry that the listener knows; nothing: from now on; NaN: it says something that is no place. */
  readonly afterSeq: number | undefined;
  /** Looks once at how things stand, and gives what to send of an entry; nothing where it is not this listener's business. */
  readonly teller: () => (entry: Entry) => object | undefined;
  /** Asked before anything is sent: whoever was shut out meanwhile hears no more. */
  readonly mayListen: () => boolean;
  /** The server stops. */
  readonly stopping: AbortSignal;
  readonly onEnd: () => void;
  readonly heartbeatMs?: number | undefined;
};

/**
 * Bytes of `text/event-stream`. Events: `told` with an entry, `here` with the place when it moved past what is not
 * told, `reset` where too much happened to tell. Nothing is read before the listener takes what was sent.
 */
export function entryStream(listening: Listening): ReadableStream<Uint8Array> {
  const { store, stopping, onEnd, heartbeatMs = HEARTBEAT_MS } = listening;
  const bytes = new TextEncoder();
  const bell = bellOf(store, stopping);
  const next = reader(listening);
  let isOver = false;
  const end = (): void => {
    if (isOver) return;
    isOver = true;
    bell.hang();
    onEnd();
  };
  let isFirst = true;
  return new ReadableStream(
    {
      async pull(controller) {
        const silentSinceMs = performance.now();
        while (!isOver) {
          const isDue = performance.now() - silentSinceMs >= heartbeatMs;
          const text = stopping.aborted ? '' : next(isFirst || isDue);
          if (stopping.aborted || (text !== '' && !listening.mayListen())) {
            end();
            controller.close();
          } else if (text === '') await bell.rung();
          else {
            controller.enqueue(bytes.encode(isFirst ? `retry: ${RETRY_MS}\n${text}` : text));
            isFirst = false;
            return;
          }
        }
      },
      cancel: end,
    },
    // Not a byte ahead of the listener.
    { highWaterMark: 0 },
  );
}

/** What is new since it was last asked, as frames; with `says`, at least a sign of life. */
function reader({ store, afterSeq, teller }: Listening): (says: boolean) => string {
  let seq = afterSeq ?? lastSeq(store);
  let saidSeq = -1;
  const here = (): string => {
    const isNew = seq !== saidSeq;
    saidSeq = seq;
    return isNew ? frame('here', seq, { seq }) : ': still here\n\n';
  };
  return (says) => {
    const last = lastSeq(store);
    if (!(last - seq <= MAX_REPLAY && seq <= last)) {
      seq = saidSeq = last;
      return frame('reset', seq, {});
    }
    let text = '';
    const tell = last > seq ? teller() : undefined;
    for (const entry of tell ? readEntriesAfter(store, seq, MAX_REPLAY) : []) {
      seq = entry.seq;
      const told = tell?.(entry);
      if (!told) continue;
      saidSeq = seq;
      text += frame('told', seq, told);
    }
    return text === '' && says ? here() : text;
  };
}

const frame = (event: string, id: number, data: object): string =>
  `event: ${event}\nid: ${id}\ndata: ${JSON.stringify(data)}\n\n`;

/** Rings when something was written here, when it is time to look for what others wrote, and at the end. */
function bellOf(store: Store, stopping: AbortSignal) {
  let isRung = false;
  let wake: (() => void) | undefined;
  const ring = (): void => {
    isRung = true;
    wake?.();
  };
  const forget = afterWrites(store, ring);
  const timer = setInterval(ring, LOOK_EVERY_MS);
  timer.unref();
  stopping.addEventListener('abort', ring);
  return {
    async rung(): Promise<void> {
      if (!isRung)
        await new Promise<void>((done) => {
          wake = done;
        });
      isRung = false;
    },
    hang(): void {
      clearInterval(timer);
      forget();
      stopping.removeEventListener('abort', ring);
      ring();
    },
  };
}
