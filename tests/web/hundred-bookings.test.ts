/** A hundred donors want ten places at once, over real HTTP: nothing is sold twice, and nobody is lost. */
import { serve } from '@hono/node-server';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { createApp } from '../../src/app.ts';
import { dayStart } from '../../src/core/calendar/zone.ts';
import { listBookingsAhead } from '../../src/store/bookings.ts';
import { closeStore, inTransaction } from '../../src/store/db.ts';
import { saveDonor } from '../../src/store/donors.ts';
import { publishedPlan } from '../../src/store/plans.ts';
import { saveShift } from '../../src/store/shifts.ts';
import { saveSite } from '../../src/store/sites.ts';
import { saveVan } from '../../src/store/vans.ts';
import { requireWorkshop, saveWorkshop } from '../../src/store/workshop.ts';
import { createLink, enter } from '../../src/usecases/access.ts';
import type { Context } from '../../src/usecases/context.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { planInPlace } from '../fixtures/demo-app.ts';
import { aSite, smallStore } from '../fixtures/small-store.ts';

type Slots = readonly { readonly day: string; readonly from_at: string }[];
type Answer = {
  readonly id: string;
  readonly state?: string;
  readonly type?: string;
  readonly slots: Slots;
  readonly quote: { readonly slots: Slots };
};

const DONORS = 100;
const PLACES = 10;
const ZONE = 'Europe/Vienna';
const MONDAY_AT = dayStart(ZONE, '2026-06-15');
const TUESDAY_AT = dayStart(ZONE, '2026-06-16');
const WEDNESDAY_AT = dayStart(ZONE, '2026-06-17');
const iso = (at: number): string => new Date(at * 1000).toISOString();

/**
 * Room for ten: all sites are at one spot, 556 m of straight line from the workshop: times 1.3 at 30 km/h that is 87 s.
 * n stops take 87 + n x 1,200 + 87 s and 1,200 s of unloading. The shift of 200 minutes with 30 of overtime is 13,800 s:
 * ten take 13,374 s, eleven 14,574 s. No break is due before 4 h 30, and the van is large.
 */
function townOfOneStreet() {
  const store = smallStore();
  let ids = 0;
  const context: Context = {
    store,
    now: () => MONDAY_AT + 5 * 3600,
    newId: () => `id${String(++ids).padStart(8, '0')}`,
  };
  inTransaction(store, (tx) => {
    const workshop = requireWorkshop(tx);
    const settings = { ...workshop.settings, horizonDays: 2, publishesSmallChanges: true };
    saveWorkshop(tx, { ...workshop, storeLimitKg: 20_000, settings });
    saveVan(tx, {
      id: 'v1',
      key: 'van-1',
      name: 'Van',
      payloadKg: 20_000,
      loadSpaceL: 900_000,
      costMicrosPerKm: 450_000,
      offRoadFromAt: null,
      checkDueDay: null,
    });
    for (const [i, day] of ['2026-06-15', '2026-06-16'].entries())
      saveShift(tx, {
        id: `h${i + 1}`,
        key: `shift-${i + 1}`,
        vanId: 'v1',
        vanKey: 'van-1',
        driverId: 'p1',
        driverKey: 'driver-1',
        day,
        startsMinute: 480,
        endsMinute: 680,
        cancelledAt: null,
      });
    // Nobody else is visited.
    for (const id of ['s1', 's2']) saveSite(tx, aSite(id, { activeUntilDay: '2026-01-01' }));
    for (let n = 0; n < DONORS; n++) {
      const donor = { id: `donor${n}`, key: `street-donor-${n}`, name: `Donor ${n}` };
      saveDonor(tx, donor);
      saveSite(
        tx,
        aSite(`street${n}`, {
          donorId: donor.id,
          donorKey: donor.key,
          donorName: donor.name,
          lat: 46.205,
          serviceS: 1200,
          declaredBagsPerWeek: 0.1,
          registeredAt: MONDAY_AT - 86_400,
        }),
      );
    }
  });
  return { store, context };
}

