/** More, fewer or other units are to be pressed on a day: what it draws changes with it. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { LocalDay } from '../core/quantity/units.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { listProductionBetween, saveProductionDay } from '../store/production.ts';
import { listProducts } from '../store/products.ts';
import type { Context } from './context.ts';

export type ProductionRefusal =
  | { readonly kind: 'product-not-found' }
  /** It has been pressed and taken from stock. */
  | { readonly kind: 'already-pressed'; readonly units: number };

/** The same again changes nothing. */
export function changeProductionDay(
  { store, now }: Context,
  request: {
    readonly productId: string;
    readonly day: LocalDay;
    readonly units: number;
    readonly actor: string;
  },
): Result<{ readonly productId: string; readonly day: LocalDay }, ProductionRefusal> {
  const { productId, day, units, actor } = request;
  return inTransaction(store, (tx) => {
    const product = listProducts(tx).find((one) => one.id === productId);
    if (!product) return refuse({ kind: 'product-not-found' });
    const before = listProductionBetween(tx, day, day).find((run) => run.productId === productId);
    if (before && before.doneAt !== null) return refuse({ kind: 'already-pressed', units: before.units });
    const unitsBefore = before?.units ?? 0;
    if (unitsBefore === units) return ok({ productId, day });
    saveProductionDay(tx, { productId, productKey: product.key, day, units, doneAt: null });
    appendEntry(tx, {
      at: now(),
      kind: 'production-day-changed',
      subject: `product:${productId}`,
      actor,
      facts: { day, units, unitsBefore },
    });
    return ok({ productId, day });
  });
}
