/** What the workshop presses, and the film it takes. */
import { asc, eq } from 'drizzle-orm';
import { productGrades, products } from '../../db/schema.ts';
import type { Kg } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';
import { toG, toKg } from './grams.ts';
import type { GradeShares } from './sites.ts';

export type Product = {
  readonly id: string;
  readonly key: string;
  readonly name: string;
  /** Film that goes into the press for one unit, before yield. */
  readonly filmKgPerUnit: Kg;
  readonly yieldShare: number;
  /** Part of the off-cuts that comes back as stock. */
  readonly offCutReturnShare: number;
  /** Which film it is pressed from; sums to 1. */
  readonly gradeShares: GradeShares;
};

/** Inserts or replaces, grades included. */
export function saveProduct(tx: Tx, { key, filmKgPerUnit, gradeShares, ...rest }: Product): void {
  const row = { ...rest, externalKey: key, filmGPerUnit: toG(filmKgPerUnit) };
  tx.insert(products).values(row).onConflictDoUpdate({ target: products.id, set: row }).run();
  tx.delete(productGrades).where(eq(productGrades.productId, rest.id)).run();
  for (const [grade, share] of Object.entries(gradeShares))
    tx.insert(productGrades).values({ productId: rest.id, grade, share }).run();
}

export function listProducts(db: Db): Product[] {
  const shares = db.select().from(productGrades).orderBy(asc(productGrades.grade)).all();
  return db
    .select()
    .from(products)
    .orderBy(asc(products.externalKey))
    .all()
    .map(({ externalKey, filmGPerUnit, ...rest }) => ({
      ...rest,
      key: externalKey,
      filmKgPerUnit: toKg(filmGPerUnit),
      gradeShares: Object.fromEntries(
        shares.filter((s) => s.productId === rest.id).map((s) => [s.grade, s.share]),
      ) as GradeShares,
    }));
}
