import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ROLES, type Role } from '../../../src/core/vocabulary.ts';
import { listDonors } from '../../../src/store/donors.ts';
import { listDrivers } from '../../../src/store/drivers.ts';
import { publishedPlan } from '../../../src/store/plans.ts';
import { listSites } from '../../../src/store/sites.ts';
import { currentStockKg } from '../../../src/store/stock.ts';
import { listWeighInsOfSite } from '../../../src/store/weigh-ins.ts';
import { whoMay } from '../../../src/web/shared/session.ts';
import { type Demo, openDemo } from '../../fixtures/demo-app.ts';

// biome-ignore lint/suspicious/noExplicitAny: answers are looked into member by member
type Json = { readonly [name: string]: any };
type Operation = {
  readonly operationId: string;
  readonly parameters?: readonly {
    readonly name: string;
    readonly in: string;
    readonly required?: boolean;
  }[];
  readonly responses: { readonly [status: string]: { readonly description?: string } };
  readonly requestBody?: unknown;
};

let demo: Demo;
let tokens: { readonly [role in Role]: string };
let operations: { readonly method: string; readonly path: string; readonly operation: Operation }[];

const call = async (
  method: string,
  path: string,
  options: { token?: string; body?: unknown; headers?: Record<string, string> } = {},
) => {
  const response = await demo.app.request(path, {
    method,
    headers: {
      ...(options.token === undefined ? {} : { authorization: `Bearer ${options.token}` }),
      ...(options.body === undefined ? {} : { 'content-type': 'application/json' }),
      ...options.headers,
    },
    ...(options.body === undefined ? {} : { body: JSON.stringify(options.body) }),
  });
  const text = await response.text();
  return {
    status: response.status,
    type: response.headers.get('content-type'),
    json: (text === '' ? {} : JSON.parse(text)) as Json,
  };
};
const coordinator = (method: string, path: string, body?: unknown, headers?: Record<string, string>) =>
  call(method, path, { token: tokens.coordinator, body, ...(headers ? { headers } : {}) });

beforeAll(async () => {
  demo = await openDemo();
  const made = await (async () => {
    tokens = {
      coordinator: demo.signIn('coordinator'),
      driver: demo.signIn('driver', listDrivers(demo.context.store)[0]!.id),
      donor: demo.signIn('donor', listDonors(demo.context.store)[0]!.id),
    };
    return coordinator('POST', '/api/plans', { iterations: 0 });
  })();
  await coordinator('POST', `/api/plans/${made.json['id']}/publication`);
  const document = (await call('GET', '/api/openapi.json')).json;
  operations = Object.entries(document['paths'] as Json).flatMap(([path, methods]) =>
    Object.entries(methods as Json).map(([method, operation]) => ({
      method: method.toUpperCase(),
      path,
      operation,
    })),
  );
});
afterAll(() => {
  demo.close();
});

describe('the OpenAPI document (OpenAPI Specification 3.1.1)', () => {
  test('has what the standard requires at the top', async () => {
    const { json } = await call('GET', '/api/openapi.json');
    expect(json['openapi']).toMatch(/^3\.1\.\d+$/);
    expect(json['info']).toMatchObject({ title: expect.any(String), version: expect.any(String) });
    expect(Object.keys(json['paths']).length).toBeGreaterThan(15);
  });

  test('gives every operation its own id', () => {
    const ids = operations.map(({ operation }) => operation.operationId);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids.every((id) => /^[a-z][A-Za-z]+$/.test(id))).toBe(true);
  });

  test('declares every path parameter, and as required', () => {
    for (const { path, operation } of operations) {
      const named = [...path.matchAll(/\{([^}]+)\}/g)].map(([, name]) => name);
      const declared = (operation.parameters ?? []).filter((parameter) => parameter.in === 'path');
      expect(declared.map((parameter) => parameter.name).sort(), path).toEqual(named.sort());
      expect(
        declared.every((parameter) => parameter.required === true),
        path,
      ).toBe(true);
    }
  });

  test('describes every answer', () => {
    for (const { path, operation } of operations) {
      expect(
        Object.keys(operation.responses).some((status) => status.startsWith('2')),
        path,
      ).toBe(true);
      for (const [status, { description }] of Object.entries(operation.responses))
        expect(description, `${path} ${status}`).toBeTruthy();
    }
  });

  test('names every route that there is', () => {
    const known = new Set(
      operations.map(({ method, path }) => `${method} ${path.replace(/\{([^}]+)\}/g, ':$1')}`),
    );
    const routes = demo.app.routes.filter(
      ({ path, method }) =>
        path.startsWith('/api/') && method !== 'ALL' && path !== '/api/openapi.json' && path !== '/api/*',
    );
    for (const { method, path } of routes)
      expect(known, `${method} ${path}`).toContain(`${method} ${path.replace(/\{[^}]*\}/g, '')}`);
  });
});