const { store, context } = townOfOneStreet();
let origin = '';
let stop: () => void;
const faults: unknown[] = [];
beforeAll(async () => {
  const { planId } = await planWeek(context, planInPlace, { seed: 1, iterations: 0, actor: 'test' });
  publishPlan(context, { planId, actor: 'test' });
  expect(publishedPlan(store)!.rounds).toEqual([]);
  const server = await new Promise<ReturnType<typeof serve>>((listening) => {
    let app: ReturnType<typeof createApp> | undefined;
    const made = serve(
      { fetch: (request) => app!.fetch(request), hostname: '127.0.0.1', port: 0 },
      (info) => {
        origin = `http://127.0.0.1:${info.port}`;
        const unused = { read: () => Promise.reject(new Error('not asked for here')) };
        app = createApp({
          context,
          planner: planInPlace,
          scores: unused,
          worth: unused as never,
          planning: unused as never,
          origin,
          onFault: (error) => faults.push(error),
        });
        listening(made);
      },
    );
  });
  stop = () => server.close();
});
afterAll(() => {
  stop();
  closeStore(store);
});

test('ten are confirmed, ninety are offered another day or wait, and all are accounted for', async () => {
  const tokens = Array.from({ length: DONORS }, (_, n) => {
    const link = createLink(context, { role: 'donor', subjectId: `donor${n}`, actor: 'test' });
    if (!link.ok) throw new Error('the donor is there');
    return enter(context, 'donor', link.value.token)!.token;
  });
  const post = async (n: number, path: string, body: object, key?: string) => {
    const answer = await fetch(origin + path, {
      method: 'POST',
      headers: {
        authorization: `Bearer ${tokens[n]}`,
        'content-type': 'application/json',
        ...(key ? { 'idempotency-key': key } : {}),
      },
      body: JSON.stringify(body),
    });
    return { status: answer.status, json: (await answer.json()) as Answer };
  };
  // The even ones can do with Monday alone, the odd ones with Tuesday as well.
  const quotes = await Promise.all(
    tokens.map((_, n) =>
      post(n, '/api/donor/quotes', {
        site_id: `street${n}`,
        event_kind: 'festival',
        event_ends_at: iso(MONDAY_AT + 6 * 3600),
        expected_bags: 3,
        from_at: iso(MONDAY_AT + 6 * 3600),
        until_at: iso(n % 2 === 0 ? TUESDAY_AT : WEDNESDAY_AT),
      }),
    ),
  );
  for (const { status, json } of quotes) {
    expect(status).toBe(201);
    expect(json.slots[0]).toMatchObject({ day: '2026-06-15' });
  }
  const take = (n: number) => {
    const { json } = quotes[n]!;
    const path = `/api/donor/quotes/${json.id}/booking`;
    return post(n, path, { from_at: json.slots[0]!.from_at }, `key-of-donor-${n}`);
  };
  const answers = await Promise.all(tokens.map((_, n) => take(n)));

  const confirmed = answers.flatMap(({ json }, n) => (json.state === 'confirmed' ? n : []));
  const waiting = answers.flatMap(({ json }, n) => (json.state === 'waiting' ? n : []));
  const offered = answers.flatMap(({ status, json }, n) => {
    if (status !== 409) return [];
    expect(json.type).toBe('/problems/offer-gone');
    const days = json.quote.slots.map((slot) => slot.day);
    expect(days).toEqual(['2026-06-16']);
    return n;
  });
  expect(confirmed).toHaveLength(PLACES);
  expect(waiting.length + offered.length).toBe(DONORS - PLACES);
  expect(waiting.every((n) => n % 2 === 0) && offered.every((n) => n % 2 === 1)).toBe(true);
  expect(faults).toEqual([]);

  // What the database says, and what the van is to do.
  const of = (state: 'confirmed' | 'waiting') =>
    listBookingsAhead(store, [state], context.now())
      .map(({ siteId }) => siteId)
      .sort();
  const sites = (numbers: readonly number[]) => numbers.map((n) => `street${n}`).sort();
  expect(of('confirmed')).toEqual(sites(confirmed));
  expect(of('waiting')).toEqual(sites(waiting));
  const [monday, ...others] = publishedPlan(store)!.rounds;
  expect(others).toEqual([]);
  expect(monday!.stops.flatMap(({ siteId }) => siteId ?? []).sort()).toEqual(sites(confirmed));

  // Said again with the same keys, nothing is booked twice and nobody is told anything else.
  const again = await Promise.all([...confirmed, ...waiting].map(take));
  expect(again).toEqual([...confirmed, ...waiting].map((n) => answers[n]));
  expect(of('confirmed')).toHaveLength(PLACES);
}, 300_000);
