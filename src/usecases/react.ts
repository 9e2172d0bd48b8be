/** One step of a reaction, and what a person may do about an entry that it gave up. `reaction.ts` has the promises. */
import { type BackOff, seedOf, tryAgainAt } from '../core/calendar/try-again.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { type Db, inTransaction, type Tx } from '../store/db.ts';
import { appendEntry, type Entry, getEntry, lastSeq, readEntriesOfKinds } from '../store/journal.ts';
import {
  getCursor,
  getWaiting,
  hasWaiting,
  isSubjectHeldUp,
  nextWaiting,
  removeWaiting,
  saveWaiting,
  setCursor,
  type Waiting,
} from '../store/reactions.ts';
import type { Context } from './context.ts';
import type { PrepareContext, Reaction } from './reaction.ts';

/** About an hour and a half in all: what a restart or a line mends is mended by then. Own judgement. */
const BACK_OFF: BackOff = { firstS: 2, mostS: 1800, tries: 12 };
/** What does not concern a reaction is stepped over in strides, so that its cursor is not written for each. */
const STRIDE = 200;
const MAX_ERROR_LENGTH = 500;

export type Step = 'did' | 'held-up' | 'failed' | 'gave-up' | 'nothing';
export type Reacting = PrepareContext & {
  /** For the jitter: with the same seed the same waits. */
  readonly seed: number;
  readonly onFault?: (error: unknown, reaction: string, seq: number) => void;
};

/** A reaction that is new to this database begins with what happens from now on, not with years ago. */
export function beginReactions({ store }: Pick<Context, 'store'>, reactions: readonly Reaction[]): void {
  if (reactions.every(({ name }) => getCursor(store, name) !== undefined)) return;
  inTransaction(store, (tx) => {
    const seq = lastSeq(tx);
    for (const { name } of reactions) if (getCursor(tx, name) === undefined) setCursor(tx, name, seq);
  });
}

/** Deals with one entry: one whose time to be tried again has come, or else the next of the journal. */
export async function takeStep(context: Reacting, reaction: Reaction): Promise<Step> {
  const { store } = context;
  const waiting = hasWaiting(store, reaction.name)
    ? nextWaiting(store, reaction.name, context.now())
    : undefined;
  if (waiting) return tryEntry(context, reaction, getEntry(store, waiting.seq)!, waiting);
  const cursor = cursorOf(store, reaction);
  const [next] = readEntriesOfKinds(store, reaction.on, cursor, 1);
  if (next) return tryEntry(context, reaction, next, undefined);
  const last = lastSeq(store);
  if (last - cursor >= STRIDE)
    inTransaction(store, (tx) => {
      // Only where nobody else has found something meanwhile.
      if (cursorOf(tx, reaction) === cursor && readEntriesOfKinds(tx, reaction.on, cursor, 1).length === 0)
        setCursor(tx, reaction.name, last);
    });
  return 'nothing';
}

function cursorOf(db: Db, { name }: Reaction): number {
  const cursor = getCursor(db, name);
  if (cursor === undefined) throw new Error(`the reaction "${name}" has not begun: call beginReactions`);
  return cursor;
}

async function tryEntry(
  context: Reacting,
  reaction: Reaction,
  entry: Entry,
  waiting: Waiting | undefined,
): Promise<Step> {
  const { store, newId, now } = context;
  let subject = entry.subject;
  try {
    subject = reaction.subjectOf(entry);
    if (!waiting && hasWaiting(store, reaction.name) && isSubjectHeldUp(store, reaction.name, subject))
      return inTransaction(store, (tx) => holdUp(tx, reaction, entry, subject, now()));
    const prepared = await reaction.prepare(context, entry);
    return inTransaction(store, (tx) => {
      if (!isStillOpen(tx, reaction, entry, waiting)) return 'nothing';
      reaction.run({ tx, at: now(), newId }, entry, prepared);
      settle(tx, reaction, entry, waiting);
      return 'did';
    });
  } catch (error) {
    if (context.signal.aborted) return 'nothing';
    context.onFault?.(error, reaction.name, entry.seq);
    return inTransaction(store, (tx) => noteFailure(tx, context, reaction, entry, subject, waiting, error));
  }
}

