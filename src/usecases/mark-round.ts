/** A round has left, stops for a while, goes on, is done: said by its driver, or by the coordinator for it. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { NEXT_MARKS, type RoundMark } from '../core/vocabulary.ts';
import { inTransaction } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getPlanSummary, getRound, type StoredRound, stopOutcomes } from '../store/plans.ts';
import { getMark, marksOfRound, recordMark } from '../store/round-marks.ts';
import { isStillToCome, type StillToCome } from './clock-skew.ts';
import type { Context } from './context.ts';

export type RoundMarked = {
  /** Made by the form or phone; becomes the mark's id. */
  readonly factId: string;
  readonly roundId: string;
  readonly mark: RoundMark;
  readonly at: Instant;
  /** When given, the round must be this driver's. */
  readonly driverId?: string;
  readonly recordedBy: string;
};

export type MarkRefusal =
  | { readonly kind: 'round-not-found' }
  /** Nobody drives a draft. */
  | { readonly kind: 'round-not-published' }
  /** A round starts once, is paused while it runs, resumed while it is paused. `last` is what was said before. */
  | { readonly kind: 'out-of-turn'; readonly last: RoundMark | null }
  | { readonly kind: 'fact-differs' }
  | StillToCome;

export function markRound(
  { store, now }: Context,
  { factId, roundId, mark, at, driverId, recordedBy }: RoundMarked,
): Result<{ readonly markId: string }, MarkRefusal> {
  return inTransaction(store, (tx) => {
    const round = getRound(tx, roundId);
    if (!round || (driverId !== undefined && round.driverId !== driverId))
      return refuse({ kind: 'round-not-found' });
    const same = getMark(tx, factId);
    if (same)
      return same.roundId === roundId && same.mark === mark
        ? ok({ markId: factId })
        : refuse({ kind: 'fact-differs' });
    // A superseded plan's round may be on the road still.
    if (getPlanSummary(tx, round.planId)?.state === 'draft') return refuse({ kind: 'round-not-published' });
    const recordedAt = now();
    if (isStillToCome(at, recordedAt)) return refuse({ kind: 'still-to-come' });
    const last = marksOfRound(tx, roundId).at(-1)?.mark ?? null;
    if (!NEXT_MARKS[last ?? 'none'].includes(mark)) return refuse({ kind: 'out-of-turn', last });
    recordMark(tx, { id: factId, roundId, mark, at, recordedBy, recordedAt });
    const told = { at: recordedAt, subject: `round:${roundId}`, actor: recordedBy };
    const facts = { markId: factId, driverId: round.driverId };
    if (mark === 'finished')
      appendEntry(tx, {
        ...told,
        kind: 'round-finished',
        facts: { ...facts, openStopIds: openStops(tx, round) },
      });
    else appendEntry(tx, { ...told, kind: `round-${mark}`, facts });
    return ok({ markId: factId });
  });
}

/** Neither collected nor said to be missed. */
function openStops(tx: Parameters<typeof getRound>[0], { stops }: StoredRound): string[] {
  const ids = stops.filter((stop) => stop.kind === 'site').map((stop) => stop.id);
  const outcomes = stopOutcomes(tx, ids);
  return ids.filter((id) => !outcomes.has(id));
}
