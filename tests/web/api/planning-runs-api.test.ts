/** Planning runs by the interface, over the real planner in its thread. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { listPlans } from '../../../src/store/plans.ts';
import { type Demo, ORIGIN, openDemo } from '../../fixtures/demo-app.ts';

// biome-ignore lint/suspicious/noExplicitAny: answers are looked into member by member
type Json = { readonly [name: string]: any };

let demo: Demo;
let authorization: string;
beforeAll(async () => {
  demo = await openDemo();
  authorization = `Bearer ${demo.signIn('coordinator')}`;
});
afterAll(() => demo.close());

async function call(method: string, path: string, body?: unknown) {
  const answer = await demo.app.request(path, {
    method,
    headers: { authorization, origin: ORIGIN, ...(body ? { 'content-type': 'application/json' } : {}) },
    ...(body ? { body: JSON.stringify(body) } : {}),
  });
  return {
    status: answer.status,
    location: answer.headers.get('location'),
    json: (await answer.json()) as Json,
  };
}
async function until(path: string, isThere: (run: Json) => boolean): Promise<Json> {
  for (;;) {
    const { json } = await call('GET', path);
    if (isThere(json)) return json;
    await new Promise((later) => setTimeout(later, 20));
  }
}
const ENDLESS = { iterations: 10_000_000 };

test('started, watched, joined, stopped with the best so far', async () => {
  const started = await call('POST', '/api/planning-runs', ENDLESS);
  const path = started.location!;
  expect(started).toMatchObject({ status: 202, json: { state: 'running', iterations: 10_000_000 } });
  expect(path).toBe(`/api/planning-runs/${started.json['id']}`);

  const second = await call('POST', '/api/planning-runs', {});
  expect(second).toMatchObject({
    status: 409,
    json: { type: '/problems/already-planning', run: path, started_by: started.json['started_by'] },
  });

  const { progress } = await until(path, (run) => run['progress'] !== undefined);
  const summed = Object.values(progress.money as Record<string, number>).reduce((sum, part) => sum + part, 0);
  expect(summed).toBe(progress.cost_micros);
  expect(progress.share).toBeLessThan(1);

  expect((await call('POST', `${path}/stop`, { keep: true })).status).toBe(202);
  const done = await until(path, (run) => run['state'] !== 'stopping');
  expect(done).toMatchObject({ state: 'done', was_stopped: true });
  expect((await call('GET', `/api/plans/${done['plan_id']}`)).json).toMatchObject({ state: 'draft' });
  expect((await call('POST', `${path}/stop`, { keep: false })).json['type']).toBe(
    '/problems/planning-run-over',
  );
  expect((await call('GET', '/api/planning-runs')).json['runs']).toHaveLength(1);
});

test('the description of the interface names the answer and its Location', async () => {
  const { paths } = (await call('GET', '/api/openapi.json')).json;
  const { responses } = paths['/api/planning-runs'].post;
  expect(responses['202'].headers.Location.schema).toEqual({ type: 'string' });
  expect(Object.keys(responses)).toEqual(expect.arrayContaining(['409', '422']));
  expect(paths['/api/planning-runs/{id}/stop'].post.responses['202'].headers).toBeUndefined();
});

test('dropped, it leaves no plan; what cannot be read is refused', async () => {
  const plans = listPlans(demo.context.store).length;
  const { location } = await call('POST', '/api/planning-runs', ENDLESS);
  expect((await call('POST', `${location}/stop`, {})).status).toBe(422);
  await call('POST', `${location}/stop`, { keep: false });
  await until(location!, (run) => run['state'] === 'dropped');
  expect(listPlans(demo.context.store)).toHaveLength(plans);
  const missing = await call('POST', '/api/planning-runs/nobody/stop', { keep: true });
  expect(missing).toMatchObject({ status: 404, json: { type: '/problems/no-such-planning-run' } });
  expect((await call('POST', '/api/planning-runs', { seconds: 0 })).status).toBe(422);
  expect(demo.faults).toEqual([]);
});

test('by the clock: a second is over after a second, whole and kept', async () => {
  const { location, json } = await call('POST', '/api/planning-runs', { seconds: 1, days: 3 });
  expect(json).toMatchObject({ seconds: 1, iterations: 10_000_000 });
  const done = await until(location!, (run) => run['state'] !== 'running');
  expect(done['state']).toBe('done');
  expect(done['was_stopped']).toBeUndefined();
  expect((await call('GET', `/api/plans/${done['plan_id']}`)).json['days']).toBe(3);
});
