/** How many units of which product are to be pressed on which local day. */
import { asc, between, eq } from 'drizzle-orm';
import { productionDays, products } from '../../db/schema.ts';
import type { Instant, LocalDay } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';

export type ProductionDay = {
  readonly productId: string;
  readonly productKey: string;
  readonly day: LocalDay;
  readonly units: number;
  /** Set once the run has been taken from stock. */
  readonly doneAt: Instant | null;
};

/** Inserts or replaces. */
export function saveProductionDay(tx: Tx, { productKey: _, ...row }: ProductionDay): void {
  tx.insert(productionDays)
    .values(row)
    .onConflictDoUpdate({ target: [productionDays.day, productionDays.productId], set: row })
    .run();
}

const select = (db: Db) =>
  db
    .select({
      productId: productionDays.productId,
      productKey: products.externalKey,
      day: productionDays.day,
      units: productionDays.units,
      doneAt: productionDays.doneAt,
    })
    .from(productionDays)
    .innerJoin(products, eq(products.id, productionDays.productId))
    .$dynamic();

export const listProductionDays = (db: Db): ProductionDay[] =>
  select(db).orderBy(asc(productionDays.day), asc(products.externalKey)).all();
/** Both days included. */
export const listProductionBetween = (db: Db, fromDay: LocalDay, untilDay: LocalDay): ProductionDay[] =>
  select(db)
    .where(between(productionDays.day, fromDay, untilDay))
    .orderBy(asc(productionDays.day), asc(products.externalKey))
    .all();
