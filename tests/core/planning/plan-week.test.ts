import fc from 'fast-check';
import { expect, test } from 'vitest';
import { accrualBetween, fillAt, meanKg, overflowRisk } from '../../../src/core/accumulation/forecast.ts';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { MONEY_PARTS, type Plan } from '../../../src/core/planning/plan.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem, SitePromise } from '../../../src/core/planning/problem.ts';
import {
  at,
  DAY_S,
  HOUR_S,
  MONDAY_AT,
  planeTravel,
  randomTown,
  type TownOptions,
} from '../../fixtures/planning-problems.ts';

const stopsOf = (plan: Plan) =>
  plan.rounds.flatMap((round) =>
    round.stops.filter((stop) => stop.kind === 'site').map((stop) => ({ ...stop, day: round.day })),
  );
const visitsOf = (plan: Plan): string[] =>
  stopsOf(plan)
    .map((stop) => `${stop.siteId} ${stop.day}`)
    .sort();

/** Small towns of all sorts: no van, two vans, short shifts, small vans, promises, habits, an older plan. */
const anyTown = fc
  .record({
    seed: fc.integer({ min: 1, max: 1e6 }),
    sites: fc.integer({ min: 0, max: 9 }),
    days: fc.integer({ min: 1, max: 8 }),
    vans: fc.integer({ min: 0, max: 2 }),
    promised: fc.constantFrom(0, 0.5, 1),
    usual: fc.constantFrom(0, 0.5),
    published: fc.constantFrom(0, 0.7),
    loadSpaceL: fc.constantFrom(400, 1200, 9000),
    payloadKg: fc.constantFrom(40, 400),
    shiftHours: fc.constantFrom(2, 8),
    radiusM: fc.constantFrom(3000, 30_000),
  })
  .map(({ seed, ...options }): PlanningProblem => randomTown(seed, options satisfies TownOptions));

test('the checker finds nothing in any plan, and both tell the same cost to the unit', () => {
  fc.assert(
    fc.property(anyTown, fc.integer({ min: 0, max: 80 }), (town, iterations) => {
      const plan = planWeek(town, { seed: 3, iterations });
      expect(checkPlan(town, plan)).toEqual([]);
      const total = MONEY_PARTS.reduce((sum, part) => sum + plan.money[part], 0);
      expect(plan.costMicros).toBe(total);
      for (const part of MONEY_PARTS)
        expect(plan.moneyByDay.reduce((sum, money) => sum + money[part], 0)).toBe(plan.money[part]);
    }),
    { numRuns: 60 },
  );
});

test('the same problem, seed and iterations give the same bytes', () => {
  fc.assert(
    fc.property(anyTown, (town) => {
      const plan = JSON.stringify(planWeek(town, { seed: 5, iterations: 40 }));
      expect(JSON.stringify(planWeek(structuredClone(town), { seed: 5, iterations: 40 }))).toBe(plan);
      expect(JSON.stringify(planWeek(town, { seed: 5, iterations: 40 }))).toBe(plan);
    }),
    { numRuns: 20 },
  );
});

test('every promise is kept inside its window or named as unkept, and nobody calls where it is closed', () => {
  fc.assert(
    fc.property(anyTown, (town) => {
      const plan = planWeek(town, { seed: 1, iterations: 30 });
      for (const site of town.sites) {
        const starts = stopsOf(plan).filter((stop) => stop.siteId === site.siteId);
        const unkept = plan.unkept.filter((u) => u.siteId === site.siteId);
        const kept = site.promises.filter((promise) =>
          promise.windows.some((w) => starts.some((s) => w.fromAt <= s.startAt && s.startAt < w.untilAt)),
        );
        expect(kept.length + unkept.length).toBe(site.promises.length);
        for (const stop of starts) {
          const day = town.days.indexOf(stop.day);
          expect(site.barredDays).not.toContain(day);
          expect(site.openByDay[day]!.some((w) => w.fromAt <= stop.startAt && stop.startAt < w.untilAt)).toBe(
            true,
          );
        }
      }
    }),
    { numRuns: 60 },
  );
});

