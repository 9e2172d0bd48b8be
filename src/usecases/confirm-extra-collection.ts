/**
 * A donor takes an offer. In one transaction: is it still to be had, on the facts and bookings of now; the booking, what
 * it announced and the journal entry; and the published plan with the stop in it, where the workshop lets small changes
 * publish themselves. Without that, the booking is a promise that holds its room until a plan has it (see
 * `core/planning/quote.ts`). So whoever comes second is asked anew, and offered what is left.
 */
import type { Offer } from '../core/planning/quote.ts';
import { sacksThereAt } from '../core/planning/quote.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { type Booking, getBooking, recordBooking } from '../store/bookings.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getQuote, getQuoteTakenWith, type Quote, takeQuote } from '../store/quotes.ts';
import { getSite, type Site } from '../store/sites.ts';
import { changeBooking } from './change-extra-collection.ts';
import type { Context } from './context.ts';
import { announceSacks, bagsOf, isOpenBooking } from './extra-collection.ts';
import { publishWithRounds } from './publish-small-change.ts';
import { type Asked, ask, offer } from './quote-extra-collection.ts';
import { recordWaiting } from './request-extra-collection.ts';

export type TakeOffer = {
  /** The Idempotency-Key or the form's own id: the same again is the same booking. */
  readonly factId: string;
  readonly quoteId: string;
  /** Start of the offered hours, which names the offer. */
  readonly slotFromAt: Instant;
  readonly actor: string;
};

export type Taken = {
  readonly bookingId: string;
  readonly state: Booking['state'];
  readonly fromAt: Instant;
  readonly untilAt: Instant;
};

export type TakeRefusal =
  | { readonly kind: 'quote-not-found' }
  | { readonly kind: 'no-such-offer' }
  | { readonly kind: 'quote-taken'; readonly bookingId: string }
  | { readonly kind: 'fact-differs' }
  | { readonly kind: 'booking-closed'; readonly state: Booking['state'] }
  /** Somebody else was quicker, or the ten minutes are over: what can be had now. */
  | { readonly kind: 'slot-taken' | 'quote-over'; readonly quote: Quote };

export function confirmExtraCollection(context: Context, request: TakeOffer): Result<Taken, TakeRefusal> {
  return inTransaction(context.store, (tx) => {
    const quote = getQuote(tx, request.quoteId);
    const replayed = replay(tx, quote, request);
    if (replayed) return replayed;
    const site = quote && getSite(tx, quote.siteId);
    if (!quote || !site) return refuse({ kind: 'quote-not-found' });
    const slot = quote.slots.find(({ fromAt }) => fromAt === request.slotFromAt);
    if (!slot) return refuse({ kind: 'no-such-offer' });
    const changes = quote.changesId === null ? undefined : getBooking(tx, quote.changesId);
    if (changes && !isOpenBooking(changes)) return refuse({ kind: 'booking-closed', state: changes.state });

    const at = context.now();
    const asked = ask(tx, at, site, quote.wanted, changes);
    const offers = asked.offers();
    const found = offers.find((one) => one.slot.fromAt === slot.fromAt && one.slot.untilAt === slot.untilAt);
    if (at >= quote.expiresAt)
      return refuse({ kind: 'quote-over', quote: offer(tx, context, quote, offers) });
    if (found) return ok(take(tx, context, { request, quote, site, asked, changes }, found));
    if (offers.length > 0 || changes)
      return refuse({ kind: 'slot-taken', quote: offer(tx, context, quote, offers) });
    return ok(waitFor(tx, context, request, quote, site));
  });
}

function replay(
  tx: Tx,
  quote: Quote | undefined,
  { factId, slotFromAt }: TakeOffer,
): Result<Taken, TakeRefusal> | undefined {
  const before = getQuoteTakenWith(tx, factId);
  if (before && before.id !== quote?.id) return refuse({ kind: 'fact-differs' });
  if (!quote || quote.bookingId === null) return undefined;
  if (quote.factId !== factId) return refuse({ kind: 'quote-taken', bookingId: quote.bookingId });
  const booking = getBooking(tx, quote.bookingId)!;
  const isSame = booking.state === 'waiting' || booking.fromAt === slotFromAt || !isOpenBooking(booking);
  return isSame ? ok(takenOf(booking)) : refuse({ kind: 'fact-differs' });
}

type Taking = {
  readonly request: TakeOffer;
  readonly quote: Quote;
  readonly site: Site;
  readonly asked: Asked;
  readonly changes: Booking | undefined;
};

function take(tx: Tx, context: Context, taking: Taking, { slot, rounds }: Offer): Taken {
  const { request, quote, site, asked, changes } = taking;
  const at = context.now();
  const window = { fromAt: slot.fromAt, untilAt: slot.untilAt };
  const bookingId = changes?.id ?? context.newId();
  const endsAt = sacksThereAt(asked.problem, asked.wanted.surge.endsAt, asked.wanted.window);
  const surgeId = announceSacks(tx, site, quote.wanted, { surgeId: context.newId(), bookingId, at, endsAt });
  const { remarks, hazards } = quote.wanted;
  const booking: Booking = {
    id: bookingId,
    siteId: site.id,
    state: 'confirmed',
    ...window,
    surgeId,
    remarks,
    hazards,
    requestedAt: at,
    requestedBy: request.actor,
    idempotencyKey: request.factId,
  };
  if (changes) changeBooking(tx, changes, booking, at);
  else recordBooking(tx, booking);
  takeQuote(tx, quote.id, bookingId, request.factId);
  appendEntry(tx, {
    at,
    kind: changes ? 'extra-collection-changed' : 'extra-collection-confirmed',
    subject: `site:${site.id}`,
    actor: request.actor,
    facts: { bookingId, ...window, expectedBags: bagsOf(tx, site, quote.wanted) },
  });
  publishWithRounds(tx, context, { rounds: rounds(), siteIds: [site.id], actor: request.actor });
  return takenOf(booking);
}

/** Nothing is left at all: the request stays, for the coordinator to see. */
function waitFor(tx: Tx, context: Context, request: TakeOffer, quote: Quote, site: Site): Taken {
  const bookingId = recordWaiting(tx, context, quote.wanted, site, request.factId, request.actor);
  takeQuote(tx, quote.id, bookingId, request.factId);
  return takenOf(getBooking(tx, bookingId)!);
}

const takenOf = ({ id, state, fromAt, untilAt }: Booking): Taken => ({
  bookingId: id,
  state,
  fromAt,
  untilAt,
});
