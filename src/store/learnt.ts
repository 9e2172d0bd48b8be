/** What the estimator had learnt, put away so that a start or a command need not read the whole history again. */
import { z } from 'zod';
import { pooledState, siteStates } from '../../db/schema.ts';
import type { PooledRecord, SiteRecord } from '../core/accumulation/carry-on.ts';
import { EVENT_KINDS, GRADES } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';
import { FilterSchema } from './settings.ts';

export type LearntRecords = {
  /** Place in the journal that had been taken in. */
  readonly seq: number;
  readonly pooled: PooledRecord;
  readonly sites: ReadonlyMap<string, SiteRecord>;
};

const amount = z.number();
const SiteRecordSchema = z.strictObject({
  standing: z.strictObject({ emptiedAt: amount, leftKg: amount, isStartKnown: z.boolean(), asOf: amount }),
  state: z.array(amount.nullable()),
  bag: z.strictObject({ kg: amount, varianceKg2: amount }),
  gradeKg: z.array(z.tuple([z.enum(GRADES), amount])),
  doubted: z.array(z.strictObject({ weighInId: z.string(), at: amount, weight: amount })),
});
/** Raise it when the filter comes to other numbers on the same evidence: what was put away is then learnt anew. */
const VERSION = 1;

const PooledRecordSchema = z.strictObject({
  version: z.literal(VERSION),
  parameters: FilterSchema.omit({ pickups: true, weekdays: true }),
  level: z.strictObject({
    seenKg: amount,
    forecastKg: amount,
    at: amount.nullable(),
    pickupKg: amount,
    pickups: amount,
  }),
  ratios: z.array(z.tuple([z.enum(EVENT_KINDS), z.strictObject({ mean: amount, shape: amount })])),
  lastAt: amount,
});

/** Nothing where there is nothing, or where it was written by another version: it is learnt anew then. */
export function readLearnt(db: Db): LearntRecords | undefined {
  const row = db.select().from(pooledState).get();
  const pooled = PooledRecordSchema.safeParse(row?.record);
  if (!row || !pooled.success) return undefined;
  const sites = new Map<string, SiteRecord>();
  for (const { siteId, record } of db.select().from(siteStates).all()) {
    const read = SiteRecordSchema.safeParse(record);
    if (!read.success) return undefined;
    sites.set(siteId, read.data);
  }
  const { version: _, ...known } = pooled.data;
  return { seq: row.seq, pooled: known as PooledRecord, sites };
}

/** @param sites those that changed; with `isWhole`, all there are */
export function saveLearnt(tx: Tx, { seq, pooled, sites }: LearntRecords, isWhole: boolean): void {
  if (isWhole) tx.delete(siteStates).run();
  for (const [siteId, record] of sites)
    tx.insert(siteStates)
      .values({ siteId, record })
      .onConflictDoUpdate({ target: siteStates.siteId, set: { record } })
      .run();
  const row = { id: 1, seq, record: { version: VERSION, ...pooled } };
  tx.insert(pooledState).values(row).onConflictDoUpdate({ target: pooledState.id, set: row }).run();
}