test('no kilogram is collected twice and none vanishes', () => {
  fc.assert(
    fc.property(anyTown, (town) => {
      // Containers without a brim; the fill now is what has accrued since the last emptying.
      const sites = town.sites.map((site) => ({ ...site, model: { ...site.model, capacityKg: 1e7 } }));
      const shifts = town.shifts.map((shift) => ({ ...shift, payloadKg: 1e7, loadSpaceL: 1e9 }));
      const roomy = { ...town, sites, shifts };
      const plan = planWeek(roomy, { seed: 1, iterations: 30 });
      const endAt = MONDAY_AT + town.days.length * DAY_S;
      for (const { siteId, model } of sites) {
        const visits = stopsOf(plan).filter((stop) => stop.siteId === siteId);
        const lastDay = Math.max(-1, ...visits.map((stop) => town.days.indexOf(stop.day)));
        const leftKg = meanKg(accrualBetween(model, lastDay < 0 ? model.emptiedAt : at(lastDay, 12), endAt));
        const collectedKg = visits.reduce((sum, stop) => sum + stop.expectedKg, 0);
        expect(collectedKg + leftKg).toBeCloseTo(meanKg(accrualBetween(model, model.emptiedAt, endAt)), 1);
      }
    }),
    { numRuns: 40 },
  );
});

test('a stop is worth what the parts say, and a site left out would cost what the parts say', () => {
  fc.assert(
    fc.property(anyTown, (town) => {
      const plan = planWeek(town, { seed: 1, iterations: 60 });
      for (const { reason } of stopsOf(plan)) {
        const parts = MONEY_PARTS.reduce((sum, part) => sum + reason!.withoutIt[part], 0);
        expect(reason!.worthMicros).toBe(parts);
      }
      for (const left of plan.leftOut)
        if (left.addsMicros !== undefined) {
          expect(MONEY_PARTS.reduce((sum, part) => sum + left.withIt![part], 0)).toBe(left.addsMicros);
          // Otherwise it would be in the plan.
          expect(left.addsMicros).toBeGreaterThanOrEqual(0);
        }
    }),
    { numRuns: 40 },
  );
});

test('a week with nothing needed, nothing filling and no promise is empty', () => {
  const town = randomTown(4, { sites: 8, days: 5 });
  const idle: PlanningProblem = {
    ...town,
    drawKg: town.drawKg.map((row) => row.map(() => 0)),
    sites: town.sites.map((site) => ({
      ...site,
      model: { ...site.model, rate: { ...site.model.rate, b: 0 } },
    })),
  };
  const plan = planWeek(idle, { seed: 1, iterations: 100 });
  expect(plan.rounds).toEqual([]);
  expect(plan.costMicros).toBe(0);
  expect(plan.leftOut.map((left) => left.code)).toEqual(idle.sites.map(() => 'too-empty'));
});

test('twice all money gives the same visits', () => {
  const twice = <T>(prices: T): T =>
    Object.fromEntries(
      Object.entries(prices as object).map(([key, value]) => [key, /Micros/.test(key) ? 2 * value : value]),
    ) as T;
  for (let seed = 1; seed <= 12; seed++) {
    const town = randomTown(seed, { sites: 8, days: 5, promised: 0.3, usual: 0.3, published: 0.3 });
    const dear: PlanningProblem = {
      ...town,
      prices: twice(town.prices),
      shifts: town.shifts.map(twice),
      sites: town.sites.map((site) => (site.calls ? { ...site, calls: twice(site.calls) } : site)),
      buyPriceMicrosPerKg: town.buyPriceMicrosPerKg.map((price) => 2 * price),
    };
    const plan = planWeek(town, { seed: 1, iterations: 60 });
    const dearPlan = planWeek(dear, { seed: 1, iterations: 60 });
    expect(visitsOf(dearPlan)).toEqual(visitsOf(plan));
    // Each amount is rounded to a micro where it arises.
    expect(Math.abs(dearPlan.costMicros - 2 * plan.costMicros)).toBeLessThan(1000);
  }
});

