/**
 * What a reaction is: a declaration of what follows from which journal entries.
 *
 * The engine (`react.ts`) reads the journal for it by a durable cursor and promises:
 * - no entry is passed over, and `run` takes effect once, whatever dies when: its writes, the cursor's move and the
 *   end of the entry's waiting are one transaction;
 * - entries of one subject are dealt with in their order; one that fails holds up the later ones of its subject only;
 * - what fails is tried again, later and later, and then given up until a person says what to do.
 */
import type { Instant } from '../core/quantity/units.ts';
import type { Tx } from '../store/db.ts';
import type { Entry } from '../store/journal.ts';
import { type EntryKind, type FactsOf, readFacts } from '../store/journal-kinds.ts';
import type { Context, Planner } from './context.ts';

/** An entry whose facts have been read. */
export type Told<K extends EntryKind = EntryKind> = {
  readonly [Kind in K]: Omit<Entry, 'kind' | 'facts'> & {
    readonly kind: Kind;
    readonly facts: FactsOf<Kind>;
  };
}[K];

/** For work that waits. It reads, asks and computes; what it learns goes to `run`. */
export type PrepareContext = Context & { readonly planner: Planner; readonly signal: AbortSignal };
/** For the effect: everything written through `tx` is kept together with the cursor, or not at all. */
export type RunContext = { readonly tx: Tx; readonly at: Instant; readonly newId: () => string };

export type Reaction = {
  /** A sentence; the name of its file, its cursor and its row on the page. Never changed once released. */
  readonly name: string;
  readonly on: readonly EntryKind[];
  readonly subjectOf: (entry: Entry) => string;
  readonly prepare: (context: PrepareContext, entry: Entry) => Promise<unknown>;
  readonly run: (context: RunContext, entry: Entry, prepared: unknown) => void;
};

export type Declared<K extends EntryKind, P> = {
  readonly name: string;
  readonly on: readonly K[];
  /** What must stay in order; without it, what the entry is about. */
  readonly subjectOf?: (entry: Told<K>) => string;
  /**
   * Work that takes its time, outside of any transaction: a plan to compute, say. After a crash it is done again, so
   * it must leave nothing behind.
   */
  readonly prepare?: (context: PrepareContext, entry: Told<K>) => Promise<P>;
  /** At once, in the transaction. What has gone out of date since `prepare` is for it to see. */
  readonly run: (context: RunContext, entry: Told<K>, prepared: P) => void;
};

/** Makes a reaction of its declaration, with the facts of its kinds typed. */
export const reaction = <K extends EntryKind, P = undefined>(declared: Declared<K, P>): Reaction => ({
  name: declared.name,
  on: declared.on,
  subjectOf: (entry) => declared.subjectOf?.(told(entry)) ?? entry.subject,
  prepare: async (context, entry) => declared.prepare?.(context, told(entry)),
  run: (context, entry, prepared) => declared.run(context, told(entry), prepared as P),
});

/** @throws Error where a newer program, or one long gone, wrote other facts than this one knows */
function told<K extends EntryKind>(entry: Entry): Told<K> {
  const facts = readFacts(entry.kind as K, entry.facts);
  if (facts === undefined)
    throw new Error(`The facts of entry ${entry.seq} (${entry.kind}) are not those of its kind.`);
  return { ...entry, facts } as unknown as Told<K>;
}
