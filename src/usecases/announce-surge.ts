/** Film that an event will leave at a site: announced, changed, called off. By the donor or for it. */
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { EventKind } from '../core/vocabulary.ts';
import { listBookingsOfSite } from '../store/bookings.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getSite } from '../store/sites.ts';
import { getSurge, type Surge, saveSurge, cancelSurge as withdraw } from '../store/surges.ts';
import type { Context } from './context.ts';
import { isSame } from './tables/count-writes.ts';

export type SurgeFacts = {
  readonly eventKind: EventKind;
  /** May be empty. */
  readonly name: string;
  readonly startsAt: Instant;
  readonly endsAt: Instant;
  readonly expectedBags: number;
};

export type SurgeRefusal =
  | { readonly kind: 'site-not-found' }
  | { readonly kind: 'surge-not-found' }
  | { readonly kind: 'surge-called-off' }
  /** It came with a booking, and changes with it. */
  | { readonly kind: 'surge-of-booking'; readonly bookingId: string }
  | { readonly kind: 'ends-before-start' }
  | { readonly kind: 'no-bags-expected' }
  | { readonly kind: 'fact-differs' };
type Answer = Result<{ readonly surgeId: string }, SurgeRefusal>;

/** @param factId becomes the surge's id: said twice it is one */
export function announceSurge(
  { store, now }: Context,
  request: SurgeFacts & { readonly factId: string; readonly siteId: string; readonly actor: string },
): Answer {
  const { factId, siteId, actor, ...facts } = request;
  return inTransaction(store, (tx): Answer => {
    if (!getSite(tx, siteId)) return refuse({ kind: 'site-not-found' });
    const wrong = wrongIn(facts);
    if (wrong) return refuse(wrong);
    const before = getSurge(tx, factId);
    if (before)
      return before.siteId === siteId && isSame(factsOf(before), facts)
        ? ok({ surgeId: factId })
        : refuse({ kind: 'fact-differs' });
    const at = now();
    const surge = { id: factId, key: factId, siteId, ...facts, announcedAt: at, cancelledAt: null };
    saveSurge(tx, surge);
    note(tx, 'surge-announced', surge, at, actor);
    return ok({ surgeId: factId });
  });
}

/** To what it is told to be now; the same again changes nothing. */
export function changeSurge(
  { store, now }: Context,
  request: SurgeFacts & { readonly surgeId: string; readonly actor: string },
): Answer {
  const { surgeId, actor, ...facts } = request;
  return inTransaction(store, (tx): Answer => {
    const found = standing(tx, surgeId);
    if (!found.ok) return found;
    const wrong = wrongIn(facts);
    if (wrong) return refuse(wrong);
    if (isSame(factsOf(found.value), facts)) return ok({ surgeId });
    const surge = { ...found.value, ...facts };
    saveSurge(tx, surge);
    note(tx, 'surge-changed', surge, now(), actor);
    return ok({ surgeId });
  });
}

export function callOffSurge(
  { store, now }: Context,
  { surgeId, actor }: { readonly surgeId: string; readonly actor: string },
): Answer {
  return inTransaction(store, (tx): Answer => {
    const found = standing(tx, surgeId);
    if (!found.ok) return found.refusal.kind === 'surge-called-off' ? ok({ surgeId }) : found;
    const at = now();
    withdraw(tx, surgeId, at);
    const subject = `site:${found.value.siteId}`;
    appendEntry(tx, { at, kind: 'surge-cancelled', subject, actor, facts: { surgeId } });
    return ok({ surgeId });
  });
}

function standing(tx: Tx, surgeId: string): Result<Surge, SurgeRefusal> {
  const surge = getSurge(tx, surgeId);
  if (!surge) return refuse({ kind: 'surge-not-found' });
  if (surge.cancelledAt !== null) return refuse({ kind: 'surge-called-off' });
  const booking = listBookingsOfSite(tx, surge.siteId).find((one) => one.surgeId === surgeId);
  return booking ? refuse({ kind: 'surge-of-booking', bookingId: booking.id }) : ok(surge);
}

const factsOf = ({ eventKind, name, startsAt, endsAt, expectedBags }: SurgeFacts): SurgeFacts => ({
  eventKind,
  name,
  startsAt,
  endsAt,
  expectedBags,
});

function wrongIn({ startsAt, endsAt, expectedBags }: SurgeFacts): SurgeRefusal | undefined {
  if (endsAt < startsAt) return { kind: 'ends-before-start' };
  return expectedBags > 0 ? undefined : { kind: 'no-bags-expected' };
}

function note(
  tx: Tx,
  kind: 'surge-announced' | 'surge-changed',
  { id, siteId, eventKind, startsAt, endsAt, expectedBags }: Surge,
  at: Instant,
  actor: string,
): void {
  const facts = { surgeId: id, eventKind, startsAt, endsAt, expectedBags };
  appendEntry(tx, { at, kind, subject: `site:${siteId}`, actor, facts });
}
