/** A stop was not collected, and why. Tells nothing about the fill unless nothing was there. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { MissedReason } from '../core/vocabulary.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getMissedStop, listMissedOfStops, recordMissedStop as record } from '../store/missed-stops.ts';
import { getStopPlace } from '../store/plans.ts';
import { listWeighInsOfStops } from '../store/weigh-ins.ts';
import { isStillToCome, type StillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';

export type MissedEntry = {
  readonly factId: string;
  readonly stopId: string;
  readonly driverId?: string;
  readonly at: Instant;
  readonly reason: MissedReason;
  readonly note: string;
  readonly recordedBy: string;
};

export type MissedRefusal =
  | { readonly kind: 'stop-not-found' }
  | { readonly kind: 'already-weighed'; readonly weighInId: string }
  | { readonly kind: 'already-missed' }
  | { readonly kind: 'fact-differs' }
  | StillToCome;

export function recordMissedStop(
  { store, now }: Context,
  entry: MissedEntry,
): Result<{ readonly missedId: string }, MissedRefusal> {
  return inTransaction(store, (tx) => {
    const place = getStopPlace(tx, entry.stopId);
    const isTheirs = place && (entry.driverId === undefined || place.driverId === entry.driverId);
    if (!isTheirs || place.siteId === null) return refuse({ kind: 'stop-not-found' });
    const weighed = listWeighInsOfStops(tx, [entry.stopId])[0];
    if (weighed) return refuse({ kind: 'already-weighed', weighInId: weighed.id });
    const before = listMissedOfStops(tx, [entry.stopId])[0];
    if (before && before.id !== entry.factId) return refuse({ kind: 'already-missed' });
    if (before)
      return before.reason === entry.reason && before.note === entry.note
        ? ok({ missedId: before.id })
        : refuse({ kind: 'fact-differs' });
    if (getMissedStop(tx, entry.factId)) return refuse({ kind: 'fact-differs' });
    const { factId, stopId, at, reason, note, recordedBy } = entry;
    if (isStillToCome(at, now())) return refuse({ kind: 'still-to-come' });
    record(tx, { id: factId, siteId: place.siteId, stopId, at, reason, note, recordedBy, recordedAt: now() });
    appendEntry(tx, {
      at: now(),
      kind: 'stop-missed',
      subject: `site:${place.siteId}`,
      actor: recordedBy,
      facts: { missedId: factId, stopId, reason },
    });
    return ok({ missedId: factId });
  });
}
