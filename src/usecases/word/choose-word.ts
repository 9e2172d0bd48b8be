/** Whoever has a mail of an address says what this address wants to be told from now on. */
import { ok, type Result, refuse } from '../../core/quantity/result.ts';
import type { WordChoice } from '../../core/vocabulary.ts';
import { inTransaction } from '../../store/db.ts';
import { appendEntry } from '../../store/journal.ts';
import { markUnsaid, wordsFor } from '../../store/outbox.ts';
import { type ChoiceOfAddress, getChoiceByToken, saveChoice } from '../../store/word-choices.ts';
import type { Context } from '../context.ts';

export type Chosen = { readonly choice: WordChoice; readonly remindDayBefore: boolean };

export const findChoice = ({ store }: Context, token: string): ChoiceOfAddress | undefined =>
  getChoiceByToken(store, token);

export function chooseWord(
  { store, now }: Context,
  { token, ...chosen }: Chosen & { readonly token: string },
): Result<ChoiceOfAddress, { readonly kind: 'no-such-choice' }> {
  return inTransaction(store, (tx) => {
    const before = getChoiceByToken(tx, token);
    if (!before) return refuse({ kind: 'no-such-choice' });
    if (before.choice === chosen.choice && before.remindDayBefore === chosen.remindDayBefore)
      return ok(before);
    const at = now();
    const after = { ...before, ...chosen, changedAt: at };
    saveChoice(tx, after);
    // What waits already is wanted no more than what would come.
    if (chosen.choice === 'none')
      markUnsaid(
        tx,
        wordsFor(tx, before.address).map((word) => word.id),
        'not-wanted',
      );
    appendEntry(tx, {
      at,
      kind: 'word-choice-changed',
      subject: `address:${before.address}`,
      actor: before.address,
      facts: chosen,
    });
    return ok(after);
  });
}
