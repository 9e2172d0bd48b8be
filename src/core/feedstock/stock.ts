/**
 * The stock ledger: what came, what left, what is there. Rows are signed, so stock is their sum; the balance sets
 * them out by kind, so that anyone can add it up:
 * opening + collected + delivery + take-back + off-cut + bought + correction
 *   - production - rejected - sold - disposed = closing.
 */
import type { Kg, LocalDay } from '../quantity/units.ts';
import { type Grade, STOCK_KINDS, type StockKind } from '../vocabulary.ts';

export type Movement = {
  readonly day: LocalDay;
  readonly grade: Grade;
  readonly kind: StockKind;
  /** Signed: what leaves is negative. */
  readonly kg: Kg;
};

/** Kinds that only ever bring film, and kinds that only ever take it. The rest may do both. */
const BRINGS: ReadonlySet<StockKind> = new Set(['opening', 'delivery', 'take-back', 'off-cut', 'bought']);
const TAKES: ReadonlySet<StockKind> = new Set(['production', 'rejected', 'sold', 'disposed']);

/** Sums in whole grams: the ledger is written in grams, and grams add up exactly. */
const grams = (kg: Kg): number => Math.round(kg * 1000);

/** Stock by grade at the end of a day. @throws RangeError where a movement has the wrong sign for its kind */
export function stockByGrade(movements: readonly Movement[], endOfDay: LocalDay): Map<Grade, Kg> {
  const sums = new Map<Grade, number>();
  for (const movement of movements) {
    checkSign(movement);
    if (movement.day <= endOfDay)
      sums.set(movement.grade, (sums.get(movement.grade) ?? 0) + grams(movement.kg));
  }
  return new Map([...sums].map(([grade, g]) => [grade, g / 1000]));
}

export type Balance = {
  readonly openingKg: Kg;
  /** Signed sum by kind within the span; kinds that did not occur are 0. */
  readonly movedKg: { readonly [kind in StockKind]: Kg };
  readonly closingKg: Kg;
};

/** What was there, what moved and what is there now, over a span of days with both ends; one grade or all. */
export function balanceOver(
  movements: readonly Movement[],
  fromDay: LocalDay,
  untilDay: LocalDay,
  grade?: Grade,
): Balance {
  let opening = 0;
  const moved = new Map<StockKind, number>(STOCK_KINDS.map((kind) => [kind, 0]));
  for (const movement of movements) {
    checkSign(movement);
    if (grade !== undefined && movement.grade !== grade) continue;
    if (movement.day < fromDay) opening += grams(movement.kg);
    else if (movement.day <= untilDay)
      moved.set(movement.kind, moved.get(movement.kind)! + grams(movement.kg));
  }
  const total = [...moved.values()].reduce((sum, g) => sum + g, 0);
  return {
    openingKg: opening / 1000,
    movedKg: Object.fromEntries([...moved].map(([kind, g]) => [kind, g / 1000])) as Balance['movedKg'],
    closingKg: (opening + total) / 1000,
  };
}

function checkSign({ kind, kg, day, grade }: Movement): void {
  if ((BRINGS.has(kind) && kg < 0) || (TAKES.has(kind) && kg > 0))
    throw new RangeError(
      `a movement of kind ${kind} is ${BRINGS.has(kind) ? 'not negative' : 'not positive'}, got ${kg} kg of ${grade} on ${day}`,
    );
}
