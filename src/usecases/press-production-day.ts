/** A day's units were pressed: their film leaves the store, the off-cuts that are melted again come back to it. */
import { localOf } from '../core/calendar/zone.ts';
import { runOf } from '../core/feedstock/production-run.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, LocalDay } from '../core/quantity/units.ts';
import { inTransaction } from '../store/db.ts';
import { inWholeGrams } from '../store/grams.ts';
import { appendEntry } from '../store/journal.ts';
import { listProductionBetween, saveProductionDay } from '../store/production.ts';
import { listProducts } from '../store/products.ts';
import { currentStockKg, moveStock } from '../store/stock.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { ProductionRefusal } from './change-production-day.ts';
import { isStillToCome, type StillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';

export type PressRefusal =
  | ProductionRefusal
  | StillToCome
  | { readonly kind: 'nothing-pressed' }
  /** No press melts what is not there: the ledger, or the figure, is wrong. */
  | { readonly kind: 'not-enough-film' };

/** On the day of `at`. The same again changes nothing. @param units whole, those that were pressed, not those planned */
export function pressProductionDay(
  { store, now }: Context,
  request: {
    readonly factId: string;
    readonly productId: string;
    readonly units: number;
    readonly at: Instant;
    readonly actor: string;
  },
): Result<{ readonly productId: string; readonly day: LocalDay }, PressRefusal> {
  const { factId, productId, units, at, actor } = request;
  return inTransaction(store, (tx) => {
    const product = listProducts(tx).find((one) => one.id === productId);
    if (!product) return refuse({ kind: 'product-not-found' });
    if (units === 0) return refuse({ kind: 'nothing-pressed' });
    if (isStillToCome(at, now())) return refuse({ kind: 'still-to-come' });
    const { day } = localOf(requireWorkshop(tx).zone, at);
    const before = listProductionBetween(tx, day, day).find((run) => run.productId === productId);
    if (before && before.doneAt !== null)
      return before.units === units
        ? ok({ productId, day })
        : refuse({ kind: 'already-pressed', units: before.units });
    const { byGrade } = runOf(product, units);
    const stockKg = currentStockKg(tx);
    if (byGrade.some(({ grade, usedKg }) => inWholeGrams((stockKg.get(grade) ?? 0) - usedKg) < 0))
      return refuse({ kind: 'not-enough-film' });
    const sum = { usedKg: 0, offCutsKg: 0 };
    for (const { grade, usedKg, offCutsReturnedKg } of byGrade) {
      const common = { key: null, at, day, grade, weighInId: null, productId, note: '' };
      const [used, back] = [inWholeGrams(usedKg), inWholeGrams(offCutsReturnedKg)];
      moveStock(tx, { ...common, id: `${factId}-${grade}`, kind: 'production', kg: -used });
      if (back > 0) moveStock(tx, { ...common, id: `${factId}-${grade}-off-cut`, kind: 'off-cut', kg: back });
      sum.usedKg += used;
      sum.offCutsKg += back;
    }
    saveProductionDay(tx, { productId, productKey: product.key, day, units, doneAt: at });
    appendEntry(tx, {
      at: now(),
      kind: 'production-day-pressed',
      subject: `product:${productId}`,
      actor,
      facts: { day, units, unitsPlanned: before?.units ?? 0, ...sum },
    });
    return ok({ productId, day });
  });
}
