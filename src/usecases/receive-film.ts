/** Film that comes to the door: brought by people, or the workshop's own products come home to be melted again. */
import { localOf } from '../core/calendar/zone.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import type { Grade } from '../core/vocabulary.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { inWholeGrams } from '../store/grams.ts';
import { appendEntry } from '../store/journal.ts';
import { getMovement, moveStock, type StockMovement } from '../store/stock.ts';
import { listGrades, requireWorkshop } from '../store/workshop.ts';
import { isStillToCome, type StillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';

export type FilmReceived = {
  /** Becomes the movement's id and key. */
  readonly factId: string;
  readonly kind: 'delivery' | 'take-back';
  readonly grade: Grade;
  readonly kg: Kg;
  readonly at: Instant;
  /** Who brought it, which product: may be empty. */
  readonly note: string;
  readonly actor: string;
};

export type FilmRefusal =
  | { readonly kind: 'grade-not-kept'; readonly grade: Grade }
  | { readonly kind: 'no-mass' }
  | { readonly kind: 'fact-differs' }
  | StillToCome;

export function receiveFilm(
  { store, now }: Context,
  received: FilmReceived,
): Result<{ readonly movementId: string }, FilmRefusal> {
  return inTransaction(store, (tx) => {
    const { factId, kind, grade, at, note, actor } = received;
    const kg = inWholeGrams(received.kg);
    if (!(kg > 0)) return refuse({ kind: 'no-mass' });
    if (!isKept(tx, grade)) return refuse({ kind: 'grade-not-kept', grade });
    const same = getMovement(tx, factId);
    if (same)
      return same.kind === kind && same.grade === grade && same.kg === kg && same.note === note
        ? ok({ movementId: factId })
        : refuse({ kind: 'fact-differs' });
    if (isStillToCome(at, now())) return refuse({ kind: 'still-to-come' });
    const movement = movementOf(tx, { id: factId, kind, grade, kg, at, note });
    moveStock(tx, movement);
    appendEntry(tx, {
      at: now(),
      kind: kind === 'delivery' ? 'film-delivered' : 'take-back-received',
      subject: `grade:${grade}`,
      actor,
      facts: factsOf(movement),
    });
    return ok({ movementId: factId });
  });
}

export const isKept = (tx: Tx, grade: Grade): boolean => listGrades(tx).some((row) => row.grade === grade);

type Moved = Pick<StockMovement, 'id' | 'kind' | 'grade' | 'kg' | 'at' | 'note'>;
/** A movement that people hand in themselves: on its local day, under a key, so that it goes out with the exports. */
export const movementOf = (tx: Tx, moved: Moved): StockMovement => ({
  ...moved,
  key: moved.id,
  day: localOf(requireWorkshop(tx).zone, moved.at).day,
  weighInId: null,
  productId: null,
});

export const factsOf = ({ id, grade, kg, day, note }: StockMovement) => ({
  movementId: id,
  grade,
  kg,
  day,
  note,
});
