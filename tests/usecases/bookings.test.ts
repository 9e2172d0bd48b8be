/** Booking an extra collection on the demo town: the conversation of two steps, and what may come between them. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { checkPlan } from '../../src/core/planning/check.ts';
import { getBooking, listBookingsOfSite } from '../../src/store/bookings.ts';
import { inTransaction } from '../../src/store/db.ts';
import { lastSeq, readEntriesAfter } from '../../src/store/journal.ts';
import { getPlan, publishedPlan, publishedStopsOfSite } from '../../src/store/plans.ts';
import type { Quote } from '../../src/store/quotes.ts';
import { listSites } from '../../src/store/sites.ts';
import { listSurgesOfSite } from '../../src/store/surges.ts';
import { requireWorkshop, saveWorkshop } from '../../src/store/workshop.ts';
import { buildPlanningProblem } from '../../src/usecases/build-planning-problem.ts';
import { cancelBooking } from '../../src/usecases/cancel-extra-collection.ts';
import { confirmExtraCollection } from '../../src/usecases/confirm-extra-collection.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { QUOTE_HOLDS_S, quoteExtraCollection } from '../../src/usecases/quote-extra-collection.ts';
import { type Demo, openDemo, planInPlace } from '../fixtures/demo-app.ts';

const DAY_S = 86_400;
let demo: Demo;
beforeEach(async () => {
  demo = await openDemo();
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 100, actor: 'test' });
  publishPlan(demo.context, { planId, actor: 'test' });
});
afterEach(() => demo.close());

const allowSmallChanges = (): void =>
  inTransaction(demo.context.store, (tx) => {
    const workshop = requireWorkshop(tx);
    saveWorkshop(tx, { ...workshop, settings: { ...workshop.settings, publishesSmallChanges: true } });
  });
const facts = (siteId: string, over: object = {}) => {
  const at = demo.context.now();
  return {
    siteId,
    eventKind: 'festival' as const,
    eventEndsAt: at + DAY_S / 2,
    expectedBags: 8,
    fromAt: at + DAY_S / 2,
    untilAt: at + 5 * DAY_S,
    remarks: 'in the yard',
    hazards: '',
    askedBy: 'donor:test',
    ...over,
  };
};
const quoteFor = (siteId: string, over: object = {}): Quote => {
  const quoted = quoteExtraCollection(demo.context, facts(siteId, over));
  if (!quoted.ok) throw new Error(JSON.stringify(quoted.refusal));
  return quoted.value.quote;
};
const take = (quote: Quote, factId: string, slot = 0) =>
  confirmExtraCollection(demo.context, {
    factId,
    quoteId: quote.id,
    slotFromAt: quote.slots[slot]!.fromAt,
    actor: 'donor:test',
  });
const site = (n: number) => listSites(demo.context.store)[n]!;

describe('taking an offer', () => {
  test('confirms at once; with leave, the published plan has it and nobody else’s day moves', () => {
    allowSmallChanges();
    const { store } = demo.context;
    const before = publishedPlan(store)!;
    const quote = quoteFor(site(3).id);
    const seq = lastSeq(store);
    const taken = take(quote, 'fact-0001');
    if (!taken.ok) throw new Error(JSON.stringify(taken.refusal));
    const slot = quote.slots[0]!;
    expect(taken.value).toMatchObject({
      state: 'confirmed',
      fromAt: slot.fromAt,
      untilAt: slot.untilAt,
    });
    expect(readEntriesAfter(store, seq).map(({ kind }) => kind)).toEqual([
      'extra-collection-confirmed',
      'plan-drafted',
      'plan-published',
    ]);
    const stops = publishedStopsOfSite(store, site(3).id);
    expect(stops.some(({ startAt }) => startAt >= slot.fromAt && startAt < slot.untilAt)).toBe(true);
    const now = publishedPlan(store)!;
    expect(now.id).not.toBe(before.id);
    const days = (plan: typeof now) =>
      new Set(
        plan.rounds.flatMap(({ day, stops: all }) =>
          all.flatMap(({ siteId }) => (siteId && siteId !== site(3).id ? `${siteId} ${day}` : [])),
        ),
      );
    expect(days(now)).toEqual(days(before));
    const { firstDay, days: horizon } = now.plan;
    const problem = buildPlanningProblem(
      store,
      demo.context.now(),
      { firstDay, days: horizon.length },
      getPlan(store, before.id),
    );
    expect(checkPlan(problem, now.plan)).toEqual([]);
  });

  test('without leave it is a promise that holds its room, and a draft made before it is not published', async () => {
    const { store } = demo.context;
    const old = await planWeek(demo.context, planInPlace, { seed: 2, iterations: 0, actor: 'test' });
    const before = publishedPlan(store)!.id;
    const visited = new Set(old.plan.rounds.flatMap((round) => round.stops.map((stop) => stop.siteId)));
    const other = listSites(store).find(({ id }) => !visited.has(id) && quoteFor(id).slots.length > 0)!;
    const taken = take(quoteFor(other.id), 'fact-0002');
    expect(taken).toMatchObject({ ok: true, value: { state: 'confirmed' } });
    expect(publishedPlan(store)!.id).toBe(before);
    expect(publishPlan(demo.context, { planId: old.planId, actor: 'test' })).toMatchObject({
      ok: false,
      refusal: { kind: 'out-of-date' },
    });
    const fresh = await planWeek(demo.context, planInPlace, { seed: 2, iterations: 0, actor: 'test' });
    expect(publishPlan(demo.context, { planId: fresh.planId, actor: 'test' }).ok).toBe(true);
  });

  test('the same key again is the same booking; another key finds the quote taken', () => {
    const quote = quoteFor(site(3).id);
    const first = take(quote, 'fact-0003');
    expect(take(quote, 'fact-0003')).toEqual(first);
    expect(take(quote, 'fact-0004')).toMatchObject({ ok: false, refusal: { kind: 'quote-taken' } });
    expect(take(quoteFor(site(4).id), 'fact-0003')).toEqual({ ok: false, refusal: { kind: 'fact-differs' } });
    expect(listBookingsOfSite(demo.context.store, site(3).id)).toHaveLength(1);
  });

  test('after ten minutes the days are looked at again', () => {
    const quote = quoteFor(site(3).id);
    expect(quote.expiresAt - quote.askedAt).toBe(600);
    demo.setNow(demo.context.now() + QUOTE_HOLDS_S);
    const late = take(quote, 'fact-0005');
    expect(late).toMatchObject({ ok: false, refusal: { kind: 'quote-over' } });
    const fresh = !late.ok && 'quote' in late.refusal ? late.refusal.quote : quote;
    expect(fresh.id).not.toBe(quote.id);
    expect(take(fresh, 'fact-0005').ok).toBe(true);
  });

  test('an offer that was not made, a quote that is not there', () => {
    const quote = quoteFor(site(3).id);
    const wrong = { factId: 'fact-0006', quoteId: quote.id, slotFromAt: 1, actor: 'test' };
    expect(confirmExtraCollection(demo.context, wrong)).toEqual({
      ok: false,
      refusal: { kind: 'no-such-offer' },
    });
    expect(confirmExtraCollection(demo.context, { ...wrong, quoteId: 'nothing' })).toEqual({
      ok: false,
      refusal: { kind: 'quote-not-found' },
    });
  });
});

test('many want one day: they are confirmed while there is room, then offered what is left', () => {
  const { store } = demo.context;
  const asked = listSites(store).flatMap(({ id }) => {
    const quoted = quoteExtraCollection(demo.context, facts(id, { expectedBags: 25 }));
    return quoted.ok ? quoted.value.quote : [];
  });
  const days = Map.groupBy(
    asked.flatMap((quote) => [...new Set(quote.slots.map(({ day }) => day))].map((day) => ({ day, quote }))),
    ({ day }) => day,
  );
  const [day, wanting] = [...days].sort((a, b) => b[1].length - a[1].length)[0]!;
  const outcomes = wanting.map(({ quote }, n) => {
    const slot = quote.slots.findIndex((one) => one.day === day);
    return { quote, outcome: take(quote, `fact-m${n}00`, slot) };
  });
  const gone = outcomes.flatMap(({ quote, outcome }) =>
    outcome.ok ? [] : { quote, refusal: outcome.refusal },
  );
  expect(outcomes.length - gone.length).toBeGreaterThan(0);
  expect(gone.length).toBeGreaterThan(0);
  for (const { quote, refusal } of gone) {
    expect(refusal.kind).toBe('slot-taken');
    const offered = 'quote' in refusal ? refusal.quote.slots.map((slot) => slot.day) : [];
    const wanted = quote.slots.filter((slot) => slot.day === day).length;
    // A site with two opening windows a day may still have the other one.
    expect(offered.filter((one) => one === day).length).toBeLessThan(wanted);
    expect(offered.length).toBeGreaterThan(0);
  }
});

describe('a booking', () => {
  test('is changed in one step: the old day is free again, its id stays', () => {
    allowSmallChanges();
    const { store } = demo.context;
    const taken = take(quoteFor(site(3).id), 'fact-0201');
    if (!taken.ok) throw new Error(JSON.stringify(taken.refusal));
    const { bookingId } = taken.value;
    const quote = quoteFor(site(3).id, { changesId: bookingId, expectedBags: 4, remarks: 'moved' });
    // The booking does not stand in its own way.
    expect(quote.slots.map(({ fromAt }) => fromAt)).toContain(taken.value.fromAt);
    const last = quote.slots.length - 1;
    const changed = take(quote, 'fact-0202', last);
    expect(changed).toMatchObject({ ok: true, value: { bookingId, fromAt: quote.slots[last]!.fromAt } });
    expect(getBooking(store, bookingId)).toMatchObject({
      state: 'confirmed',
      remarks: 'moved',
      idempotencyKey: 'fact-0201',
    });
    const open = listSurgesOfSite(store, site(3).id).filter((surge) => surge.cancelledAt === null);
    expect(open.map(({ expectedBags }) => expectedBags)).toEqual([4]);
    expect(take(quote, 'fact-0202', last)).toEqual(changed);
  });

  test('that is cancelled takes its stop out of the plan', () => {
    allowSmallChanges();
    const { store } = demo.context;
    const visited = new Set(publishedPlan(store)!.rounds.flatMap(({ stops }) => stops.map((s) => s.siteId)));
    const other = listSites(store).find(({ id }) => !visited.has(id) && quoteFor(id).slots.length > 0)!;
    const taken = take(quoteFor(other.id), 'fact-0301');
    if (!taken.ok) throw new Error(JSON.stringify(taken.refusal));
    expect(publishedStopsOfSite(store, other.id)).toHaveLength(1);
    const { bookingId } = taken.value;
    expect(cancelBooking(demo.context, { bookingId, actor: 'test' }).ok).toBe(true);
    expect(publishedStopsOfSite(store, other.id)).toEqual([]);
    expect(cancelBooking(demo.context, { bookingId, actor: 'test' })).toMatchObject({
      refusal: { kind: 'booking-closed' },
    });
  });
});

test('disturbance: for single bookings into a published week, nobody else’s day changes', () => {
  allowSmallChanges();
  const { store } = demo.context;
  const changed: number[] = [];
  let published = 0;
  for (const [n, { id }] of listSites(store).slice(0, 24).entries()) {
    const before = publishedPlan(store)!;
    const quote = quoteFor(id, { expectedBags: 2 + (n % 5) * 3 });
    if (quote.slots.length === 0) continue;
    const taken = take(quote, `fact-d${n}00`, n % quote.slots.length);
    if (!taken.ok) throw new Error(JSON.stringify(taken.refusal));
    const after = publishedPlan(store)!;
    if (after.id !== before.id) published++;
    const dayOf = (plan: typeof after) =>
      Map.groupBy(
        plan.rounds.flatMap(({ day, stops }) =>
          stops.flatMap(({ siteId }) => (siteId ? { siteId, day } : [])),
        ),
        (visit) => visit.siteId,
      );
    const [was, is] = [dayOf(before), dayOf(after)];
    const days = (visits: readonly { day: string }[] = []) =>
      visits
        .map(({ day }) => day)
        .sort()
        .join();
    const others = listSites(store).filter(
      (one) => one.id !== id && days(was.get(one.id)) !== days(is.get(one.id)),
    );
    changed.push(others.length);
    // Each on the same published week.
    cancelBooking(demo.context, { bookingId: taken.value.bookingId, actor: 'test' });
  }
  expect(changed.length).toBeGreaterThan(10);
  // They are in the week that donors and drivers see, all but those on days that it does not reach.
  expect(published).toBeGreaterThan(0.8 * changed.length);
  expect(Math.max(...changed)).toBeLessThanOrEqual(2);
  expect([...changed].sort((a, b) => a - b)[Math.floor(changed.length / 2)]).toBe(0);
});
