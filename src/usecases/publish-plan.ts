/** Makes a draft the plan that donors are told and drivers follow. */
import type { Result } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { listBookingsAhead, setBookingState } from '../store/bookings.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { type PublishRefusal, publishPlan as publish, publishedStopsOfSite } from '../store/plans.ts';
import { getSurge } from '../store/surges.ts';
import type { Context } from './context.ts';

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