test('every operation is closed to everybody it is not for, and open to those it is for', async () => {
  for (const { method, path, operation } of operations) {
    const address = path.replace(/\{[^}]+\}/g, path.includes('/tables/') ? 'sites' : 'none');
    const body = operation.requestBody === undefined ? undefined : {};
    expect((await call(method, address, { body })).status, `${method} ${path} for nobody`).toBe(
      body ? 403 : method === 'GET' ? 401 : 403,
    );
    for (const role of ROLES) {
      const { status, type } = await call(method, address, { token: tokens[role], body });
      if (whoMay(address) === role)
        expect([401, 403], `${method} ${path} for the ${role}`).not.toContain(status);
      else {
        expect(status, `${method} ${path} for the ${role}`).toBe(403);
        expect(type).toBe('application/problem+json');
      }
    }
  }
  expect(demo.faults).toEqual([]);
});

describe('problems (RFC 9457)', () => {
  test('a body of another content type is refused, not read as empty', async () => {
    const response = await demo.app.request('/api/plans', {
      method: 'POST',
      headers: { authorization: `Bearer ${tokens.coordinator}`, 'content-type': 'text/plain' },
      body: '{"seed":1}',
    });
    expect(response.status).toBe(415);
    expect(response.headers.get('content-type')).toBe('application/problem+json');
  });

  test('a wrong member is pointed at', async () => {
    const { status, json } = await coordinator('POST', '/api/plans', { seed: -1, colour: 'red' });
    expect(status).toBe(422);
    expect(json).toMatchObject({ type: '/problems/invalid-body', status: 422, instance: '/api/plans' });
    expect(json['errors'].map((error: Json) => error['pointer'])).toContain('#/seed');
  });

  test('a body that is no JSON is 400, an unknown address 404, another method 405', async () => {
    const broken = await demo.app.request('/api/plans', {
      method: 'POST',
      headers: { authorization: `Bearer ${tokens.coordinator}`, 'content-type': 'application/json' },
      body: '{"seed":',
    });
    expect(broken.status).toBe(400);
    expect((await coordinator('GET', '/api/nothing')).status).toBe(404);
    expect((await coordinator('DELETE', '/api/plans')).status).toBe(405);
    expect((await coordinator('POST', '/api/openapi.json')).status).toBe(405);
    expect((await coordinator('GET', '/api/plans/none')).json['type']).toBe('/problems/no-such-plan');
  });
});

/** RFC 9110, 15.5.6 and 15.5.2. */
test('a 405 names the methods that there are, a 401 says how to come in', async () => {
  const wrong = await demo.app.request('/api/plans', {
    method: 'DELETE',
    headers: { authorization: `Bearer ${tokens.coordinator}` },
  });
  expect(wrong.headers.get('allow')).toBe('GET, POST');
  const stranger = await demo.app.request('/api/plans');
  expect(stranger.status).toBe(401);
  expect(stranger.headers.get('www-authenticate')).toMatch(/^Bearer /);
});

test('the document names the Idempotency-Key wherever one is asked for, and nowhere else', async () => {
  for (const { method, path, operation } of operations) {
    const isNamed = (operation.parameters ?? []).some(
      (parameter) => parameter.name === 'Idempotency-Key' && parameter.in === 'header' && parameter.required,
    );
    const handsIn =
      /\/(weigh-in|missed|bookings|booking|fill-reports|correction|happenings|marks|load-weigh-ins|pickups|surges|plans\/{id}\/changes)$/.test(
        path,
      ) && method === 'POST';
    expect(isNamed, `${method} ${path}`).toBe(handsIn);
  }
});