/** Another process may have dealt with it, or a person set it aside, while it was prepared. */
function isStillOpen(tx: Tx, reaction: Reaction, { seq }: Entry, waiting: Waiting | undefined): boolean {
  if (!waiting) return cursorOf(tx, reaction) < seq && !getWaiting(tx, reaction.name, seq);
  const row = getWaiting(tx, reaction.name, seq);
  return row !== undefined && row.attempts === waiting.attempts;
}

function settle(tx: Tx, { name }: Reaction, { seq }: Entry, waiting: Waiting | undefined): void {
  if (waiting) removeWaiting(tx, name, seq);
  else setCursor(tx, name, seq);
}

function holdUp(tx: Tx, reaction: Reaction, { seq }: Entry, subject: string, at: Instant): Step {
  if (cursorOf(tx, reaction) >= seq) return 'nothing';
  // Due at once, but not before the one it waits behind is gone.
  saveWaiting(tx, { reaction: reaction.name, seq, subject, attempts: 0, nextAt: at, error: '' });
  setCursor(tx, reaction.name, seq);
  return 'held-up';
}

function noteFailure(
  tx: Tx,
  { now, seed }: Reacting,
  reaction: Reaction,
  entry: Entry,
  subject: string,
  waiting: Waiting | undefined,
  fault: unknown,
): Step {
  if (!isStillOpen(tx, reaction, entry, waiting)) return 'nothing';
  const { name } = reaction;
  const { seq } = entry;
  const at = now();
  const attempts = (waiting?.attempts ?? 0) + 1;
  const nextAt = tryAgainAt(BACK_OFF, attempts, at, seed + seedOf(`${name} ${seq}`)) ?? null;
  const error = (fault instanceof Error ? fault.message : String(fault)).slice(0, MAX_ERROR_LENGTH);
  saveWaiting(tx, { reaction: name, seq, subject, attempts, nextAt, error });
  if (!waiting) setCursor(tx, name, seq);
  if (nextAt !== null) return 'failed';
  appendEntry(tx, {
    at,
    kind: 'reaction-parked',
    subject: `reaction:${name}`,
    actor: 'server',
    facts: { reaction: name, seq, error },
  });
  return 'gave-up';
}

export type WaitingRefusal = { readonly kind: 'no-such-waiting-entry' };
type Asked = { readonly reaction: string; readonly seq: number; readonly actor: string };

/** From the beginning, at once, with all its tries. */
export function tryReactionAgain(
  { store, now }: Context,
  { reaction, seq, actor }: Asked,
): Result<Asked, WaitingRefusal> {
  return inTransaction(store, (tx) => {
    const row = getWaiting(tx, reaction, seq);
    if (!row) return refuse({ kind: 'no-such-waiting-entry' });
    const at = now();
    saveWaiting(tx, { ...row, attempts: 0, nextAt: at });
    noteDecision(tx, 'reaction-tried-again', { reaction, seq, actor }, at);
    return ok({ reaction, seq, actor });
  });
}

/** The entry stays without this consequence; what waited behind it goes on. */
export function setReactionAside(
  { store, now }: Context,
  { reaction, seq, actor }: Asked,
): Result<Asked, WaitingRefusal> {
  return inTransaction(store, (tx) => {
    if (!getWaiting(tx, reaction, seq)) return refuse({ kind: 'no-such-waiting-entry' });
    removeWaiting(tx, reaction, seq);
    noteDecision(tx, 'reaction-set-aside', { reaction, seq, actor }, now());
    return ok({ reaction, seq, actor });
  });
}

function noteDecision(
  tx: Tx,
  kind: 'reaction-tried-again' | 'reaction-set-aside',
  { reaction, seq, actor }: Asked,
  at: Instant,
): void {
  appendEntry(tx, { at, kind, subject: `reaction:${reaction}`, actor, facts: { reaction, seq } });
}
