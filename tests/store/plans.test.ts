import { beforeEach, describe, expect, test } from 'vitest';
import { inTransaction, type Store } from '../../src/store/db.ts';
import { recordMissedStop } from '../../src/store/missed-stops.ts';
import {
  deleteDraftsBefore,
  getPlan,
  getRound,
  getStopPlace,
  listPlans,
  publishedPlan,
  publishedStopsOfSite,
  publishPlan,
  roundsOfDriver,
  savePlan,
  stopOutcomes,
} from '../../src/store/plans.ts';
import { correctWeighIn, recordWeighIn } from '../../src/store/weigh-ins.ts';
import { aPlan, aWeighIn, smallStore } from '../fixtures/small-store.ts';

let store: Store;
let ids = 0;
const newId = () => `n${++ids}`;
const save = (id: string, plan = aPlan(), createdAt = 5_000) =>
  inTransaction(store, (tx) => savePlan(tx, { id, plan, inputHash: 'hash', createdAt }, newId));
const publish = (id: string, at: number) => inTransaction(store, (tx) => publishPlan(tx, id, at));

beforeEach(() => {
  store = smallStore();
});

test('a plan comes back as it was saved, each round and stop with an id of its own', () => {
  save('a');
  const stored = getPlan(store, 'a')!;
  expect(stored.plan).toEqual(aPlan());
  expect(stored).toMatchObject({ state: 'draft', costMicros: 4_050_000, publishedAt: null });
  const withoutIds = stored.rounds.map(({ id: _, planId: _p, stops, ...round }) => ({
    ...round,
    stops: stops.map(({ id: _s, ...stop }) => stop),
  }));
  expect(withoutIds).toEqual(aPlan().rounds);
  const all = stored.rounds.flatMap((round) => [round.id, ...round.stops.map((stop) => stop.id)]);
  expect(new Set(all).size).toBe(2 + 3 + 2);
  expect(getRound(store, stored.rounds[1]!.id)).toEqual(stored.rounds[1]);
  // The id of a stop names the row of that very stop: a weigh-in handed in for it goes to its site.
  for (const round of stored.rounds)
    for (const stop of round.stops)
      expect(getStopPlace(store, stop.id)).toMatchObject({ roundId: round.id, siteId: stop.siteId ?? null });
});

test('a plan that fails half-way leaves no round behind', () => {
  const plan = aPlan();
  const broken = { ...plan, rounds: [plan.rounds[0]!, { ...plan.rounds[1]!, shiftId: 'no-such-shift' }] };
  expect(() => save('a', broken)).toThrow(/FOREIGN KEY/);
  expect(store.$client.prepare('SELECT count(*) FROM rounds').pluck().get()).toBe(0);
  expect(listPlans(store)).toEqual([]);
});

describe('publishing', () => {
  test('supersedes the plan before at the same instant; only one is ever published', () => {
    save('a');
    save('b');
    expect(publish('a', 6_000)).toEqual({ ok: true, value: { supersededId: null } });
    expect(publish('b', 7_000)).toEqual({ ok: true, value: { supersededId: 'a' } });
    expect(getPlan(store, 'a')).toMatchObject({
      state: 'superseded',
      publishedAt: 6_000,
      supersededAt: 7_000,
    });
    expect(publishedPlan(store)).toMatchObject({ id: 'b', publishedAt: 7_000, supersededAt: null });
    expect(listPlans(store, 'published').map((plan) => plan.id)).toEqual(['b']);
  });

  test('is for drafts only', () => {
    save('a');
    publish('a', 6_000);
    expect(publish('a', 7_000)).toEqual({
      ok: false,
      refusal: { kind: 'plan-not-a-draft', planId: 'a', state: 'published' },
    });
    expect(publish('z', 7_000)).toEqual({ ok: false, refusal: { kind: 'no-such-plan', planId: 'z' } });
    expect(publishedPlan(store)).toMatchObject({ id: 'a', publishedAt: 6_000 });
  });

  test('twice at once is held back by the database itself', () => {
    save('a');
    save('b');
    publish('a', 6_000);
    expect(() => store.$client.exec("UPDATE plans SET state = 'published' WHERE id = 'b'")).toThrow(/UNIQUE/);
  });
});

test('a driver sees the rounds of that day in the published plan, and of no draft', () => {
  save('a');
  expect(roundsOfDriver(store, 'p1', '2026-06-15')).toEqual([]);
  publish('a', 6_000);
  expect(roundsOfDriver(store, 'p1', '2026-06-15').map((round) => round.shiftId)).toEqual(['h1']);
  expect(roundsOfDriver(store, 'p1', '2026-06-17')).toEqual([]);
  expect(roundsOfDriver(store, 'p2', '2026-06-15')).toEqual([]);
});

test('a site knows its planned pickups in order, and a stop its plan, driver and day', () => {
  save('a');
  save('draft');
  publish('a', 6_000);
  const pickups = publishedStopsOfSite(store, 's1');
  expect(pickups.map(({ day, arriveAt, startAt }) => [day, arriveAt, startAt])).toEqual([
    ['2026-06-15', 20_000, 20_060],
    ['2026-06-16', 110_000, 110_060],
  ]);
  expect(getStopPlace(store, pickups[0]!.stopId)).toMatchObject({
    planId: 'a',
    planState: 'published',
    siteId: 's1',
    driverId: 'p1',
    day: '2026-06-15',
  });
  expect(getStopPlace(store, 'nowhere')).toBeUndefined();
});

test('what came of a stop: missed, then collected after all, then corrected', () => {
  save('a');
  const [first, second, unload] = getPlan(store, 'a')!.rounds[0]!.stops.map((stop) => stop.id);
  const outcomes = () => stopOutcomes(store, [first!, second!, unload!]);
  expect(outcomes().size).toBe(0);
  inTransaction(store, (tx) => {
    recordMissedStop(tx, {
      id: 'm1',
      siteId: 's1',
      stopId: first!,
      at: 20_100,
      reason: 'closed',
      note: '',
      recordedBy: 'test',
      recordedAt: 20_100,
    });
  });
  expect(outcomes().get(first!)).toEqual({ kind: 'missed', missedId: 'm1', at: 20_100, reason: 'closed' });
  inTransaction(store, (tx) => recordWeighIn(tx, aWeighIn('w1', { stopId: first!, at: 21_000, netKg: 12 })));
  expect(outcomes().get(first!)).toMatchObject({ kind: 'collected', weighInId: 'w1', netKg: 12 });
  inTransaction(store, (tx) => {
    const { key: _k, replacesId: _r, ...next } = aWeighIn('w2', { stopId: first!, at: 21_000, netKg: 13 });
    correctWeighIn(tx, aWeighIn('w1'), next);
  });
  expect(outcomes().get(first!)).toMatchObject({ kind: 'collected', weighInId: 'w2', netKg: 13 });
  expect([...outcomes().keys()]).toEqual([first]);
});

test('old drafts go, with their rounds; published and superseded plans stay', () => {
  for (const id of ['old', 'was', 'now']) save(id, aPlan(), 1_000);
  save('fresh', aPlan(), 9_000);
  publish('was', 2_000);
  publish('now', 3_000);
  expect(inTransaction(store, (tx) => deleteDraftsBefore(tx, 5_000))).toBe(1);
  expect(
    listPlans(store)
      .map((plan) => plan.id)
      .sort(),
  ).toEqual(['fresh', 'now', 'was']);
  expect(store.$client.prepare('SELECT count(*) FROM rounds').pluck().get()).toBe(6);
});