describe('tables', () => {
  test('what is read can be written back and changes nothing', async () => {
    for (const kind of ['sites', 'vans', 'drivers', 'shifts', 'products', 'production', 'surges']) {
      const { json } = await coordinator('GET', `/api/tables/${kind}`);
      expect(json['rows'].length, kind).toBeGreaterThan(0);
      const back = await coordinator('POST', `/api/tables/${kind}`, { rows: json['rows'] });
      expect(back.json, kind).toMatchObject({ added: 0, changed: 0, unchanged: json['rows'].length });
    }
  });

  test('one bad row keeps all out, and is named', async () => {
    const rows = [
      {
        key: 'new-one',
        name: 'New one',
        kind: 'shop',
        lat: 46.2,
        lon: -19.3,
        declared_bags_per_week: 3,
        containers: 'sack:4:100',
      },
      {
        key: 'new-two',
        name: 'New two',
        kind: 'shop',
        lat: 146.2,
        lon: -19.3,
        declared_bags_per_week: 3,
        containers: 'sack:4:100',
      },
    ];
    const { status, json } = await coordinator('POST', '/api/tables/sites', { rows });
    expect(status).toBe(422);
    expect(json['errors']).toEqual([
      { pointer: '#/rows/1/lat', detail: expect.stringContaining('between -90 and 90') },
    ]);
    expect(listSites(demo.context.store).some((site) => site.key === 'new-one')).toBe(false);
  });
});

describe('weigh-ins that do not fit', () => {
  test('are listed, corrected with a key, confirmed and doubted again, each by its own id', async () => {
    const [site] = listSites(demo.context.store);
    const standing = listWeighInsOfSite(demo.context.store, site!.id)[0]!;
    const odd = { at: new Date(standing.at * 1000).toISOString(), net_kg: 2999 };
    const path = `/api/weigh-ins/${standing.id}/correction`;
    expect((await coordinator('POST', path, odd)).status).toBe(400);
    const key = { 'idempotency-key': '"odd-weigh-in"' };
    expect(await coordinator('POST', path, odd, key)).toMatchObject({
      status: 201,
      json: { id: 'odd-weigh-in' },
    });
    expect((await coordinator('POST', path, odd, key)).status).toBe(201);
    const { json } = await coordinator('GET', '/api/doubts');
    const found = json['doubts'].find((one: Json) => one['weigh_in_id'] === 'odd-weigh-in');
    expect(found).toMatchObject({ site_id: site!.id, kg: 2999 });
    expect(found.high_kg).toBeLessThan(2999);

    const confirmation = '/api/weigh-ins/odd-weigh-in/confirmation';
    for (const method of ['PUT', 'PUT'])
      expect(await coordinator(method, confirmation)).toMatchObject({
        status: 200,
        json: { id: 'odd-weigh-in' },
      });
    const after = await coordinator('GET', '/api/doubts');
    expect(after.json['doubts'].map((one: Json) => one['weigh_in_id'])).not.toContain('odd-weigh-in');
    expect((await coordinator('DELETE', confirmation)).status).toBe(200);

    expect(await coordinator('PUT', `/api/weigh-ins/${standing.id}/confirmation`)).toMatchObject({
      status: 409,
      json: { refusal: 'was-corrected', weigh_in_id: 'odd-weigh-in' },
    });
    expect(await coordinator('PUT', '/api/weigh-ins/nobody/confirmation')).toMatchObject({
      status: 404,
      json: { type: '/problems/no-such-weigh-in' },
    });
    expect((await call('GET', '/api/doubts', { token: tokens.driver })).status).toBe(403);
  });

  test('the back-test gives its scores under their names in the documents', async () => {
    const { status, json } = await coordinator('GET', '/api/backtest');
    expect(status).toBe(200);
    expect(json['evaluated']).toBeGreaterThan(1000);
    expect(json['coverage'].p80).toBeGreaterThan(0.7);
    expect(Object.keys(json['baselines'])).toEqual([
      'last_value',
      'moving_average',
      'smoothed_rate',
      'declared',
    ]);
    expect(json['by_site']).toHaveLength(json['series']);
  });
});

