/** Simulated years of a small register: kept world by world, stopped in the middle, on the page and in the interface. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { createApp } from '../../src/app.ts';
import { keepPlanning } from '../../src/jobs/keep-planning.ts';
import { keepScored } from '../../src/jobs/keep-scored.ts';
import { keepWorth, type WorthKeeper } from '../../src/jobs/keep-worth.ts';
import { yearsInThread } from '../../src/jobs/worth-in-thread.ts';
import { yearsInPlace } from '../../src/jobs/years-in-place.ts';
import { closeStore, inTransaction, type Store } from '../../src/store/db.ts';
import { readEntriesAbout } from '../../src/store/journal.ts';
import { saveSite } from '../../src/store/sites.ts';
import { getWorthRun, listWorthRuns, saveWorthRun } from '../../src/store/worth-runs.ts';
import { createLink, enter } from '../../src/usecases/access.ts';
import { secondsPerWorld, type YearsRunner } from '../../src/usecases/keep-worth-run.ts';
import { worthWanted } from '../../src/usecases/own-workshop.ts';
import { scoreHistory } from '../../src/usecases/score-history.ts';
import { plainSpaces } from '../../src/web/shared/format.ts';
import { ORIGIN, planInPlace } from '../fixtures/demo-app.ts';
import { aSite, smallStore } from '../fixtures/small-store.ts';

/** Monday 2026-06-15, six in the morning in Vienna; the register's shifts are on that day and the next. */
const NOW_AT = 1_781_496_000;
let store: Store;
let ids = 0;
const context = () => ({ store, now: () => NOW_AT, newId: () => `run-${++ids}` });
const faults: unknown[] = [];
const onFault = (error: unknown) => void faults.push(error);

beforeEach(() => {
  store = smallStore();
  inTransaction(store, (tx) => {
    for (const id of ['s3', 's4']) saveSite(tx, aSite(id));
  });
  faults.length = 0;
});
afterEach(() => closeStore(store));

const SMALL = { worlds: 2, weeks: 16, actor: 'Ina' };

describe('the size', () => {
  const wanted = () => {
    const read = worthWanted(store, NOW_AT, SMALL);
    if (!read.ok) throw new Error(read.refusal.kind);
    return read.value;
  };
  test('is read from register, shifts and prices', () => {
    const { world, size, planner, seeds } = wanted();
    expect(seeds).toEqual([1, 2]);
    expect(size).toMatchObject({ sites: 4, vansPerDay: 1, shiftsPerWeek: 2 });
    expect(world.donors).toBe(4);
    // 450 to 930 minutes of the clock are eight hours, on Monday and Tuesday.
    expect(world.own?.shiftHours).toEqual({ from: 8, until: 16 });
    expect(world.own?.shiftDays).toEqual([true, true, false, false, false, false, false]);
    expect(world.own?.van).toMatchObject({ payloadKg: 700.5, loadSpaceL: 8000, costMicrosPerKm: 450_000 });
    expect(world.own?.meanServiceS).toBe(480);
    expect(planner).toMatchObject({
      horizonDays: 7,
      loadQuantile: 0.5,
      calls: { reliability: 0.3, fromShare: 0.8 },
      missedCallShare: 0.2,
    });
  });
  test('nothing can be drawn of two sites, or without shifts', () => {
    expect(worthWanted(store, NOW_AT + 90 * 86_400, SMALL)).toEqual({
      ok: false,
      refusal: { kind: 'no-shifts' },
    });
    closeStore(store);
    store = smallStore();
    expect(worthWanted(store, NOW_AT, SMALL)).toEqual({ ok: false, refusal: { kind: 'no-sites' } });
  });
});

