/** Simulated years that were driven for this workshop: what was asked for, and every year that is whole. */
import { desc, eq } from 'drizzle-orm';
import { z } from 'zod';
import { worthRuns } from '../../db/schema.ts';
import type { Instant, Seconds } from '../core/quantity/units.ts';
import { POLICY_NAMES } from '../core/simulation/policies.ts';
import type { YearsWanted } from '../core/simulation/run-years.ts';
import { YEAR_PARTS, type YearResult } from '../core/simulation/year-result.ts';
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

const number = z.number();
/** What is read of a year; the simulation may come to say more, or other things. */
const Year = z.looseObject({
  seed: z.int(),
  policy: z.enum(POLICY_NAMES),
  scoredDays: number,
  collectedKg: number,
  cameKg: number,
  distanceM: number,
  workS: number,
  overflowDays: number,
  lostKg: number,
  boughtInKg: number,
  costMicros: number,
  money: z.record(z.enum(YEAR_PARTS), number),
});
const Own = z.looseObject({
  van: z.looseObject({ payloadKg: number, loadSpaceL: number }),
  shiftHours: z.looseObject({ from: number, until: number }),
  shiftDays: z.array(z.boolean()),
});
const Wanted = z.looseObject({
  seeds: z.array(z.int()),
  world: z.looseObject({ donors: number, weeks: number, radiusM: number, own: Own.optional() }),
  planner: z.looseObject({ iterations: number, horizonDays: number }),
  size: z.looseObject({
    sites: number,
    vansPerDay: number,
    shiftsPerWeek: number,
    kgPerWeek: number,
    needKgPerWeek: number,
  }),
});

/** Nothing for a run of an older version that says too little: it is passed over, for it can be simulated anew. */
function fromRow(row: typeof worthRuns.$inferSelect): WorthRun | [] {
  const isReadable = z.array(Year).safeParse(row.years).success && Wanted.safeParse(row.wanted).success;
  return isReadable ? (row as WorthRun) : [];
}

export const getWorthRun = (db: Db, id: string): WorthRun | undefined =>
  db.select().from(worthRuns).where(eq(worthRuns.id, id)).all().flatMap(fromRow)[0];

/** Newest first. */
export const listWorthRuns = (db: Db, limit = 10): WorthRun[] =>
  db
    .select()
    .from(worthRuns)
    .orderBy(desc(worthRuns.startedAt), desc(worthRuns.id))
    .limit(limit)
    .all()
    .flatMap(fromRow);
