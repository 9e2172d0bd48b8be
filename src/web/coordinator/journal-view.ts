/** What the journal's and the outbox's pages show: plain data with its sentences made. */
import type { Instant, LocalDay } from '../../core/quantity/units.ts';

type Workshop = { readonly name: string; readonly zone: string };

export type JournalView = {
  readonly workshop: Workshop;
  readonly waiting: readonly WaitingRow[];
  /** Newest first. */
  readonly days: readonly { readonly day: LocalDay; readonly entries: readonly JournalRow[] }[];
  /** The number to go on from, if there is more. */
  readonly olderThan?: number | undefined;
};
export type JournalRow = {
  readonly seq: number;
  readonly at: Instant;
  readonly text: string;
  readonly actor: string;
};
export type WaitingRow = {
  readonly reaction: string;
  readonly seq: number;
  readonly text: string;
  readonly attempts: number;
  /** Null: given up. */
  readonly nextAt: Instant | null;
  readonly error: string;
};

export type OutboxView = {
  readonly workshop: Workshop;
  /** Whether the workshop itself can be written to. */
  readonly hasOwnAddress: boolean;
  readonly unsent: readonly WordRow[];
  readonly done: readonly WordRow[];
  readonly texts: readonly { readonly template: string; readonly when: string; readonly isOwn: boolean }[];
};
export type WordRow = {
  readonly id: string;
  readonly mailId: string | null;
  readonly recipient: string;
  readonly person: string;
  readonly template: string;
  readonly notBeforeAt: Instant;
  readonly sentAt: Instant | null;
  readonly parkedAt: Instant | null;
  readonly attempts: number;
  readonly unsaid: 'no-address' | 'not-wanted' | 'out-of-date' | null;
  readonly error: string | null;
};

export type TextView = {
  readonly workshop: Workshop;
  readonly template: string;
  readonly when: string;
  readonly placeholders: { readonly [name: string]: string };
  readonly isOwn: boolean;
  readonly subject: string;
  readonly body: string;
  /** How it would look; absent where it has mistakes. */
  readonly preview?: { readonly subject: string; readonly body: string } | undefined;
};
