/** Somebody who is no donor yet asks for a collection; the coordinator answers, and then it is done here. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getPlaceRequest, type PlaceRequest, savePlaceRequest } from '../store/place-requests.ts';
import type { Context } from './context.ts';

export type NewPlace = Omit<PlaceRequest, 'id' | 'requestedAt' | 'answeredAt' | 'answeredBy'> & {
  /** The form's own: sent twice it is one request, the first. */
  readonly factId: string;
};

export function requestPlace(
  { store, now }: Context,
  { factId, ...request }: NewPlace,
): Result<{ readonly requestId: string }, never> {
  return inTransaction(store, (tx) => {
    if (getPlaceRequest(tx, factId)) return ok({ requestId: factId });
    const at = now();
    savePlaceRequest(tx, { ...request, id: factId, requestedAt: at, answeredAt: null, answeredBy: null });
    const { expectedBags, untilDay } = request;
    appendEntry(tx, {
      at,
      kind: 'place-requested',
      subject: `place:${factId}`,
      // Whoever it was: name and address stay in the request, which can be deleted; the journal cannot.
      actor: 'visitor',
      facts: { requestId: factId, expectedBags, untilDay },
    });
    return ok({ requestId: factId });
  });
}

/** Said twice it is answered once. */
export function answerPlaceRequest(
  { store, now }: Context,
  { requestId, actor }: { readonly requestId: string; readonly actor: string },
): Result<{ readonly requestId: string }, { readonly kind: 'no-such-request' }> {
  return inTransaction(store, (tx) => {
    const request = getPlaceRequest(tx, requestId);
    if (!request) return refuse({ kind: 'no-such-request' });
    if (request.answeredAt !== null) return ok({ requestId });
    const at = now();
    savePlaceRequest(tx, { ...request, answeredAt: at, answeredBy: actor });
    appendEntry(tx, {
      at,
      kind: 'place-request-answered',
      subject: `place:${requestId}`,
      actor,
      facts: { requestId },
    });
    return ok({ requestId });
  });
}