describe('a weigh-in over the wire', () => {
  const keyed = (key: string) => ({ 'idempotency-key': `"${key}"` });
  const openStop = (skip: number) => {
    const round = publishedPlan(demo.context.store)!.rounds[0]!;
    const stop = round.stops.filter((one) => one.kind === 'site')[skip]!;
    return { id: stop.id, token: demo.signIn('driver', round.driverId) };
  };
  const stockKg = () => [...currentStockKg(demo.context.store).values()].reduce((sum, kg) => sum + kg, 0);
  const body = { at: '2026-06-15T07:40:00Z', net_kg: 20.5 };

  test('needs a key, and the same key twice is one fact (IETF httpapi draft, Idempotency-Key)', async () => {
    const { id, token } = openStop(0);
    const path = `/api/driver/stops/${id}/weigh-in`;
    const before = stockKg();
    const ahead = await call('POST', path, { token, body, headers: keyed('ahead-of-time') });
    expect(ahead).toMatchObject({ status: 422, json: { refusal: 'still-to-come' } });
    demo.setNow(Date.parse(body.at) / 1000 - 14 * 60);
    expect((await call('POST', path, { token, body })).status).toBe(400);
    const first = await call('POST', path, { token, body, headers: keyed('first-fact') });
    const again = await call('POST', path, { token, body, headers: keyed('first-fact') });
    expect(first).toMatchObject({ status: 201, json: { id: 'first-fact' } });
    expect(again).toMatchObject({ status: 201, json: { id: 'first-fact' } });
    expect(stockKg() - before).toBeCloseTo(20.5, 9);

    const other = await call('POST', path, {
      token,
      body: { ...body, net_kg: 30 },
      headers: keyed('first-fact'),
    });
    expect(other).toMatchObject({ status: 422, json: { refusal: 'fact-differs' } });
    const second = await call('POST', path, { token, body, headers: keyed('other-fact') });
    expect(second).toMatchObject({
      status: 409,
      json: { refusal: 'already-weighed', weigh_in_id: 'first-fact' },
    });

    const corrected = { ...body, net_kg: 18, replaces_id: 'first-fact' };
    expect((await call('POST', path, { token, body: corrected, headers: keyed('corrected') })).status).toBe(
      201,
    );
    expect(stockKg() - before).toBeCloseTo(18, 9);
  });

  test('at another driver’s stop there is nothing', async () => {
    const { id } = openStop(1);
    const plan = publishedPlan(demo.context.store)!;
    const owner = plan.rounds[0]!.driverId;
    const stranger = listDrivers(demo.context.store).find((driver) => driver.id !== owner)!;
    const token = demo.signIn('driver', stranger.id);
    const answer = await call('POST', `/api/driver/stops/${id}/weigh-in`, {
      token,
      body,
      headers: keyed('not-mine-1'),
    });
    expect(answer).toMatchObject({ status: 404, json: { type: '/problems/no-such-stop' } });
  });

  test('without any amount is refused with a pointer', async () => {
    const { id, token } = openStop(1);
    const answer = await call('POST', `/api/driver/stops/${id}/weigh-in`, {
      token,
      body: { at: body.at },
      headers: keyed('no-amount'),
    });
    expect(answer.status).toBe(422);
    expect(answer.json['errors'][0].pointer).toBe('#/net_kg');
  });
});

test('a donor books at its own site only', async () => {
  const [own, other] = listDonors(demo.context.store).slice(1, 3);
  const sites = listSites(demo.context.store);
  const siteOf = (donorId: string) => sites.find((site) => site.donorId === donorId)!;
  const token = demo.signIn('donor', own!.id);
  const request = {
    event_kind: 'festival',
    event_ends_at: '2026-06-16T20:00:00Z',
    expected_bags: 40,
    from_at: '2026-06-17T06:00:00Z',
    until_at: '2026-06-19T16:00:00Z',
  };
  const send = (siteId: string, key: string) =>
    call('POST', '/api/donor/bookings', {
      token,
      body: { ...request, site_id: siteId },
      headers: { 'idempotency-key': key },
    });
  expect((await send(siteOf(other!.id).id, 'not-my-site')).status).toBe(404);
  const made = await send(siteOf(own!.id).id, 'my-own-site');
  expect(made.status).toBe(201);
  const { json } = await coordinator('GET', '/api/bookings');
  expect(json['bookings'].map((booking: Json) => booking['id'])).toEqual([made.json['id']]);
  const cancel = () => call('POST', `/api/donor/bookings/${made.json['id']}/cancellation`, { token });
  expect((await cancel()).status).toBe(200);
  expect(await cancel()).toMatchObject({
    status: 409,
    json: { refusal: 'booking-closed', state: 'cancelled' },
  });
});
