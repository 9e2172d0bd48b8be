/** What must hold between the plans of two problems, whatever the plans are. */
import { expect, test } from 'vitest';
import type { Plan } from '../../../src/core/planning/plan.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { at, planeTravel, randomTown } from '../../fixtures/planning-problems.ts';
import { cheapestWeek } from './enumerate.ts';
import { cheapestByMip, tinyTown } from './optimum-by-mip.ts';

const cheaper: Record<string, (town: PlanningProblem) => PlanningProblem> = {
  'cheaper kilometres': (town) => ({
    ...town,
    shifts: town.shifts.map((s) => ({ ...s, costMicrosPerKm: s.costMicrosPerKm / 2 })),
  }),
  'cheaper hours': (town) => ({
    ...town,
    shifts: town.shifts.map((s) => ({ ...s, costMicrosPerHour: s.costMicrosPerHour / 2 })),
  }),
  'a larger van': (town) => ({
    ...town,
    shifts: town.shifts.map((s) => ({ ...s, loadSpaceL: 2 * s.loadSpaceL, payloadKg: 2 * s.payloadKg })),
  }),
};

test.each(Object.entries(cheaper))('%s never make the least cost greater (by a solver)', async (_, ease) => {
  for (let seed = 1; seed <= 8; seed++) {
    const town = tinyTown(seed);
    expect(await cheapestByMip(ease(town))).toBeLessThanOrEqual((await cheapestByMip(town)) + 1000);
  }
});

test('more stock at the start never makes the least cost greater, where the store has room (every week tried)', () => {
  for (let seed = 1; seed <= 12; seed++) {
    const town = { ...randomTown(seed, { sites: 3, days: 3 }), storeLimitKg: 1e6 };
    const more = { ...town, stockKg: town.stockKg.map((kg) => kg + 20) };
    expect(cheapestWeek(more).costMicros).toBeLessThanOrEqual(cheapestWeek(town).costMicros);
  }
});

test('lower prices of every kind, with the old plan to start from, never cost more', () => {
  for (let seed = 1; seed <= 12; seed++) {
    const town = randomTown(seed, { sites: 9, days: 4, usual: 0.5, published: 0.5, promised: 0.3 });
    const plan = planWeek(town, { seed: 1, iterations: 60 });
    for (const key of [
      'unloadMicros',
      'brokenHabitMicros',
      'changeMicros',
      'overtimeMicrosPerHour',
    ] as const) {
      const prices = { ...town.prices, [key]: town.prices[key] / 2 };
      const cheap = planWeek({ ...town, prices }, { seed: 2, iterations: 0 }, { start: plan });
      expect(cheap.costMicros, key).toBeLessThanOrEqual(plan.costMicros);
    }
  }
});

/** Two sites at opposite ends, both promised on the one day, two vans. */
function twoEnds(places: readonly (readonly [number, number])[], shiftHours: number): PlanningProblem {
  const town = randomTown(1, { sites: 2, days: 1, vans: 2, shiftHours, loadSpaceL: 1e5, payloadKg: 1e4 });
  return {
    ...town,
    travel: planeTravel([[0, 0], ...places]),
    sites: town.sites.map((site) => ({
      ...site,
      barredDays: [],
      openByDay: [[{ fromAt: at(0, 6), untilAt: at(0, 20) }]],
      promises: [{ kind: 'booking' as const, windows: [{ fromAt: at(0, 6), untilAt: at(0, 20) }] }],
    })),
  };
}
const roundsOf = (plan: Plan): (string | undefined)[][] =>
  plan.rounds.map((round) => round.stops.filter((stop) => stop.kind === 'site').map((stop) => stop.siteId));

test('a site that is moved onto another’s street joins its round', () => {
  // 25 km either way, 65 min each by road: both in one shift of four hours is too much for one van.
  const apart = planWeek(
    twoEnds(
      [
        [25_000, 0],
        [-25_000, 0],
      ],
      4,
    ),
    { seed: 1, iterations: 50 },
  );
  expect(roundsOf(apart)).toHaveLength(2);
  const together = planWeek(
    twoEnds(
      [
        [25_000, 0],
        [25_000, 40],
      ],
      4,
    ),
    { seed: 1, iterations: 50 },
  );
  expect(roundsOf(together)).toHaveLength(1);
  expect(roundsOf(together)[0]!.sort()).toEqual(['site-0', 'site-1']);
  // In a town, too: wherever both are visited on one day, one follows the other.
  for (let seed = 1; seed <= 8; seed++) {
    const town = randomTown(seed, { sites: 14, days: 4, loadSpaceL: 1e5, payloadKg: 1e4 });
    const { places, legM, legS } = town.travel;
    const moved = { places, legM: legM.slice(), legS: legS.slice() };
    const [from, onto] = [town.sites[0]!.place, town.sites[1]!.place];
    for (let p = 0; p < places; p++) {
      moved.legM[from * places + p] = legM[onto * places + p]!;
      moved.legS[from * places + p] = legS[onto * places + p]!;
      moved.legM[p * places + from] = legM[p * places + onto]!;
      moved.legS[p * places + from] = legS[p * places + onto]!;
    }
    const open = town.days.map((_, day) => [{ fromAt: at(day, 6), untilAt: at(day, 20) }]);
    const sites = town.sites.map((site) => ({ ...site, openByDay: open, barredDays: [] }));
    const plan = planWeek({ ...town, travel: moved, sites }, { seed: 1, iterations: 300 });
    for (const stops of roundsOf(plan)) {
      const [a, b] = [stops.indexOf('site-0'), stops.indexOf('site-1')];
      if (a >= 0 && b >= 0) expect(Math.abs(a - b)).toBe(1);
    }
  }
});

// Golden: the same machine-independent arithmetic must take the same way. A change here is a change of the search and
// belongs into the commit that makes it.
test('golden trajectory: cost after 0, 50 and 200 iterations of three towns', () => {
  const costs = [1, 2, 3].map((seed) => {
    const town = randomTown(seed, {
      sites: 15,
      days: 5,
      vans: 2,
      promised: 0.2,
      usual: 0.2,
      loadSpaceL: 3000,
    });
    return [0, 50, 200].map((iterations) => planWeek(town, { seed, iterations }).costMicros);
  });
  expect(costs).toEqual([
    [436_063_477, 407_265_457, 407_265_457],
    [665_252_782, 649_491_893, 638_044_632],
    [398_941_941, 398_941_941, 394_457_449],
  ]);
});
