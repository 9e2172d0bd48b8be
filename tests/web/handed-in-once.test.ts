/** The forms over the real application and database: what a nervous thumb, a late page or a stranger can do. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { addDays, localOf } from '../../src/core/calendar/zone.ts';
import { listBookingsOfSite } from '../../src/store/bookings.ts';
import { listFillReportsOfSite } from '../../src/store/fill-reports.ts';
import { publishedPlan } from '../../src/store/plans.ts';
import { getSite, listSites } from '../../src/store/sites.ts';
import { currentStockKg } from '../../src/store/stock.ts';
import { listWeighInsOfStops } from '../../src/store/weigh-ins.ts';
import { requireWorkshop } from '../../src/store/workshop.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { type Demo, ORIGIN, openDemo, planInPlace } from '../fixtures/demo-app.ts';

let demo: Demo;
beforeAll(async () => {
  demo = await openDemo();
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 0, actor: 'test' });
  publishPlan(demo.context, { planId, actor: 'test' });
});
afterAll(() => {
  expect(demo.faults).toEqual([]);
  demo.close();
});

const person = (role: 'driver' | 'donor', subjectId: string) => {
  const cookie = `feedround-${role}=${demo.signIn(role, subjectId)}`;
  const get = async (path: string) => {
    const answer = await demo.app.request(path, { headers: { cookie } });
    return { status: answer.status, html: await answer.text() };
  };
  const post = async (path: string, fields: Record<string, string>, origin = ORIGIN) => {
    const answer = await demo.app.request(path, {
      method: 'POST',
      headers: { cookie, origin },
      body: new URLSearchParams(fields),
    });
    return { status: answer.status, location: answer.headers.get('location') };
  };
  return { get, post };
};
const stockKg = () => [...currentStockKg(demo.context.store).values()].reduce((sum, kg) => sum + kg, 0);
const round = (n = 0) => publishedPlan(demo.context.store)!.rounds[n]!;
const siteStopOf = (n: number, skip = 0) => round(n).stops.filter((stop) => stop.kind === 'site')[skip]!;
const factIdIn = (html: string): string => /name="factId" value="([^"]+)"/.exec(html)?.[1] ?? '';

test('a weigh-in form pressed twice, seconds apart, is one weigh-in', async () => {
  const stop = siteStopOf(0);
  const driver = person('driver', round().driverId);
  const path = `/driver/stops/${stop.id}`;
  const factId = factIdIn((await driver.get(path)).html);
  const before = stockKg();
  const fields = { factId, netKg: stop.expectedKg.toFixed(2) };
  expect((await driver.post(`${path}/weigh-in`, fields)).status).toBe(303);
  demo.setNow(demo.context.now() + 7);
  expect((await driver.post(`${path}/weigh-in`, fields)).status).toBe(303);
  expect(listWeighInsOfStops(demo.context.store, [stop.id])).toHaveLength(1);
  expect(stockKg() - before).toBeCloseTo(Number(fields.netKg), 6);

  // A page that was opened before is too late, and its number replaces nothing.
  expect((await driver.post(`${path}/weigh-in`, { factId: 'another-1', netKg: fields.netKg })).status).toBe(
    409,
  );
  expect(stockKg() - before).toBeCloseTo(Number(fields.netKg), 6);
});

test('a correction takes the first weight back, and keeps the time of collection', async () => {
  const stop = siteStopOf(0, 1);
  const driver = person('driver', round().driverId);
  const path = `/driver/stops/${stop.id}`;
  const before = stockKg();
  const kg = stop.expectedKg;
  await driver.post(`${path}/weigh-in`, { factId: 'first-1', netKg: kg.toFixed(2) });
  const collectedAt = demo.context.now();
  demo.setNow(collectedAt + 3600);
  const { html } = await driver.get(path);
  const replacesId = /name="replacesId" value="([^"]+)"/.exec(html)?.[1] ?? '';
  expect(replacesId).toBe('first-1');
  const corrected = { factId: factIdIn(html), replacesId, netKg: (kg * 0.9).toFixed(2) };
  expect((await driver.post(`${path}/weigh-in`, corrected)).status).toBe(303);
  const [stands] = listWeighInsOfStops(demo.context.store, [stop.id]);
  expect(stands).toMatchObject({ netKg: Number(corrected.netKg), at: collectedAt });
  expect(stockKg() - before).toBeCloseTo(Number(corrected.netKg), 6);
});

test('a request for today sent twice, seconds apart, is one booking', async () => {
  const { store, now } = demo.context;
  const { zone } = requireWorkshop(store);
  const site = listSites(store).find((one) => one.hours.length === 0) ?? listSites(store)[0]!;
  const donor = person('donor', site.donorId);
  const path = `/donor/sites/${site.id}/extra`;
  const today = localOf(zone, now()).day;
  const fields = {
    eventKind: 'festival',
    eventEndsLocal: `${addDays(today, -1)}T22:00`,
    amount: '40',
    unit: 'sacks',
    fromDay: today,
    untilDay: addDays(today, 6),
    hazardNone: 'yes',
  };
  const asked = await donor.post(path, fields);
  const offers = (await donor.get(asked.location!)).html;
  const slotFromAt = /name="slotFromAt" value="(\d+)"/.exec(offers)?.[1] ?? '';
  const taken = { factId: factIdIn(offers), slotFromAt };
  const first = await donor.post(`${asked.location}/take`, taken);
  demo.setNow(now() + 9);
  const second = await donor.post(`${asked.location}/take`, taken);
  expect(first.status).toBe(303);
  expect(second).toEqual(first);
  expect(listBookingsOfSite(store, site.id)).toHaveLength(1);
});

test('"it is full" pressed twice is one report', async () => {
  const site = listSites(demo.context.store).at(-1)!;
  const donor = person('donor', site.donorId);
  const { html } = await donor.get('/donor');
  const form = html.slice(html.indexOf(`action="/donor/sites/${site.id}/full"`));
  const fields = { factId: factIdIn(form) };
  await donor.post(`/donor/sites/${site.id}/full`, fields);
  await donor.post(`/donor/sites/${site.id}/full`, fields);
  expect(listFillReportsOfSite(demo.context.store, site.id)).toHaveLength(1);
});

test('nobody reaches another person’s stop, site or booking, and no form comes from another site', async () => {
  const { store } = demo.context;
  const stop = siteStopOf(0, 2);
  const stranger = store.$client
    .prepare<[string], { id: string }>('SELECT id FROM drivers WHERE id <> ?')
    .get(round().driverId)!;
  const other = person('driver', stranger.id);
  expect((await other.get(`/driver/stops/${stop.id}`)).status).toBe(404);
  expect((await other.post(`/driver/stops/${stop.id}/weigh-in`, { factId: 'x1', netKg: '5' })).status).toBe(
    404,
  );
  expect(
    (await other.post(`/driver/stops/${stop.id}/missed`, { factId: 'x2', reason: 'closed' })).status,
  ).toBe(404);

  const own = person('driver', round().driverId);
  const foreign = await own.post(
    `/driver/stops/${stop.id}/weigh-in`,
    { factId: 'x3', netKg: '5' },
    'https://elsewhere.example',
  );
  expect(foreign.status).toBe(403);

  const booked = listSites(store).find((site) => listBookingsOfSite(store, site.id).length > 0)!;
  const bookingId = listBookingsOfSite(store, booked.id)[0]!.id;
  const neighbour = listSites(store).find((site) => site.donorId !== booked.donorId)!;
  const donor = person('donor', neighbour.donorId);
  expect((await donor.get(`/donor/bookings/${bookingId}`)).status).toBe(404);
  expect((await donor.post(`/donor/bookings/${bookingId}/cancel`, {})).status).toBe(404);
  expect((await donor.get(`/donor/sites/${booked.id}/extra`)).status).toBe(404);
  expect((await donor.get('/donor')).html).not.toContain(getSite(store, booked.id)!.address);
  expect(listWeighInsOfStops(store, [stop.id])).toEqual([]);
  expect(listBookingsOfSite(store, booked.id)[0]!.state).toBe('confirmed');
});
