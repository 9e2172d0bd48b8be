import { expect, test } from 'vitest';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { stopsOf, visitsOf } from '../../fixtures/plan-stops.ts';
import { at, HOUR_S, MONDAY_AT, planeTravel, randomTown } from '../../fixtures/planning-problems.ts';

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