test.each([
  ['in place', yearsInPlace],
  ['in a thread', yearsInThread],
])(
  'driven %s: every world is kept, with all policies, and the next estimate rests on it',
  async (_, drive) => {
    const keeper = keepWorth(context(), drive as YearsRunner, onFault);
    const started = keeper.start(SMALL);
    if (!started.ok) throw new Error(started.refusal.kind);
    expect(keeper.start(SMALL)).toEqual({ ok: false, refusal: { kind: 'already-running' } });
    expect(keeper.running()?.run.id).toBe(started.value.runId);
    await keeper.ended();
    expect(keeper.running()).toBeUndefined();
    const run = getWorthRun(store, started.value.runId)!;
    expect(run.outcome).toBe('done');
    expect(run.years.map(({ seed, policy }) => `${seed} ${policy}`)).toEqual(
      [1, 2].flatMap((seed) =>
        ['planner', 'fixed', 'call', 'fullest', 'nearest'].map((policy) => `${seed} ${policy}`),
      ),
    );
    expect(readEntriesAbout(store, `worth-run:${run.id}`)[0]).toMatchObject({
      kind: 'worth-run-ended',
      actor: 'Ina',
      facts: { outcome: 'done', worlds: 2, wanted: 2 },
    });
    expect(faults).toEqual([]);
  },
);

test('the share that is done rises to the whole, the planner’s year being the longest by far', async () => {
  const wanted = worthWanted(store, NOW_AT, SMALL);
  if (!wanted.ok) throw new Error('no size');
  const seen: { readonly policy: string; readonly world: number; readonly share: number }[] = [];
  await yearsInPlace(wanted.value, {
    onProgress: (progress) => void seen.push(progress),
    onWorld: () => {},
    signal: new AbortController().signal,
  });
  const shares = seen.map(({ share }) => share);
  expect(shares).toEqual(shares.toSorted((a, b) => a - b));
  expect(shares.at(-1)).toBe(1);
  // Twenty of twenty-four parts of the first of two worlds.
  expect(seen.findLast(({ policy, world }) => policy === 'planner' && world === 0)?.share).toBeCloseTo(
    20 / 48,
    9,
  );
});

test('stopped in the second world: the first is kept', async () => {
  const keeper = keepWorth(context(), yearsInPlace, onFault);
  const drive = keeper.start({ ...SMALL, worlds: 5 });
  if (!drive.ok) throw new Error('not started');
  while (!(keeper.running()?.progress?.world === 1)) await new Promise((over) => setTimeout(over, 1));
  expect(keeper.stopRun()).toBe(true);
  expect(keeper.running()?.isStopping).toBe(true);
  await keeper.stop();
  const run = getWorthRun(store, drive.value.runId)!;
  expect(run.outcome).toBe('stopped');
  expect(new Set(run.years.map(({ seed }) => seed))).toEqual(new Set([1]));
  expect(keeper.stopRun()).toBe(false);
});

test('a drive that fails says so in the journal and keeps what is whole', async () => {
  const failing: YearsRunner = async (wanted, hooks) => {
    await yearsInPlace({ ...wanted, seeds: [1] }, hooks);
    throw new Error('out of paper');
  };
  const keeper = keepWorth(context(), failing, onFault);
  const started = keeper.start(SMALL);
  if (!started.ok) throw new Error('not started');
  await keeper.ended();
  expect(getWorthRun(store, started.value.runId)?.outcome).toBe('failed');
  expect(readEntriesAbout(store, `worth-run:${started.value.runId}`)[0]?.facts).toMatchObject({
    outcome: 'failed',
    message: 'out of paper',
  });
  expect(faults).toHaveLength(1);
});

test('the estimate follows the last run on this machine', async () => {
  const wanted = worthWanted(store, NOW_AT, SMALL);
  if (!wanted.ok) throw new Error('no size');
  expect(secondsPerWorld(store, wanted.value).isMeasured).toBe(false);
  const keeper = keepWorth(context(), yearsInPlace, onFault);
  keeper.start({ ...SMALL, worlds: 1 });
  await keeper.ended();
  const [run] = listWorthRuns(store);
  inTransaction(store, (tx) => saveWorthRun(tx, { ...run!, tookS: 10 }));
  const twice = { ...wanted.value, world: { ...wanted.value.world, weeks: 32 } };
  expect(run?.wanted.world.weeks).toBe(16);
  expect(secondsPerWorld(store, twice)).toEqual({ s: 20, isMeasured: true });
});

