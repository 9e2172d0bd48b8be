import { expect, test } from 'vitest';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem, SitePromise } from '../../../src/core/planning/problem.ts';
import { stopsOf } from '../../fixtures/plan-stops.ts';
import { at, MONDAY_AT, randomTown } from '../../fixtures/planning-problems.ts';
import { onMonday, promising } from '../../fixtures/promised-site.ts';

test('a promise is kept however empty the container is', () => {
  const town = promising(onMonday(10, 11));
  const empty = {
    ...town,
    sites: town.sites.map((s) => ({ ...s, model: { ...s.model, emptiedAt: MONDAY_AT } })),
  };
  const plan = planWeek(empty, { seed: 1, iterations: 10 });
  const [stop] = stopsOf(plan);
  expect(stop!.startAt).toBeGreaterThanOrEqual(at(0, 10));
  expect(stop!.startAt).toBeLessThan(at(0, 11));
  expect(stop!.reason).toMatchObject({ code: 'booked', windowFromAt: at(0, 10), windowUntilAt: at(0, 11) });
  expect(stop!.reason!.withoutIt.lateness).toBe(town.prices.brokenPromiseMicros);
});

test.each<[string, string, string, PlanningProblem]>([
  [
    'no van on that day',
    'no-shift',
    'add-shift',
    promising({ kind: 'rule', windows: [{ fromAt: at(1, 9), untilAt: at(1, 12) }] }),
  ],
  ['promised before the site opens', 'closed', 'wider-window', promising(onMonday(4, 5))],
  ['promised after the shift', 'window-outside-shift', 'longer-shift', promising(onMonday(18, 19))],
  [
    'promised so late that nobody is back in time',
    'too-far',
    'longer-shift',
    promising({ kind: 'booking', windows: [{ fromAt: at(0, 16.4), untilAt: at(0, 16.5) }] }),
  ],
])('an unkept promise says why and what would mend it: %s', (_, why, mend, town) => {
  const plan = planWeek(town, { seed: 1, iterations: 10 });
  expect(plan.unkept).toMatchObject([{ siteId: 'site-0', why, mend }]);
  expect(plan.money.lateness).toBe(town.prices.brokenPromiseMicros);
  expect(checkPlan(town, plan)).toEqual([]);
});

test('a promise that a later week can still keep is neither broken nor named', () => {
  const town = promising({ kind: 'booking', windows: [{ fromAt: at(1, 9), untilAt: at(9, 12) }] });
  const plan = planWeek(town, { seed: 1, iterations: 10 });
  expect(plan.unkept).toEqual([]);
  expect(plan.money.lateness).toBe(0);
  expect(checkPlan(town, plan)).toEqual([]);
});

test('two promises of one site on one day are kept by one visit where their windows meet', () => {
  const both = (...promises: SitePromise[]) => {
    const town = promising(onMonday(9, 12));
    const problem = { ...town, sites: town.sites.map((site) => ({ ...site, promises })) };
    const plan = planWeek(problem, { seed: 1, iterations: 10 });
    expect(checkPlan(problem, plan)).toEqual([]);
    return plan;
  };
  const kept = both(onMonday(9, 12), onMonday(11, 14));
  expect(kept.unkept).toEqual([]);
  expect(stopsOf(kept)[0]!.startAt).toBeGreaterThanOrEqual(at(0, 11));
  const apart = both(onMonday(9, 10), onMonday(11, 14));
  expect(apart.unkept).toMatchObject([{ windowFromAt: at(0, 11), why: 'no-time', mend: 'move-another' }]);
});

test('what is too heavy, and what is too bulky for the van, is said apart', () => {
  const base = promising(onMonday(9, 15));
  const full = { ...base.sites[0]!.model, leftKg: 80, capacityKg: 100, emptiedAt: MONDAY_AT };
  const town = { ...base, sites: [{ ...base.sites[0]!, model: full }] };
  const withVan = (payloadKg: number, loadSpaceL: number) =>
    planWeek(
      { ...town, shifts: town.shifts.map((s) => ({ ...s, payloadKg, loadSpaceL })) },
      { seed: 1, iterations: 10 },
    ).unkept;
  expect(withVan(60, 1e6)).toMatchObject([{ why: 'too-heavy', mend: 'bigger-van' }]);
  expect(withVan(1e6, 300)).toMatchObject([{ why: 'too-bulky', mend: 'bigger-van' }]);
  expect(withVan(1e6, 1e6)).toEqual([]);
});

test('two promises at the same hour at two ends of the town: one is kept, a second van would mend it', () => {
  const town = randomTown(1, { sites: 2, days: 1, loadSpaceL: 90_000, payloadKg: 5000 });
  const apart = town.travel.legS.map((s) => (s === 0 ? 0 : 3600));
  const clash = {
    ...town,
    travel: { ...town.travel, legS: apart },
    sites: town.sites.map((site) => ({
      ...site,
      barredDays: [],
      openByDay: [[{ fromAt: at(0, 8), untilAt: at(0, 18) }]],
      promises: [onMonday(10, 10.25)],
    })),
  };
  const plan = planWeek(clash, { seed: 1, iterations: 20 });
  expect(stopsOf(plan)).toHaveLength(1);
  expect(plan.unkept).toMatchObject([{ why: 'no-time', mend: 'second-van' }]);
  const secondVan = { ...clash.shifts[0]!, shiftId: 'second', vanId: 'van-1', driverId: 'driver-1' };
  const mended = planWeek({ ...clash, shifts: [...clash.shifts, secondVan] }, { seed: 1, iterations: 20 });
  expect(mended.unkept).toEqual([]);
});
