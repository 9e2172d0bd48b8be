/** The store holds more or less than the ledger says: a count, or a known difference, with its reason. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import type { Grade } from '../core/vocabulary.ts';
import { inTransaction } from '../store/db.ts';
import { inWholeGrams } from '../store/grams.ts';
import { appendEntry } from '../store/journal.ts';
import { currentStockKg, getMovement, moveStock } from '../store/stock.ts';
import { isStillToCome, type StillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';
import { factsOf, isKept, movementOf } from './receive-film.ts';

export type StockCorrected = {
  readonly factId: string;
  readonly grade: Grade;
  /** What lies there, as counted; or by how much the ledger is wrong. */
  readonly found: { readonly countedKg: Kg } | { readonly changeKg: Kg };
  readonly at: Instant;
  readonly reason: string;
  readonly actor: string;
};

export type StockRefusal =
  | { readonly kind: 'grade-not-kept'; readonly grade: Grade }
  | { readonly kind: 'reason-missing' }
  /** The ledger says the same already. */
  | { readonly kind: 'stock-agrees'; readonly stockKg: Kg }
  /** No store holds less than nothing. */
  | { readonly kind: 'below-nothing'; readonly stockKg: Kg }
  | { readonly kind: 'fact-differs' }
  | StillToCome;

export function correctStock(
  { store, now }: Context,
  { factId, grade, found, at, reason, actor }: StockCorrected,
): Result<{ readonly movementId: string; readonly changeKg: Kg }, StockRefusal> {
  return inTransaction(store, (tx) => {
    if (!isKept(tx, grade)) return refuse({ kind: 'grade-not-kept', grade });
    const note = reason.trim();
    if (note === '') return refuse({ kind: 'reason-missing' });
    const same = getMovement(tx, factId);
    if (same) {
      // A count that is sent again meets a ledger that it has corrected: what it changed then stands.
      const isSameChange = !('changeKg' in found) || inWholeGrams(found.changeKg) === same.kg;
      return same.kind === 'correction' && same.grade === grade && same.note === note && isSameChange
        ? ok({ movementId: factId, changeKg: same.kg })
        : refuse({ kind: 'fact-differs' });
    }
    if (isStillToCome(at, now())) return refuse({ kind: 'still-to-come' });
    const stockKg = currentStockKg(tx).get(grade) ?? 0;
    const kg = inWholeGrams('changeKg' in found ? found.changeKg : found.countedKg - stockKg);
    if (kg === 0) return refuse({ kind: 'stock-agrees', stockKg });
    if (inWholeGrams(stockKg + kg) < 0) return refuse({ kind: 'below-nothing', stockKg });
    const movement = movementOf(tx, { id: factId, kind: 'correction', grade, kg, at, note });
    moveStock(tx, movement);
    appendEntry(tx, {
      at: now(),
      kind: 'stock-corrected',
      subject: `grade:${grade}`,
      actor,
      facts: factsOf(movement),
    });
    return ok({ movementId: factId, changeKg: kg });
  });
}
