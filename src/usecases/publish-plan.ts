/** Makes a draft the plan that donors are told and drivers follow. */
import { localOf } from '../core/calendar/zone.ts';
import { type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { listBookingsAhead, setBookingState } from '../store/bookings.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import {
  getPlan,
  type PublishRefusal,
  publishPlan as publish,
  publishedStopsOfSite,
} from '../store/plans.ts';
import { getSurge } from '../store/surges.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { Context } from './context.ts';
import { giveShifts } from './give-shifts.ts';
import { runningRounds } from './running-rounds.ts';

export function publishPlan(
  { store, now }: Context,
  request: { readonly planId: string; readonly actor: string },
): Result<{ readonly planId: string }, PublishRefusal> {
  return inTransaction(store, (tx) => publishDraft(tx, now(), request));
}

/** Bookings that wait for a day and have one now are confirmed with it. */
export function publishDraft(
  tx: Tx,
  at: Instant,
  { planId, actor }: { readonly planId: string; readonly actor: string },
): Result<{ readonly planId: string }, PublishRefusal> {
  const bookingIds = bookingsMissed(tx, at, planId);
  if (bookingIds.length > 0) return refuse({ kind: 'out-of-date', planId, bookingIds, shiftIds: [] });
  const draft = getPlan(tx, planId);
  const shiftIds = draft?.state === 'draft' ? giveShifts(tx, at, draft.wishes, actor) : [];
  if (shiftIds.length > 0) return refuse({ kind: 'out-of-date', planId, bookingIds: [], shiftIds });
  const published = publish(tx, planId, at);
  if (!published.ok) return published;
  appendEntry(tx, {
    at,
    kind: 'plan-published',
    subject: `plan:${planId}`,
    actor,
    facts: { supersededId: published.value.supersededId },
  });
  for (const booking of listBookingsAhead(tx, ['waiting'], at)) {
    const { id, siteId, fromAt, untilAt, surgeId } = booking;
    if (!publishedStopsOfSite(tx, siteId).some((stop) => stop.startAt >= fromAt && stop.startAt < untilAt))
      continue;
    setBookingState(tx, id, 'confirmed');
    const expectedBags = (surgeId === null ? undefined : getSurge(tx, surgeId)?.expectedBags) ?? 0;
    appendEntry(tx, {
      at,
      kind: 'extra-collection-confirmed',
      subject: `site:${siteId}`,
      actor,
      facts: { bookingId: id, fromAt, untilAt, expectedBags },
    });
  }
  return { ok: true, value: { planId } };
}

/** Confirmed since the draft was made: publishing it would break a promise without a word. */
function bookingsMissed(tx: Tx, at: Instant, planId: string): string[] {
  const draft = getPlan(tx, planId);
  if (draft?.state !== 'draft') return [];
  const { zone } = requireWorkshop(tx);
  const [first = '', last = ''] = [draft.plan.days[0], draft.plan.days.at(-1)];
  const rounds = [...draft.rounds, ...runningRounds(tx, at).values()];
  return listBookingsAhead(tx, ['confirmed'], at)
    .filter(({ siteId, fromAt, untilAt }) => {
      const isInDays = localOf(zone, fromAt).day >= first && localOf(zone, untilAt - 1).day <= last;
      const isNamed = draft.plan.unkept.some(
        (one) => one.siteId === siteId && one.windowFromAt < untilAt && fromAt < one.windowUntilAt,
      );
      const isHeld = rounds.some(({ stops }) =>
        stops.some((stop) => stop.siteId === siteId && stop.startAt >= fromAt && stop.startAt < untilAt),
      );
      return isInDays && !isNamed && !isHeld;
    })
    .map(({ id }) => id);
}
