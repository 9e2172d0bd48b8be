/** Simulated years that were driven for this workshop: what was asked for, and every year that is whole. */
import { desc, eq } from 'drizzle-orm';
import { worthRuns } from '../../db/schema.ts';
import type { Instant, Seconds } from '../core/quantity/units.ts';
import type { YearsWanted } from '../core/simulation/run-years.ts';
import type { YearResult } from '../core/simulation/year-result.ts';
import type { WorthOutcome } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

/** What the simulated workshop stands for. */
export type WorthSize = {
  readonly sites: number;
  readonly vansPerDay: number;
  readonly shiftsPerWeek: number;
  readonly kgPerWeek: number;
  readonly needKgPerWeek: number;
};

export type WorthRun = {
  readonly id: string;
  readonly startedAt: Instant;
  readonly startedBy: string;
  readonly wanted: YearsWanted & { readonly size: WorthSize };
  readonly years: readonly YearResult[];
  /** Wall clock so far: what the next estimate rests on. */
  readonly tookS: Seconds;
  /** Absent: it runs, or was broken off. */
  readonly outcome: WorthOutcome | null;
};

/** Inserts or replaces. */
export function saveWorthRun(tx: Tx, run: WorthRun): void {
  tx.insert(worthRuns).values(run).onConflictDoUpdate({ target: worthRuns.id, set: run }).run();
}

// Written by `saveWorthRun` alone, so that the JSON is of its types.
const fromRow = (row: typeof worthRuns.$inferSelect): WorthRun => row as WorthRun;

export const getWorthRun = (db: Db, id: string): WorthRun | undefined =>
  db.select().from(worthRuns).where(eq(worthRuns.id, id)).all().map(fromRow)[0];

/** Newest first. */
export const listWorthRuns = (db: Db, limit = 10): WorthRun[] =>
  db
    .select()
    .from(worthRuns)
    .orderBy(desc(worthRuns.startedAt), desc(worthRuns.id))
    .limit(limit)
    .all()
    .map(fromRow);