test.each<[string, (town: PlanningProblem) => PlanningProblem]>([
  [
    'a larger van',
    (town) => ({
      ...town,
      shifts: town.shifts.map((s) => ({ ...s, payloadKg: 2 * s.payloadKg, loadSpaceL: 2 * s.loadSpaceL })),
    }),
  ],
  [
    'wider windows',
    (town) => ({
      ...town,
      sites: town.sites.map((site) => ({
        ...site,
        openByDay: site.openByDay.map((windows, day) =>
          windows.length === 0 ? [] : [{ fromAt: at(day, 6), untilAt: at(day, 20) }],
        ),
      })),
    }),
  ],
  [
    'a longer shift',
    (town) => ({ ...town, shifts: town.shifts.map((s) => ({ ...s, endAt: s.endAt + HOUR_S })) }),
  ],
])('%s, with the old plan to start from, never costs more', (_, relax) => {
  for (let seed = 1; seed <= 12; seed++) {
    const town = randomTown(seed, { sites: 9, days: 4, loadSpaceL: 1500, shiftHours: 4 });
    const plan = planWeek(town, { seed: 1, iterations: 60 });
    const relaxed = planWeek(relax(town), { seed: 2, iterations: 0 }, { start: plan });
    expect(relaxed.costMicros).toBeLessThanOrEqual(plan.costMicros);
  }
});

test('sites in another order give a plan that holds, at nearly the same cost', () => {
  for (let seed = 1; seed <= 6; seed++) {
    const town = randomTown(seed, { sites: 12, days: 5 });
    const turned = { ...town, sites: [...town.sites].reverse() };
    const plan = planWeek(town, { seed: 1, iterations: 2000 });
    const turnedPlan = planWeek(turned, { seed: 1, iterations: 2000 });
    expect(checkPlan(turned, turnedPlan)).toEqual([]);
    expect(Math.abs(turnedPlan.costMicros / plan.costMicros - 1)).toBeLessThan(0.01);
  }
});

test('more iterations of a plan that is handed in never make it dearer', () => {
  const town = randomTown(9, { sites: 15, days: 5, promised: 0.3 });
  let plan = planWeek(town, { seed: 1, iterations: 0 });
  for (const iterations of [20, 100, 300]) {
    const next = planWeek(town, { seed: iterations, iterations }, { start: plan });
    expect(next.costMicros).toBeLessThanOrEqual(plan.costMicros);
    plan = next;
  }
});

test('a published week that still serves is not changed when changes are dear', () => {
  const town = randomTown(6, { sites: 10, days: 5 });
  const plan = planWeek(town, { seed: 1, iterations: 300 });
  const published = plan.rounds.flatMap((round) =>
    round.stops
      .filter((stop) => stop.kind === 'site')
      .map((stop) => ({
        siteId: stop.siteId!,
        dayIndex: town.days.indexOf(round.day),
        shiftId: round.shiftId,
        startAt: stop.startAt,
      })),
  );
  const again = planWeek(
    { ...town, published, prices: { ...town.prices, changeMicros: 1_000_000_000 } },
    { seed: 99, iterations: 100 },
  );
  expect(visitsOf(again)).toEqual(visitsOf(plan));
  expect(again.money.change).toBe(0);
});

test('a search that is stopped answers its best so far', () => {
  const town = randomTown(2, { sites: 12, days: 5 });
  let asked = 0;
  const told: number[] = [];
  const plan = planWeek(
    town,
    { seed: 1, iterations: 1_000_000 },
    { enough: () => ++asked > 3, progress: ({ costMicros }) => told.push(costMicros) },
  );
  expect(checkPlan(town, plan)).toEqual([]);
  expect(told).toEqual([...told].sort((a, b) => b - a));
});

test('the best so far can be had on the way, holds, gets cheaper, and asking for it changes nothing', () => {
  const town = randomTown(2, { sites: 25, days: 5, promised: 0.3 });
  const budget = { seed: 1, iterations: 600 };
  const told: { costMicros: number; plan: Plan }[] = [];
  const plan = planWeek(town, budget, {
    onBest: ({ costMicros, plan: best }) => told.push({ costMicros, plan: best() }),
  });
  expect(told.length).toBeGreaterThan(2);
  for (const best of told) {
    expect(best.plan.costMicros).toBe(best.costMicros);
    expect(checkPlan(town, best.plan)).toEqual([]);
  }
  const costs = told.map((best) => best.costMicros);
  expect(costs).toEqual([...new Set(costs)].sort((a, b) => b - a));
  expect(told.at(-1)!.plan).toEqual(plan);
  expect(planWeek(town, budget)).toEqual(plan);
});

