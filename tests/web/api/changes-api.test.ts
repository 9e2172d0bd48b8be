/** A plan changed by hand over the wire, on a database file: asked, kept, refused, taken back, published. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { inTransaction } from '../../../src/store/db.ts';
import { listDrivers, saveDriver } from '../../../src/store/drivers.ts';
import { readEntriesAfter } from '../../../src/store/journal.ts';
import { getPlan, listPlans, type StoredPlan } from '../../../src/store/plans.ts';
import { getShift, listShiftsBetween, type Shift, saveShift } from '../../../src/store/shifts.ts';
import { problemOfPlan } from '../../../src/usecases/build-planning-problem.ts';
import { planToShow } from '../../../src/usecases/plan-to-show.ts';
import { hashOfInput } from '../../../src/usecases/plan-week.ts';
import { WhatIfAnswer } from '../../../src/web/api/change-schemas.ts';
import { type Demo, ORIGIN, openDemo } from '../../fixtures/demo-app.ts';

// biome-ignore lint/suspicious/noExplicitAny: answers are looked into member by member
type Json = { readonly [name: string]: any };

const folder = mkdtempSync(join(tmpdir(), 'feedround-changes-'));
let demo: Demo;
let authorization: string;
let keys = 0;
beforeAll(async () => {
  demo = await openDemo(join(folder, 'demo.db'));
  authorization = `Bearer ${demo.signIn('coordinator')}`;
  const { json } = await call('POST', '/api/plans', { iterations: 300 });
  await call('POST', `/api/plans/${json['id']}/publication`);
});
afterAll(() => {
  demo.close();
  rmSync(folder, { recursive: true });
});

async function call(method: string, path: string, body?: unknown, key?: string) {
  const answer = await demo.app.request(path, {
    method,
    headers: {
      authorization,
      origin: ORIGIN,
      ...(body ? { 'content-type': 'application/json' } : {}),
      ...(key ? { 'idempotency-key': `"${key}"` } : {}),
    },
    ...(body ? { body: JSON.stringify(body) } : {}),
  });
  return { status: answer.status, json: (await answer.json()) as Json };
}
const freshKey = (): string => `key-number-${++keys}`;
const shown = (): StoredPlan => planToShow(demo.context.store)!;
const keep = (changes: readonly Json[], over: Json = {}) =>
  call('POST', `/api/plans/${shown().id}/changes`, { changes, ...over }, freshKey());
const ask = (changes: readonly Json[], planId = shown().id) =>
  call('POST', `/api/plans/${planId}/what-if`, { changes });
/** Stops that nobody was promised, of the plan on show. */
const freeStops = () =>
  shown().rounds.flatMap((round) =>
    round.stops.flatMap(({ siteId, reason }) =>
      siteId && !['promised', 'booked', 'pinned'].includes(reason!.code)
        ? [{ site_id: siteId, day: round.day, shiftId: round.shiftId }]
        : [],
    ),
  );
const named = ({ site_id, day }: { site_id: string; day: string }) => ({ site_id, day });
/** The first of them that can be left out: without a stop, a later visit may be too heavy for its van. */
async function feasibleSkip(stops = freeStops()): Promise<Json> {
  for (const stop of stops) {
    const skip = { kind: 'skip', ...named(stop) };
    if ((await ask([skip])).json['is_feasible']) return skip;
  }
  throw new Error('every stop is needed');
}
const daysOf = (plan: StoredPlan, siteId: string): string[] =>
  plan.rounds.filter(({ stops }) => stops.some((stop) => stop.siteId === siteId)).map(({ day }) => day);

test('what would follow is what the planner and the checker reckon of the changed plan', async () => {
  const { store, now } = demo.context;
  const before = listPlans(store).length;
  let kept = 0;
  for (const stop of freeStops().slice(0, 4)) {
    const base = shown();
    const toDay = base.plan.days.find((day) => !daysOf(base, stop.site_id).includes(day))!;
    const changes = [{ kind: 'move', ...named(stop), to_day: toDay }];
    const asked = await ask(changes);
    expect(asked.status).toBe(200);
    const answer = WhatIfAnswer.parse(asked.json);
    expect(answer.newest_plan_id).toBe(base.id);
    if (!answer.is_feasible) {
      expect(answer.obstacles[0]!.says).toMatch(/\.$/);
      expect((await keep(changes)).json).toMatchObject({
        refusal: 'not-feasible',
        obstacles: [{ kind: answer.obstacles[0]!.kind }],
      });
      continue;
    }
    expect(answer.lost).toEqual([]);
    const made = await keep(changes, { break_promises: true });
    expect(made.status).toBe(201);
    kept++;
    const stored = getPlan(store, made.json['id'])!;
    expect(stored).toMatchObject({ state: 'draft', baseId: base.id, costMicros: answer.after!.cost_micros });
    expect(daysOf(stored, stop.site_id)).toContain(toDay);
    const problem = problemOfPlan(store, now(), stored);
    expect(checkPlan(problem, stored.plan)).toEqual([]);
    expect(hashOfInput(problem)).toBe(stored.inputHash);
    expect(getPlan(store, base.id)!.plan).toEqual(base.plan);
  }
  expect(kept).toBeGreaterThan(0);
  expect(listPlans(store).length).toBe(before + kept);
});

