/** Offers for extra collections: what was asked, what was offered, until when it holds, and what became of it. */
import { and, eq, isNull, lt } from 'drizzle-orm';
import { z } from 'zod';
import { quotes } from '../../db/schema.ts';
import type { Slot } from '../core/planning/quote.ts';
import type { Instant } from '../core/quantity/units.ts';
import { EVENT_KINDS } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';

const At = z.int();
const WantedSchema = z.strictObject({
  siteId: z.string(),
  eventKind: z.enum(EVENT_KINDS),
  eventEndsAt: At,
  expectedBags: z.number().optional(),
  expectedKg: z.number().optional(),
  fromAt: At,
  untilAt: At,
  remarks: z.string(),
  hazards: z.string(),
});
const SlotSchema = z.strictObject({
  day: z.string(),
  fromAt: At,
  untilAt: At,
  shiftId: z.string(),
  startAt: At,
  extraM: z.number(),
  extraS: z.number(),
  extraMicros: z.number(),
  isComingAnyway: z.boolean(),
  isOnOurWay: z.boolean(),
}) satisfies z.ZodType<Slot>;

/** What a donor says when asking for an extra collection. */
export type CollectionFacts = z.output<typeof WantedSchema>;

export type Quote = {
  readonly id: string;
  readonly siteId: string;
  readonly askedBy: string;
  readonly askedAt: Instant;
  readonly expiresAt: Instant;
  readonly changesId: string | null;
  readonly wanted: CollectionFacts;
  readonly slots: readonly Slot[];
  /** Set once an offer was taken, with the key it was taken with. */
  readonly bookingId: string | null;
  readonly factId: string | null;
};

export function saveQuote(tx: Tx, quote: Quote): void {
  const row = {
    ...quote,
    wanted: WantedSchema.parse(quote.wanted),
    slots: z.array(SlotSchema).parse(quote.slots),
  };
  tx.insert(quotes).values(row).run();
}

const fromRow = (row: typeof quotes.$inferSelect): Quote => ({
  ...row,
  wanted: WantedSchema.parse(row.wanted),
  slots: z.array(SlotSchema).parse(row.slots),
});

export const getQuote = (db: Db, id: string): Quote | undefined =>
  db.select().from(quotes).where(eq(quotes.id, id)).all().map(fromRow)[0];
export const getQuoteTakenWith = (db: Db, factId: string): Quote | undefined =>
  db.select().from(quotes).where(eq(quotes.factId, factId)).all().map(fromRow)[0];

export function takeQuote(tx: Tx, id: string, bookingId: string, factId: string): void {
  tx.update(quotes).set({ bookingId, factId }).where(eq(quotes.id, id)).run();
}

/** Offers that nobody took are no record of anything. */
export function forgetQuotesBefore(tx: Tx, askedBefore: Instant): void {
  tx.delete(quotes)
    .where(and(lt(quotes.askedAt, askedBefore), isNull(quotes.bookingId)))
    .run();
}