test('a run that an older version kept, and that says too little, is passed over', () => {
  const read = worthWanted(store, NOW_AT, SMALL);
  if (!read.ok) throw new Error('no size');
  const run = {
    id: 'old',
    startedAt: NOW_AT,
    startedBy: 'Ina',
    wanted: read.value,
    years: [{ seed: 1, policy: 'planner', costMicros: 1 }],
    tookS: 1,
    outcome: 'done',
  };
  inTransaction(store, (tx) => saveWorthRun(tx, run as never));
  expect(getWorthRun(store, 'old')).toBeUndefined();
  expect(listWorthRuns(store)).toEqual([]);
});

describe('the page and the interface', () => {
  let keeper: WorthKeeper;
  const open = () => {
    keeper = keepWorth(context(), yearsInPlace, onFault);
    const scores = keepScored(store, async (onPhase) => scoreHistory(store, onPhase), onFault);
    const app = createApp({
      context: context(),
      planner: planInPlace,
      planning: keepPlanning(context(), planInPlace, onFault),
      scores,
      worth: keeper,
      origin: ORIGIN,
      onFault,
    });
    const link = createLink(context(), { role: 'coordinator', subjectId: 'workshop', actor: 'test' });
    if (!link.ok) throw new Error('no link');
    const authorization = `Bearer ${enter(context(), 'coordinator', link.value.token)!.token}`;
    const get = async (path: string) => {
      const answer = await app.request(path, { headers: { authorization } });
      return { status: answer.status, text: plainSpaces(await answer.text()) };
    };
    const post = (path: string, body: string, type = 'application/x-www-form-urlencoded') =>
      app.request(path, {
        method: 'POST',
        body,
        headers: { authorization, origin: ORIGIN, 'content-type': type },
      });
    return { get, post };
  };

  test('started from the form, watched, and read the next day', async () => {
    const { get, post } = open();
    expect((await get('/worth')).text).toContain('With 4 sites and the prices of today');
    const wrong = await post('/worth', 'worlds=no&weeks=3');
    expect(wrong.status).toBe(422);
    const wrongText = await wrong.text();
    expect(wrongText).toContain('Write a whole number of worlds.');
    expect(wrongText).toContain('At least 16.');
    expect(wrongText).toContain('value="no"');
    expect(keeper.running()).toBeUndefined();

    const started = await post('/worth', 'worlds=2&weeks=16');
    expect(started.headers.get('location')).toBe('/worth?did=started');
    expect((await get('/worth')).text).toContain('Years are being simulated');
    expect((await post('/worth', 'worlds=2&weeks=16')).status).toBe(409);
    await keeper.ended();
    const { text } = await get('/worth');
    expect(text).toContain('2 drawn years of 16 weeks');
    expect(text).toContain('the best rule of thumb at your size');
    expect(text).toContain('Where it is not better');
    expect((await get('/worth?run=nowhere')).status).toBe(404);
    expect(faults).toEqual([]);
  });

  test('by the interface: start, stop, list, read', async () => {
    const { get, post } = open();
    const started = await post('/api/worth-runs', '{"worlds":1,"weeks":16}', 'application/json');
    expect(started.status).toBe(201);
    const { id } = (await started.json()) as { id: string };
    expect((await post('/api/worth-runs', '{}', 'application/json')).status).toBe(503);
    await keeper.ended();
    expect(JSON.parse((await get('/api/worth-runs')).text)).toMatchObject({
      runs: [{ id, outcome: 'done', worlds: 1, weeks: 16 }],
    });
    const run = JSON.parse((await get(`/api/worth-runs/${id}`)).text);
    expect(run.policies).toHaveLength(5);
    expect(run.rules[0].difference.km_per_tonne).toMatchObject({ standing: 'open' });
    expect(Object.keys(run.policies[0].money)).toContain('buying-in');
    const stopped = await post('/api/worth-runs/stop', '', 'application/json');
    expect(await stopped.json()).toEqual({ was_running: false });
    expect(faults).toEqual([]);
  });
});