test('the same key twice is one draft, and with other content it is refused', async () => {
  const one = await feasibleSkip();
  const key = freshKey();
  const path = `/api/plans/${shown().id}/changes`;
  const body = { changes: [one] };
  const first = await call('POST', path, body, key);
  expect(first).toMatchObject({ status: 201, json: { id: key } });
  expect(await call('POST', path, body, key)).toEqual(first);
  const other = await call('POST', path, { changes: [{ ...one, kind: 'pin' }] }, key);
  expect(other).toMatchObject({ status: 422, json: { refusal: 'fact-differs' } });
  expect((await call('POST', path, body)).status).toBe(400);
});

test('of two coordinators the second is told what the first changed, and nothing is lost', async () => {
  const base = shown();
  const one = await feasibleSkip();
  const two = await feasibleSkip(freeStops().filter(({ site_id }) => site_id !== one['site_id']));
  const mine = await keep([one]);
  const path = `/api/plans/${base.id}/changes`;
  const theirs = await call('POST', path, { changes: [two] }, freshKey());
  expect(theirs).toMatchObject({
    status: 409,
    json: {
      type: '/problems/out-of-date',
      refusal: 'changed-meanwhile',
      newest_id: mine.json['id'],
      by: 'Coordinator',
      differences: expect.arrayContaining([
        expect.objectContaining({ kind: 'dropped', site_id: one['site_id'] }),
      ]),
    },
  });
  expect(shown().id).toBe(mine.json['id']);
  // Looked at anew, the change is made on top: both are in it.
  expect((await keep([two])).status).toBe(201);
  const days = [one, two].map((skip) => daysOf(shown(), skip['site_id']).includes(skip['day']));
  expect(days).toEqual([false, false]);
});

test('the last change is taken back, one after the other, and each time the plan before is there', async () => {
  const base = shown();
  const made: string[] = [];
  for (let i = 0; i < 2; i++) made.push((await keep([await feasibleSkip()])).json['id']);
  const [first, second] = made as [string, string];
  const tooEarly = await call('DELETE', `/api/plans/${first}/changes`);
  expect(tooEarly).toMatchObject({ status: 409, json: { refusal: 'changed-meanwhile', newest_id: second } });
  expect(await call('DELETE', `/api/plans/${second}/changes`)).toEqual({ status: 200, json: { id: first } });
  expect(await call('DELETE', `/api/plans/${first}/changes`)).toEqual({ status: 200, json: { id: base.id } });
  expect(shown()).toEqual(base);
  expect((await call('DELETE', `/api/plans/${first}/changes`)).json['type']).toBe('/problems/no-such-plan');
});

test('a pin stays with the plan, and the next run respects it; unpinned, it is free again', async () => {
  const stop = freeStops().at(-1)!;
  const base = shown();
  const toDay = base.plan.days.find(
    (day) => !daysOf(base, stop.site_id).includes(day) && base.rounds.some((round) => round.day === day),
  )!;
  const pinned = await keep(
    [
      { kind: 'move', ...named(stop), to_day: toDay },
      { kind: 'pin', site_id: stop.site_id, day: toDay },
    ],
    { break_promises: true },
  );
  expect(pinned.status).toBe(201);
  const run = await call('POST', '/api/plans', { iterations: 200 });
  const stored = getPlan(demo.context.store, run.json['id'])!;
  expect(stored.wishes.pins).toEqual([{ siteId: stop.site_id, day: toDay }]);
  const visit = stored.rounds
    .filter(({ day }) => day === toDay)
    .flatMap(({ stops }) => stops)
    .find(({ siteId }) => siteId === stop.site_id);
  expect(visit?.reason?.code).toBe('pinned');
  expect(checkPlan(problemOfPlan(demo.context.store, demo.context.now(), stored), stored.plan)).toEqual([]);
  expect((await keep([{ kind: 'unpin', site_id: stop.site_id, day: toDay }])).status).toBe(201);
  expect(shown().wishes.pins).toEqual([]);
});

