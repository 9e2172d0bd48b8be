/** The stock ledger: rows are only ever added, in whole grams, so that stock is their exact sum. */
import { and, asc, between, eq, isNotNull, lte, sql } from 'drizzle-orm';
import { stockMovements } from '../../db/schema.ts';
import type { Instant, Kg, LocalDay } from '../core/quantity/units.ts';
import type { Grade, StockKind } from '../core/vocabulary.ts';
import { type Db, prepared, type Tx } from './db.ts';
import { toG, toKg } from './grams.ts';

export type StockMovement = {
  readonly id: string;
  /** Of movements that people keep themselves; null where it follows from something else. */
  readonly key: string | null;
  readonly at: Instant;
  readonly day: LocalDay;
  readonly grade: Grade;
  readonly kind: StockKind;
  /** Signed: production, sold and disposed are negative. */
  readonly kg: Kg;
  readonly weighInId: string | null;
  readonly productId: string | null;
  readonly note: string;
};

export function moveStock(tx: Tx, { key, kg, ...rest }: StockMovement): void {
  prepared(tx, insertRow).run({ ...rest, externalKey: key, g: toG(kg) });
}

/** Replaces one that people keep themselves (opening stock that was counted wrong in the file, say). */
export function replaceKeyedMovement(tx: Tx, { key, kg, ...rest }: StockMovement): void {
  if (key === null) throw new RangeError(`stock movement ${rest.id} has no key: add a correction instead`);
  tx.update(stockMovements)
    .set({ ...rest, g: toG(kg) })
    .where(eq(stockMovements.externalKey, key))
    .run();
}

/** Stock now, or at the end of a local day, by grade; grades that never moved are absent. */
export function currentStockKg(db: Db, endOfDay?: LocalDay): Map<Grade, Kg> {
  const rows = db
    .select({ grade: stockMovements.grade, g: sql<number>`sum(${stockMovements.g})` })
    .from(stockMovements)
    .where(endOfDay === undefined ? undefined : lte(stockMovements.day, endOfDay))
    .groupBy(stockMovements.grade)
    .orderBy(asc(stockMovements.grade))
    .all();
  return new Map(rows.map(({ grade, g }) => [grade as Grade, toKg(g)]));
}

export type StockDaySum = {
  readonly day: LocalDay;
  readonly grade: Grade;
  readonly kind: StockKind;
  readonly kg: Kg;
};

/** What moved, by day, grade and kind; both days included. */
export const stockMovedByDay = (db: Db, fromDay: LocalDay, untilDay: LocalDay): StockDaySum[] =>
  db
    .select({
      day: stockMovements.day,
      grade: stockMovements.grade,
      kind: stockMovements.kind,
      g: sql<number>`sum(${stockMovements.g})`,
    })
    .from(stockMovements)
    .where(between(stockMovements.day, fromDay, untilDay))
    .groupBy(stockMovements.day, stockMovements.grade, stockMovements.kind)
    .orderBy(asc(stockMovements.day), asc(stockMovements.grade), asc(stockMovements.kind))
    .all()
    .map(({ g, grade, ...rest }) => ({ ...rest, grade: grade as Grade, kg: toKg(g) }));

/** What one weigh-in booked, in the order it was booked. */
export const movementsOfWeighIn = (db: Db, weighInId: string): StockMovement[] =>
  db
    .select()
    .from(stockMovements)
    .where(eq(stockMovements.weighInId, weighInId))
    .orderBy(sql`rowid`)
    .all()
    .map(fromRow);

/** Those that people keep themselves, by day and key. */
export const listKeyedMovements = (db: Db): StockMovement[] =>
  db
    .select()
    .from(stockMovements)
    .where(isNotNull(stockMovements.externalKey))
    .orderBy(asc(stockMovements.day), asc(stockMovements.externalKey))
    .all()
    .map(fromRow);

export const getMovement = (db: Db, id: string): StockMovement | undefined =>
  db.select().from(stockMovements).where(eq(stockMovements.id, id)).all().map(fromRow)[0];

/** All of some days, newest first. */
export const listMovements = (db: Db, fromDay: LocalDay, untilDay: LocalDay): StockMovement[] =>
  db
    .select()
    .from(stockMovements)
    .where(and(between(stockMovements.day, fromDay, untilDay)))
    .orderBy(sql`${stockMovements.day} desc, ${stockMovements.at} desc, rowid desc`)
    .all()
    .map(fromRow);

const fromRow = ({ externalKey, g, grade, ...rest }: typeof stockMovements.$inferSelect): StockMovement => ({
  ...rest,
  key: externalKey,
  grade: grade as Grade,
  kg: toKg(g),
});

const insertRow = (db: Db) => {
  const p = sql.placeholder;
  return db
    .insert(stockMovements)
    .values({
      id: p('id'),
      externalKey: p('externalKey'),
      at: p('at'),
      day: p('day'),
      grade: p('grade'),
      kind: p('kind'),
      g: p('g'),
      weighInId: p('weighInId'),
      productId: p('productId'),
      note: p('note'),
    })
    .prepare();
};