/** One site, one van on Monday from 8 to 16, and the promise in question. */
function promising(promise: SitePromise, over: Partial<PlanningProblem> = {}): PlanningProblem {
  const town = randomTown(1, { sites: 1, days: 2, loadSpaceL: 90_000, payloadKg: 5000 });
  return {
    ...town,
    shifts: town.shifts.filter((shift) => shift.dayIndex === 0),
    sites: town.sites.map((site) => ({
      ...site,
      barredDays: [],
      openByDay: [[{ fromAt: at(0, 6), untilAt: at(0, 22) }], [{ fromAt: at(1, 8), untilAt: at(1, 18) }]],
      promises: [promise],
    })),
    ...over,
  };
}
const onMonday = (from: number, until: number): SitePromise => ({
  kind: 'booking',
  windows: [{ fromAt: at(0, from), untilAt: at(0, until) }],
});

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

test('a van that is too small for two sites unloads in between', () => {
  const town = randomTown(1, { sites: 2, days: 1 });
  const full = {
    ...town,
    sites: town.sites.map((site) => ({
      ...site,
      barredDays: [],
      openByDay: [[{ fromAt: at(0, 8), untilAt: at(0, 18) }]],
      model: { ...site.model, leftKg: 80, capacityKg: 90, litresPerKg: 25, emptiedAt: MONDAY_AT },
      promises: [onMonday(8, 16)],
    })),
    shifts: town.shifts.map((shift) => ({ ...shift, payloadKg: 100, loadSpaceL: 2500 })),
  };
  const plan = planWeek(full, { seed: 1, iterations: 20 });
  expect(plan.rounds[0]!.stops.map((stop) => stop.kind)).toEqual(['site', 'unload', 'site', 'unload']);
  expect(checkPlan(full, plan)).toEqual([]);
});

test('sites that are left out say why: closed, no van, no time, no room', () => {
  const town = randomTown(1, { sites: 1, days: 1 });
  const only = (site: Partial<PlanningProblem['sites'][number]>, over: Partial<PlanningProblem> = {}) =>
    planWeek(
      {
        ...town,
        sites: [
          {
            ...town.sites[0]!,
            barredDays: [],
            openByDay: [[{ fromAt: at(0, 8), untilAt: at(0, 18) }]],
            model: { ...town.sites[0]!.model, leftKg: 90, capacityKg: 100, emptiedAt: MONDAY_AT },
            ...site,
          },
        ],
        ...over,
      },
      { seed: 1, iterations: 10 },
    ).leftOut.map((left) => left.code);
  expect(only({})).toEqual([]);
  expect(only({ openByDay: [[]] })).toEqual(['closed']);
  expect(only({ barredDays: [0] })).toEqual(['closed']);
  expect(only({}, { shifts: [] })).toEqual(['no-shift']);
  expect(only({ serviceS: 12 * HOUR_S })).toEqual(['shift-full']);
  const small = { shifts: town.shifts.map((s) => ({ ...s, payloadKg: 50 })) };
  // It may fill the van and leave the rest, unless all was promised.
  expect(only({}, small)).toEqual([]);
  expect(only({ promises: [onMonday(8, 16)] }, small)).toEqual(['van-full']);
});