test('a promise is broken with leave only, and named', async () => {
  const promised = shown().rounds.flatMap((round) =>
    round.stops.flatMap(({ siteId, reason }) =>
      siteId && reason!.code === 'promised' ? [{ site_id: siteId, day: round.day, shiftId: '' }] : [],
    ),
  );
  const changes = [await feasibleSkip(promised)];
  const siteId = changes[0]!['site_id'];
  const asked = await ask(changes);
  expect(asked.json).toMatchObject({ is_feasible: true, broken_promises: [{ site_id: siteId }] });
  expect(await keep(changes)).toMatchObject({
    status: 422,
    json: { refusal: 'breaks-promises', broken_promises: [{ site_id: siteId }] },
  });
  const kept = await keep(changes, { break_promises: true });
  expect(kept.status).toBe(201);
  await call('DELETE', `/api/plans/${kept.json['id']}/changes`);
});

test('drivers who change places do so in the register when it is published, and not before', async () => {
  const { store } = demo.context;
  const { plan } = shown();
  const shifts = listShiftsBetween(store, plan.days[0]!, plan.days.at(-1)!);
  const used = new Set(shown().rounds.map(({ shiftId }) => shiftId));
  // On two days, each of them free on the other's.
  const isFree = (driverId: string, shift: Shift): boolean =>
    !shifts.some((s) => s.id !== shift.id && s.day === shift.day && s.driverId === driverId);
  const [one, two] = shifts.flatMap((first) =>
    shifts
      .filter((other) => other.driverId !== first.driverId && used.has(first.id))
      .filter((other) => isFree(first.driverId, other) && isFree(other.driverId, first))
      .map((other) => [first, other] as const),
  )[0]!;
  const swapped = await keep([{ kind: 'swap-drivers', shift_id: one.id, with_shift_id: two.id }]);
  expect(swapped.status).toBe(201);
  expect(getShift(store, one.id)!.driverId).toBe(one.driverId);
  expect(shown().rounds.find(({ shiftId }) => shiftId === one.id)!.driverId).toBe(two.driverId);
  // The other driver got another shift at that time meanwhile.
  const extra = { ...one, id: 'extra', key: 'extra', driverId: two.driverId, driverKey: two.driverKey };
  inTransaction(store, (tx) => saveShift(tx, extra));
  const clash = await call('POST', `/api/plans/${swapped.json['id']}/publication`);
  expect(clash).toMatchObject({ status: 409, json: { type: '/problems/out-of-date' } });
  inTransaction(store, (tx) => saveShift(tx, { ...extra, cancelledAt: 1 }));
  // The register gave the shift to a third person meanwhile: nobody undoes that unasked.
  inTransaction(store, (tx) => {
    saveDriver(tx, { ...listDrivers(tx)[0]!, id: 'third', key: 'third', name: 'Third' });
    saveShift(tx, { ...one, driverId: 'third', driverKey: 'third' });
  });
  expect(await call('POST', `/api/plans/${swapped.json['id']}/publication`)).toMatchObject({
    status: 409,
    json: { shift_ids: [one.id] },
  });
  inTransaction(store, (tx) => saveShift(tx, one));
  expect((await call('POST', `/api/plans/${swapped.json['id']}/publication`)).status).toBe(200);
  expect([one, two].map(({ id }) => getShift(store, id)!.driverId)).toEqual([two.driverId, one.driverId]);
  const stored = getPlan(store, swapped.json['id'])!;
  expect(hashOfInput(problemOfPlan(store, demo.context.now(), stored))).toBe(stored.inputHash);
});

test('what was replaced, and what cannot be read, is refused with a way out', async () => {
  const { store } = demo.context;
  const [replaced] = listPlans(store, 'superseded');
  const [stop] = freeStops();
  expect(await ask([{ kind: 'skip', ...named(stop!) }], replaced!.id)).toMatchObject({
    status: 409,
    json: { refusal: 'plan-replaced', newest_id: shown().id },
  });
  expect((await ask([{ kind: 'skip', ...named(stop!) }], 'nobody')).json['type']).toBe(
    '/problems/no-such-plan',
  );
  expect(await ask([{ kind: 'skip', site_id: 'nobody', day: stop!.day }])).toMatchObject({
    status: 422,
    json: { type: '/problems/cannot-be-done', refusal: 'unknown-site', change: 0 },
  });
  expect((await ask([])).status).toBe(422);
  expect((await ask([{ kind: 'skip', site_id: 'x', day: 'Tuesday' }])).json['errors']).toBeDefined();
});

test('the journal tells of every change', () => {
  const kinds = readEntriesAfter(demo.context.store, 0, 10_000).map(({ kind }) => kind);
  for (const kind of ['plan-changed', 'plan-change-taken-back', 'driver-changed'])
    expect(kinds).toContain(kind);
});
