/** A van cannot drive from some instant on, be it in the middle of a round; and it can again. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getVan, saveVan } from '../store/vans.ts';
import type { Context } from './context.ts';
import { runningRounds } from './running-rounds.ts';

export type VanRefusal =
  | { readonly kind: 'van-not-found' }
  /** It is off the road already, from another instant: put it back first, or leave it at that. */
  | { readonly kind: 'already-off-road'; readonly fromAt: Instant };
type Answer = Result<{ readonly vanId: string; readonly roundId: string | null }, VanRefusal>;

/** @param fromAt in the past, now, or to come (a day at the garage) */
export function takeVanOffRoad(
  { store, now }: Context,
  request: {
    readonly vanId: string;
    readonly fromAt: Instant;
    readonly reason: string;
    readonly actor: string;
  },
): Answer {
  const { vanId, fromAt, reason, actor } = request;
  return inTransaction(store, (tx): Answer => {
    const van = getVan(tx, vanId);
    if (!van) return refuse({ kind: 'van-not-found' });
    const at = now();
    const running = [...runningRounds(tx, at).values()].find((round) => round.vanId === vanId);
    const isHit = running !== undefined && fromAt < running.endAt;
    const roundId = isHit ? running.id : null;
    if (van.offRoadFromAt !== null)
      return van.offRoadFromAt === fromAt
        ? ok({ vanId, roundId })
        : refuse({ kind: 'already-off-road', fromAt: van.offRoadFromAt });
    saveVan(tx, { ...van, offRoadFromAt: fromAt });
    const subject = `van:${vanId}`;
    appendEntry(tx, { at, kind: 'van-off-road', subject, actor, facts: { fromAt, roundId, reason } });
    return ok({ vanId, roundId });
  });
}

export function putVanBack(
  { store, now }: Context,
  { vanId, actor }: { readonly vanId: string; readonly actor: string },
): Answer {
  return inTransaction(store, (tx): Answer => {
    const van = getVan(tx, vanId);
    if (!van) return refuse({ kind: 'van-not-found' });
    if (van.offRoadFromAt === null) return ok({ vanId, roundId: null });
    saveVan(tx, { ...van, offRoadFromAt: null });
    appendEntry(tx, { at: now(), kind: 'van-back', subject: `van:${vanId}`, actor, facts: {} });
    return ok({ vanId, roundId: null });
  });
}