test('the risk of a stop counts up to the next planned visit, or to the end', () => {
  let toNextVisit = 0;
  for (let seed = 1; seed <= 8; seed++) {
    const town = randomTown(seed, { sites: 8, days: 7, prices: { overflowMicrosPerDay: 40_000_000 } });
    const stops = stopsOf(planWeek(town, { seed: 1, iterations: 60 }));
    for (const { siteId, day, reason } of stops) {
      const later = stops.filter((stop) => stop.siteId === siteId && stop.day > day).map((stop) => stop.day);
      const before = stops.filter((stop) => stop.siteId === siteId && stop.day < day).map((stop) => stop.day);
      const until = town.days.indexOf(later.sort()[0] ?? '');
      expect(reason!.riskUntilDay).toBe(town.days[until < 0 ? 6 : until]);
      const { model } = town.sites.find((site) => site.siteId === siteId)!;
      const untilAt = until < 0 ? at(7, 0) : at(until, 12);
      const from = town.days.indexOf(before.sort().at(-1) ?? '');
      const mass = from < 0 ? fillAt(model, untilAt) : accrualBetween(model, at(from, 12), untilAt);
      expect(reason!.overflowRisk).toBeCloseTo(overflowRisk(mass, model.capacityKg), 5);
      if (later.length > 0) toNextVisit++;
    }
  }
  expect(toNextVisit).toBeGreaterThan(3);
});

test('a site that moves next door to another joins its round', () => {
  const town = randomTown(1, { sites: 2, days: 5 });
  const open = town.days.map((_, day) => [{ fromAt: at(day, 8), untilAt: at(day, 18) }]);
  const alike = (full: number) => (site: PlanningProblem['sites'][number]) => ({
    ...site,
    barredDays: [],
    openByDay: open,
    model: {
      ...town.sites[0]!.model,
      rate: { a: 20, b: 40 * 19, asOf: MONDAY_AT },
      leftKg: full,
      capacityKg: 60,
      emptiedAt: MONDAY_AT,
    },
  });
  const place = (points: number[][]): PlanningProblem => ({
    ...town,
    travel: planeTravel(points),
    // One nearly full, the other two days behind.
    sites: [alike(36)(town.sites[0]!), alike(26)(town.sites[1]!)],
    drawKg: town.drawKg.map((row) => row.map(() => 0)),
  });
  const daysOf = (problem: PlanningProblem) =>
    stopsOf(planWeek(problem, { seed: 1, iterations: 300 })).map((stop) => stop.day);
  const [first, second, ...more] = daysOf(
    place([
      [0, 0],
      [0, 9000],
      [200, 9000],
    ]),
  );
  expect(more).toEqual([]);
  expect(first).toBe(second);
});

test('a grade that would run short explains the stop that feeds it', () => {
  const town = randomTown(3, { sites: 1, days: 3 });
  const starving: PlanningProblem = {
    ...town,
    stockKg: [0, 0, 0],
    drawKg: [
      [0, 0, 0],
      [15, 0, 0],
      [15, 0, 0],
    ],
    sites: [
      {
        ...town.sites[0]!,
        barredDays: [],
        usualDays: [],
        openByDay: town.days.map((_, day) => [{ fromAt: at(day, 8), untilAt: at(day, 18) }]),
        model: {
          ...town.sites[0]!.model,
          leftKg: 40,
          capacityKg: 1000,
          emptiedAt: MONDAY_AT,
          gradeShares: { 'ldpe-clear': 1 },
        },
      },
    ],
    buyPriceMicrosPerKg: [3_000_000, 1, 1],
  };
  const [stop] = stopsOf(planWeek(starving, { seed: 1, iterations: 30 }));
  expect(stop!.reason).toMatchObject({
    code: 'feeds-production',
    grade: 'ldpe-clear',
    shortDay: town.days[1],
  });
  expect(stop!.reason!.withoutIt.shortage).toBeGreaterThan(0);
});

test('nonsense is refused with what is wrong', () => {
  const town = randomTown(1, { sites: 1, days: 2 });
  expect(() => planWeek({ ...town, days: [] }, { seed: 1, iterations: 1 })).toThrow(/0 days/);
  expect(() => planWeek({ ...town, loadQuantile: 1 }, { seed: 1, iterations: 1 })).toThrow(
    /loadQuantile is 1/,
  );
  const far = { ...town, sites: [{ ...town.sites[0]!, place: 7 }] };
  expect(() => planWeek(far, { seed: 1, iterations: 1 })).toThrow(/site-0 is at place 7 of 2/);
});
