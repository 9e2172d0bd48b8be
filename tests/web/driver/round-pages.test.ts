/** Unloading, a donor who waves, a van that cannot go on: by forms without a script, and by the interface. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { currentStockKg } from '../../../src/store/stock.ts';
import { getVan } from '../../../src/store/vans.ts';
import { listWeighInsOfSite, listWeighInsOfStops } from '../../../src/store/weigh-ins.ts';
import { recordWeighIn } from '../../../src/usecases/record-weigh-in.ts';
import { type LongRound, openLongRound } from '../../fixtures/long-round.ts';

let server: LongRound;
let cookie: string;
let path: string;
beforeAll(() => {
  server = openLongRound(3);
  cookie = `feedround-driver=${server.signIn()}`;
  path = `/driver/rounds/${server.round.id}`;
});
afterAll(() => {
  expect(server.faults).toEqual([]);
  server.close();
});
const stockKg = () => [...currentStockKg(server.context.store).values()].reduce((sum, kg) => sum + kg, 0);
const get = async (at: string) => {
  const answer = await server.app.request(at, { headers: { cookie } });
  return { status: answer.status, html: await answer.text() };
};
const post = async (at: string, fields: Record<string, string>) => {
  const answer = await server.app.request(at, {
    method: 'POST',
    headers: { cookie, origin: 'http://localhost:4321' },
    body: new URLSearchParams(fields),
  });
  return { status: answer.status, location: answer.headers.get('location'), html: await answer.text() };
};
const send = (at: string, body: object, key = 'key-00000001') =>
  server.app.request(at, {
    method: 'POST',
    headers: {
      cookie,
      'sec-fetch-site': 'same-origin',
      'content-type': 'application/json',
      'idempotency-key': `"${key}"`,
    },
    body: JSON.stringify(body),
  });
const factIdIn = (html: string) => /name="factId" value="([^"]+)"/.exec(html)?.[1] ?? '';

test('the pages are reached from the sheet, and are there for the driver’s own round alone', async () => {
  const { html } = await get('/driver');
  for (const page of ['unload', 'extra', 'off-road']) {
    expect(html).toContain(`href="${path}/${page}"`);
    expect((await get(`${path}/${page}`)).status).toBe(200);
    expect((await get(`/driver/rounds/somebody/${page}`)).status).toBe(404);
  }
});

test('a load weighed at unloading is shared over the stops that were counted; sent twice it is one', async () => {
  const [first, second] = server.siteStops;
  for (const [i, stop] of [first!, second!].entries())
    recordWeighIn(server.context, {
      factId: `counted-${i}`,
      stopId: stop.id,
      at: server.context.now(),
      bags: i === 0 ? 6 : 2,
      foundFull: false,
      rejectedKg: 0,
      grades: [],
      note: '',
      recordedBy: 'test',
    });
  const page = await get(`${path}/unload`);
  const wrong = await post(`${path}/unload`, { factId: factIdIn(page.html), netKg: 'much' });
  expect(wrong.status).toBe(422);
  expect(wrong.html).toMatch(/id="netKg"[^>]*aria-invalid="true"/);
  const fields = { factId: factIdIn(page.html), netKg: '40,5 kg' };
  for (let time = 0; time < 2; time++)
    expect(await post(`${path}/unload`, fields)).toMatchObject({ status: 303, location: '/driver' });
  expect(stockKg()).toBeCloseTo(40.5, 9);
  const shares = listWeighInsOfStops(server.context.store, [first!.id, second!.id]);
  expect(shares.map(({ method }) => method)).toEqual(['apportioned', 'apportioned']);
  // Nothing waits for a share any more: refused with a sentence, and what was typed stays.
  const again = await post(`${path}/unload`, { factId: 'another-load', netKg: '40' });
  expect(again.status).toBe(422);
  expect(again.html).toContain('No stop of the round waited for a share of a load.');
  expect(again.html).toContain('value="40"');
});

test('film of a donor who waves is a weigh-in of that site, once, by form and by interface', async () => {
  const before = stockKg();
  const form = { factId: 'waved-0001', siteId: 's1', netKg: '12.5' };
  expect((await post(`${path}/extra`, { ...form, siteId: 'nobody' })).status).toBe(422);
  expect((await post(`${path}/extra`, form)).status).toBe(303);
  const body = { at: '2026-06-15T05:00:00Z', site_id: 's2', net_kg: 7.5 };
  const api = `/api${path}/pickups`;
  for (let time = 0; time < 2; time++) expect((await send(api, body)).status).toBe(201);
  expect((await send('/api/driver/rounds/somebody/pickups', body, 'key-00000002')).status).toBe(404);
  expect((await send(api, { ...body, net_kg: undefined }, 'key-00000003')).status).toBe(422);
  expect(stockKg() - before).toBeCloseTo(20, 9);
  const waved = listWeighInsOfSite(server.context.store, 's2').filter(({ stopId }) => stopId === null);
  expect(waved).toMatchObject([{ netKg: 7.5, recordedBy: 'driver:p1' }]);
});

test('the van of the round is taken off the road, by the driver who drives it', async () => {
  const body = { at: '2026-06-15T05:00:00Z', reason: 'clutch' };
  expect((await send('/api/driver/rounds/somebody/van-off-road', body)).status).toBe(404);
  for (let time = 0; time < 2; time++)
    expect((await send(`/api${path}/van-off-road`, body)).status).toBe(201);
  expect(getVan(server.context.store, 'v1')?.offRoadFromAt).toBe(Date.UTC(2026, 5, 15, 5) / 1000);
  server.setNow(server.context.now() + 60);
  const again = await post(`${path}/off-road`, { factId: 'off-00001', reason: 'clutch' });
  expect(again.status).toBe(422);
  expect(again.html).toContain('The van was off the road already.');
});
