import fc from 'fast-check';
import { expect, test } from 'vitest';
import { accrualBetween, meanKg } from '../../../src/core/accumulation/forecast.ts';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { MONEY_PARTS, type Plan } from '../../../src/core/planning/plan.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { stopsOf } from '../../fixtures/plan-stops.ts';
import { at, DAY_S, MONDAY_AT, randomTown, type TownOptions } from '../../fixtures/planning-problems.ts';

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

test('nonsense is refused with what is wrong', () => {
  const town = randomTown(1, { sites: 1, days: 2 });
  expect(() => planWeek({ ...town, days: [] }, { seed: 1, iterations: 1 })).toThrow(/0 days/);
  expect(() => planWeek({ ...town, loadQuantile: 1 }, { seed: 1, iterations: 1 })).toThrow(
    /loadQuantile is 1/,
  );
  const far = { ...town, sites: [{ ...town.sites[0]!, place: 7 }] };
  expect(() => planWeek(far, { seed: 1, iterations: 1 })).toThrow(/site-0 is at place 7 of 2/);
});
