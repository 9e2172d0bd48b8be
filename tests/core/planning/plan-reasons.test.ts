import { expect, test } from 'vitest';
import { accrualBetween, fillAt, overflowRisk } from '../../../src/core/accumulation/forecast.ts';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { stopsOf } from '../../fixtures/plan-stops.ts';
import { at, HOUR_S, MONDAY_AT, randomTown } from '../../fixtures/planning-problems.ts';
import { onMonday } from '../../fixtures/promised-site.ts';

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
