/**
 * A coordinator says that an odd weigh-in is right: the estimate counts it in full from then on. It holds for this
 * row alone; a correction is another row. Saying it twice is saying it once.
 */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getConfirmation, recordConfirmation, removeConfirmation } from '../store/weigh-in-confirmations.ts';
import { getWeighIn, replacementOf, type WeighIn } from '../store/weigh-ins.ts';
import type { Context } from './context.ts';

export type ConfirmRefusal =
  | { readonly kind: 'weigh-in-not-found' }
  /** It was corrected: what stands now is `weighInId`. */
  | { readonly kind: 'was-corrected'; readonly weighInId: string };

type Request = { readonly weighInId: string; readonly actor: string };
type Answer = Result<{ readonly weighInId: string; readonly siteId: string }, ConfirmRefusal>;

export function confirmWeighIn({ store, now }: Context, { weighInId, actor }: Request): Answer {
  return inTransaction(store, (tx) => {
    const found = standing(tx, weighInId);
    if (!found.ok || getConfirmation(tx, weighInId)) return answer(found);
    const at = now();
    recordConfirmation(tx, { weighInId, confirmedBy: actor, confirmedAt: at });
    note(tx, 'weigh-in-confirmed', found.value, at, actor);
    return answer(found);
  });
}

/** Takes it back: the estimate judges the weigh-in for itself again. */
export function doubtWeighInAgain({ store, now }: Context, { weighInId, actor }: Request): Answer {
  return inTransaction(store, (tx) => {
    const found = standing(tx, weighInId);
    if (!found.ok || !getConfirmation(tx, weighInId)) return answer(found);
    removeConfirmation(tx, weighInId);
    note(tx, 'weigh-in-confirmation-taken-back', found.value, now(), actor);
    return answer(found);
  });
}

function standing(tx: Tx, weighInId: string): Result<WeighIn, ConfirmRefusal> {
  const weighIn = getWeighIn(tx, weighInId);
  if (!weighIn) return refuse({ kind: 'weigh-in-not-found' });
  const replacement = replacementOf(tx, weighInId);
  return replacement ? refuse({ kind: 'was-corrected', weighInId: replacement.id }) : ok(weighIn);
}

const answer = (found: Result<WeighIn, ConfirmRefusal>): Answer =>
  found.ok ? ok({ weighInId: found.value.id, siteId: found.value.siteId }) : found;

type Noted = 'weigh-in-confirmed' | 'weigh-in-confirmation-taken-back';

function note(tx: Tx, kind: Noted, { id, siteId, netKg, bags }: WeighIn, at: number, actor: string): void {
  const facts = { weighInId: id, netKg, bags };
  appendEntry(tx, { at, kind, subject: `site:${siteId}`, actor, facts });
}
