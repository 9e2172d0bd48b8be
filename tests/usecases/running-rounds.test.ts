/** A round on the road is driven to its end, whatever is published meanwhile. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { localOf } from '../../src/core/calendar/zone.ts';
import { publishedPlan, type StoredRound } from '../../src/store/plans.ts';
import { currentStockKg } from '../../src/store/stock.ts';
import { requireWorkshop } from '../../src/store/workshop.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { recordWeighIn } from '../../src/usecases/record-weigh-in.ts';
import { runningRounds } from '../../src/usecases/running-rounds.ts';
import { readRun } from '../../src/web/driver/read-run.ts';
import { type Demo, openDemo, planInPlace } from '../fixtures/demo-app.ts';

const request = { seed: 1, iterations: 20, actor: 'test' };
let demo: Demo;
let left: StoredRound;
const siteStops = (round: StoredRound) => round.stops.filter((stop) => stop.kind === 'site');

beforeAll(async () => {
  demo = await openDemo();
  const { planId } = await planWeek(demo.context, planInPlace, request);
  publishPlan(demo.context, { planId, actor: 'test' });
  left = publishedPlan(demo.context.store)!.rounds[0]!;
});
afterAll(() => demo.close());

test('before the shift begins nothing is on the road', () => {
  expect(runningRounds(demo.context.store, left.startAt - 3600 * 3).size).toBe(0);
});

describe('published while a round is on the road, a new plan', () => {
  let problem: Awaited<ReturnType<typeof planWeek>>['problem'];
  beforeAll(async () => {
    const [first] = siteStops(left);
    demo.setNow(first!.startAt);
    const weighed = recordWeighIn(demo.context, {
      factId: 'first',
      stopId: first!.id,
      driverId: left.driverId,
      at: first!.startAt,
      netKg: 20,
      foundFull: false,
      rejectedKg: 0,
      grades: [],
      note: '',
      recordedBy: 'test',
    });
    expect(weighed.ok).toBe(true);
    const next = await planWeek(demo.context, planInPlace, request);
    ({ problem } = next);
    expect(publishPlan(demo.context, { planId: next.planId, actor: 'test' }).ok).toBe(true);
  });

  test('leaves the driver the round, with what was handed in', () => {
    const { store } = demo.context;
    expect(publishedPlan(store)!.rounds.map((round) => round.id)).not.toContain(left.id);
    const run = readRun(store, left.driverId, demo.context.now());
    const stops = run.rounds[0]!.stops.filter((stop) => stop.kind === 'site');
    expect(stops.map((stop) => stop.stopId)).toEqual(siteStops(left).map((stop) => stop.id));
    expect(stops[0]!.outcome).toMatchObject({ kind: 'weighed' });
    const told = run.rounds.map((round) => `${round.day} ${round.roundId}`);
    expect(new Set(told).size).toBe(told.length);
  });

  test('sends nobody else to its stops that day, and counts on what they will bring', () => {
    const { store } = demo.context;
    const { zone } = requireWorkshop(store);
    const open = siteStops(left).slice(1);
    const sites = new Map(problem.sites.map((site) => [site.siteId, site.model]));
    for (const stop of open) expect(sites.get(stop.siteId!)!.emptiedAt).toBe(stop.startAt);
    const visits = publishedPlan(store)!.rounds.flatMap((round) =>
      siteStops(round).map((stop) => `${localOf(zone, stop.startAt).day} ${stop.siteId}`),
    );
    for (const stop of siteStops(left)) expect(visits).not.toContain(`${left.day} ${stop.siteId}`);
    const stockKg = [...currentStockKg(store).values()].reduce((sum, kg) => sum + kg, 0);
    const comingKg = open.reduce((sum, stop) => sum + stop.expectedKg, 0);
    const countedKg = problem.stockKg.reduce<number>((sum, kg) => sum + kg, 0) - stockKg;
    expect(countedKg).toBeGreaterThan(comingKg * 0.8);
    expect(countedKg).toBeLessThanOrEqual(comingKg + 1e-9);
  });

  test('the round is over with its day', () => {
    expect(runningRounds(demo.context.store, demo.context.now() + 86_400).has(left.shiftId)).toBe(false);
  });
});
