/** What happens, told over HTTP: read strictly, refused with a problem that says how to mend it, once for each key. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { inTransaction } from '../../../src/store/db.ts';
import { listDrivers } from '../../../src/store/drivers.ts';
import { publishedPlan } from '../../../src/store/plans.ts';
import { saveWaiting } from '../../../src/store/reactions.ts';
import { listSites } from '../../../src/store/sites.ts';
import { currentStockKg } from '../../../src/store/stock.ts';
import { getSurge } from '../../../src/store/surges.ts';
import { HAPPENING_KINDS, HAPPENINGS } from '../../../src/usecases/happened/kinds.ts';
import { planWeek } from '../../../src/usecases/plan-week.ts';
import { publishPlan } from '../../../src/usecases/publish-plan.ts';
import { REFUSAL_WORDS } from '../../../src/web/shared/refusal-words.ts';
import { type Demo, openDemo, planInPlace } from '../../fixtures/demo-app.ts';

// biome-ignore lint/suspicious/noExplicitAny: answers are looked into member by member
type Json = { readonly [name: string]: any };
let demo: Demo;
let token: string;
beforeAll(async () => {
  demo = await openDemo();
  token = demo.signIn('coordinator');
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 5, actor: 'test' });
  publishPlan(demo.context, { planId, actor: 'test' });
});
afterAll(() => demo.close());

let keys = 0;
const post = async (path: string, body?: unknown, key = `key-${++keys}-test`, as = token) => {
  const response = await demo.app.request(path, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${as}`,
      'idempotency-key': `"${key}"`,
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  return { status: response.status, json: (await response.json()) as Json };
};
const happen = (body: unknown, key?: string) => post('/api/happenings', body, key);
const iso = (at: number) => new Date(at * 1000).toISOString();

describe('POST /api/happenings', () => {
  test('a delivery at the door is stock, once for its key', async () => {
    const before = currentStockKg(demo.context.store).get('ldpe-clear') ?? 0;
    const body = { kind: 'film-delivered', grade: 'ldpe-clear', kg: 7.5, note: 'neighbours' };
    const first = await happen(body, 'delivery-1');
    expect(first).toMatchObject({ status: 201, json: { id: 'delivery-1' } });
    expect(await happen(body, 'delivery-1')).toEqual(first);
    expect(currentStockKg(demo.context.store).get('ldpe-clear')).toBeCloseTo(before + 7.5, 9);
    expect(await happen({ ...body, kg: 8 }, 'delivery-1')).toMatchObject({
      status: 422,
      json: { type: '/problems/cannot-be-done', refusal: 'fact-differs' },
    });
  });

  test('what does not fit the schema, and what the register does not know, is pointed at', async () => {
    expect(await happen({ kind: 'van-off-road', van: 'van-1', colour: 'red' })).toMatchObject({
      status: 422,
      json: { type: '/problems/invalid-body' },
    });
    expect(await happen({ kind: 'earthquake' })).toMatchObject({ status: 422 });
    const unknown = await happen({ kind: 'van-off-road', van: 'no-such-van', reason: 'clutch' });
    expect(unknown.json['errors']).toEqual([
      { pointer: '#/van', detail: 'van "no-such-van" cannot be taken; give the id or the key of a van' },
    ]);
  });

  test('every kind is in the OpenAPI document with its own facts', async () => {
    const document = (await (await demo.app.request('/api/openapi.json')).json()) as Json;
    const { oneOf } = document['components']['schemas']['Happening'];
    const listed = Object.fromEntries(
      oneOf.map((one: Json) => [
        one['properties']['kind'].const ?? one['properties']['kind'].enum[0],
        Object.keys(one['properties']).filter((name) => name !== 'kind'),
      ]),
    );
    expect(listed).toEqual(
      Object.fromEntries(HAPPENING_KINDS.map((kind) => [kind, Object.keys(HAPPENINGS[kind].fields)])),
    );
  });
});

test('every refusal of a happening has its sentence', async () => {
  const { readFileSync, readdirSync } = await import('node:fs');
  const files = ['announce-surge', 'take-van-off-road', 'report-driver-away', 'mark-round', 'correct-stock'];
  files.push('change-production-day', 'receive-film', 'weigh-load', 'record-missed-stop', 'report-full');
  const there = readdirSync('src/usecases');
  for (const file of files) {
    expect(there).toContain(`${file}.ts`);
    const text = readFileSync(`src/usecases/${file}.ts`, 'utf8');
    for (const [, kind] of text.matchAll(/refuse\(\{ kind: '([a-z-]+)'/g))
      expect(REFUSAL_WORDS, `${file} refuses ${kind}`).toHaveProperty(kind!);
  }
});

describe('a driver', () => {
  test('marks the own round, and no other', async () => {
    const { store, now } = demo.context;
    const round = publishedPlan(store)!.rounds[0]!;
    const own = demo.signIn('driver', round.driverId);
    const other = demo.signIn('driver', listDrivers(store).find(({ id }) => id !== round.driverId)!.id);
    const path = `/api/driver/rounds/${round.id}/marks`;
    const body = { mark: 'started', at: iso(now()) };
    expect(await post(path, body, 'mark-other', other)).toMatchObject({
      status: 404,
      json: { type: '/problems/no-such-round' },
    });
    expect(await post(path, body, 'mark-one', own)).toMatchObject({ status: 201, json: { id: 'mark-one' } });
    expect(await post(path, body, 'mark-two', own)).toMatchObject({
      status: 409,
      json: { refusal: 'out-of-turn', last: 'started' },
    });
    const load = `/api/driver/rounds/${round.id}/load-weigh-ins`;
    expect(await post(load, { net_kg: 100, at: iso(now()) }, 'load-one', own)).toMatchObject({
      status: 422,
      json: { refusal: 'no-stops-in-load' },
    });
  });
});

describe('a donor', () => {
  test('announces a surge at an own site, and at no other', async () => {
    const { store, now } = demo.context;
    const [site, ...others] = listSites(store);
    const donor = demo.signIn('donor', site!.donorId);
    const body = {
      site_id: site!.id,
      event_kind: 'festival',
      starts_at: iso(now() + 3600),
      ends_at: iso(now() + 7200),
      expected_bags: 12,
    };
    expect(await post('/api/donor/surges', body, 'surge-one', donor)).toMatchObject({ status: 201 });
    expect(getSurge(store, 'surge-one')).toMatchObject({ siteId: site!.id, expectedBags: 12 });
    const { site_id: _, ...facts } = body;
    const put = async (id: string, as: string) =>
      (
        await demo.app.request(`/api/donor/surges/${id}`, {
          method: 'PUT',
          headers: { authorization: `Bearer ${as}`, 'content-type': 'application/json' },
          body: JSON.stringify({ ...facts, expected_bags: 20 }),
        })
      ).status;
    const neighbour = demo.signIn('donor', others.find(({ donorId }) => donorId !== site!.donorId)!.donorId);
    expect([
      await put('surge-one', neighbour),
      await put('surge-one', donor),
      await put('none', donor),
    ]).toEqual([404, 200, 404]);
    expect(getSurge(store, 'surge-one')!.expectedBags).toBe(20);
    const off = '/api/donor/surges/surge-one/cancellation';
    expect((await post(off, undefined, 'x-key-off', neighbour)).status).toBe(404);
    expect((await post(off, undefined, 'x-key-off', donor)).status).toBe(200);
    expect(await put('surge-one', donor)).toBe(409);
    const strange = others.find(({ donorId }) => donorId !== site!.donorId)!;
    expect(
      await post('/api/donor/surges', { ...body, site_id: strange.id }, 'surge-two', donor),
    ).toMatchObject({ status: 404, json: { type: '/problems/no-such-site' } });
  });
});

test('what waits is listed, tried again and set aside', async () => {
  const { store } = demo.context;
  const row = {
    reaction: 'tell-somebody',
    seq: 1,
    subject: 'a',
    attempts: 12,
    nextAt: null,
    error: 'no line',
  };
  inTransaction(store, (tx) => saveWaiting(tx, row));
  const list = async () => {
    const answer = await demo.app.request('/api/reactions', {
      headers: { authorization: `Bearer ${token}` },
    });
    return ((await answer.json()) as Json)['waiting'];
  };
  expect(await list()).toMatchObject([
    { reaction: 'tell-somebody', seq: 1, next_at: null, error: 'no line' },
  ]);
  expect(await post('/api/reactions/tell-somebody/1/retry')).toMatchObject({ status: 200 });
  expect(await list()).toMatchObject([{ attempts: 0, next_at: iso(demo.context.now()).replace('.000', '') }]);
  expect(await post('/api/reactions/tell-somebody/1/aside')).toMatchObject({ status: 200 });
  expect(await list()).toEqual([]);
  expect(await post('/api/reactions/tell-somebody/1/aside')).toMatchObject({
    status: 404,
    json: { refusal: 'no-such-waiting-entry' },
  });
});
