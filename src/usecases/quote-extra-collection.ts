/** A donor asks when we could come: the days and hours that are possible, what each costs, and what would help. */
import { dayStart, localOf } from '../core/calendar/zone.ts';
import type { Plan } from '../core/planning/plan.ts';
import type { PlanningProblem } from '../core/planning/problem.ts';
import { type Offer, quoteCollection, type WantedCollection } from '../core/planning/quote.ts';
import { roundsWithout, withBookingsOf, withoutBooking } from '../core/planning/quote-held.ts';
import { daysToQuote, type Help, whatWouldHelp } from '../core/planning/quote-help.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, Seconds } from '../core/quantity/units.ts';
import { type Booking, getBooking, listBookingsAhead } from '../store/bookings.ts';
import { type Db, inTransaction, type Tx } from '../store/db.ts';
import { publishedPlan } from '../store/plans.ts';
import { type CollectionFacts, forgetQuotesBefore, type Quote, saveQuote } from '../store/quotes.ts';
import { getSite, type Site } from '../store/sites.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { buildPlanningProblem, nextHorizon } from './build-planning-problem.ts';
import type { Context } from './context.ts';
import {
  announcedSurge,
  type FactsRefusal,
  heldBy,
  isOpenBooking,
  windowRefusal,
} from './extra-collection.ts';

/** How long an offer holds: long enough to ask a colleague. */
export const QUOTE_HOLDS_S: Seconds = 600;
const KEPT_S = 86_400;
/** As far as shifts are known ahead, at most; the planner's own bound. */
const MOST_DAYS = 28;

export type QuoteRequest = CollectionFacts & {
  readonly askedBy: string;
  /** A booking that would be changed to what is asked now. */
  readonly changesId?: string;
};
export type QuoteRefusal =
  | FactsRefusal
  | { readonly kind: 'booking-not-found' }
  | { readonly kind: 'booking-closed'; readonly state: Booking['state'] };

export function quoteExtraCollection(
  context: Context,
  request: QuoteRequest,
): Result<{ readonly quote: Quote }, QuoteRefusal> {
  return inTransaction(context.store, (tx) => {
    const { askedBy, changesId, ...wanted } = request;
    const site = getSite(tx, wanted.siteId);
    if (!site) return refuse({ kind: 'site-not-found' });
    const changes = changesId === undefined ? undefined : getBooking(tx, changesId);
    if (changesId !== undefined && changes?.siteId !== site.id) return refuse({ kind: 'booking-not-found' });
    if (changes && !isOpenBooking(changes)) return refuse({ kind: 'booking-closed', state: changes.state });
    const at = context.now();
    const refusal = windowRefusal(tx, site, wanted, at);
    if (refusal) return refuse(refusal);
    const asked = ask(tx, at, site, wanted, changes);
    return ok({
      quote: offer(tx, context, { wanted, askedBy, changesId: changesId ?? null }, asked.offers()),
    });
  });
}

/** Puts an offer away, for ten minutes. */
export function offer(
  tx: Tx,
  { now, newId }: Context,
  asked: Pick<Quote, 'wanted' | 'askedBy' | 'changesId'>,
  offers: readonly Offer[],
): Quote {
  const askedAt = now();
  forgetQuotesBefore(tx, askedAt - KEPT_S);
  const quote: Quote = {
    ...asked,
    id: newId(),
    siteId: asked.wanted.siteId,
    askedAt,
    expiresAt: askedAt + QUOTE_HOLDS_S,
    slots: offers.map(({ slot }) => slot),
    bookingId: null,
    factId: null,
  };
  saveQuote(tx, quote);
  return quote;
}

export type Asked = {
  readonly problem: PlanningProblem;
  readonly told: Pick<Plan, 'rounds'> | undefined;
  readonly wanted: WantedCollection;
  readonly offers: () => Offer[];
  readonly helps: () => Help[];
};

/** The question as the core understands it, on the facts of now; a booking to be changed does not count. */
export function ask(
  db: Db,
  at: Instant,
  site: Site,
  facts: CollectionFacts,
  changes?: Booking | undefined,
): Asked {
  const { zone } = requireWorkshop(db);
  const { firstDay, days } = nextHorizon(db, at);
  const lastDay = localOf(zone, facts.untilAt - 1).day;
  const horizon = { firstDay, days: daysToQuote(firstDay, lastDay, days, MOST_DAYS) };
  const confirmed = listBookingsAhead(db, ['confirmed'], at)
    .filter((booking) => booking.id !== changes?.id)
    .map(({ siteId, fromAt, untilAt }) => ({ siteId, window: { fromAt, untilAt } }));
  const held = changes && heldBy(db, site, changes);
  const all = buildPlanningProblem(db, at, horizon);
  const problem = withBookingsOf(held ? withoutBooking(all, held) : all, confirmed);
  const published = publishedPlan(db)?.plan;
  const told = published && held ? { rounds: roundsWithout(published, held) } : published;
  // What was there before this moment may have been emptied since.
  const fromAt = Math.max(facts.fromAt, dayStart(zone, firstDay), at);
  const wanted: WantedCollection = {
    siteId: site.id,
    window: { fromAt, untilAt: facts.untilAt },
    surge: announcedSurge(db, site, { ...facts, fromAt }),
  };
  return {
    problem,
    told,
    wanted,
    offers: () => quoteCollection(problem, told, wanted),
    helps: () => whatWouldHelp(problem, told, wanted),
  };
}
