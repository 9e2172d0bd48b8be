/**
 * The mirror of delivery and collection, on drawn instances in the published sets' format (Archetti et al. 2007); the
 * published ones are measured by `npm run bench inventory`.
 */
import { expect, test } from 'vitest';
import { searchWeek } from '../../../src/core/planning/search.ts';
import { MAX_STOPS } from '../../../src/core/planning/steps.ts';
import { emptyState, stateMicros } from '../../../src/core/planning/week-state.ts';
import { seededRandom } from '../../../src/core/quantity/random.ts';
import {
  type InventoryInstance,
  priceOfRoutes,
  readInventoryInstance,
  weekOfInstance,
} from '../../fixtures/inventory-instances.ts';

/** As the sets are made: level 2 or 3 times what a period uses, start one period below it, vehicle 1.5 times all use. */
function drawn(seed: number, customers: number, periods: number): InventoryInstance {
  const random = seededRandom(seed);
  const place = () => ({ x: random.below(500), y: random.below(500) });
  const all = Array.from({ length: customers }, () => {
    const used = 10 + random.below(90);
    const most = used * (2 + random.below(2));
    return { ...place(), start: most - used, most, least: 0, used, holding: 0.01 * (1 + random.below(5)) };
  });
  const made = all.reduce((sum, customer) => sum + customer.used, 0);
  const start = all.reduce((sum, customer) => sum + customer.most, 0);
  return {
    periods,
    capacity: Math.floor(1.5 * made),
    depot: { ...place(), start, made, holding: 0.03 },
    customers: all,
  };
}

/** Every set of routes that is feasible, each in its best order: the cheapest. */
function cheapest(instance: InventoryInstance): number {
  const n = instance.customers.length;
  const orders = Array.from({ length: 1 << n }, (_, set) =>
    permutations(Array.from({ length: n }, (_, i) => i).filter((i) => set & (1 << i))),
  );
  const alone = {
    ...instance,
    periods: 1,
    customers: instance.customers.map((c) => ({ ...c, least: -1e9 })),
  };
  const best = orders.map((list) =>
    list.reduce((a, b) => (priceOfRoutes(alone, [a]).cost <= priceOfRoutes(alone, [b]).cost ? a : b)),
  );
  let least = Infinity;
  const tryPeriods = (routes: number[][]): void => {
    if (routes.length === instance.periods) {
      const { cost, faults } = priceOfRoutes(instance, routes);
      if (faults.length === 0) least = Math.min(least, cost);
      return;
    }
    for (const route of best) tryPeriods([...routes, route]);
  };
  tryPeriods([]);
  return least;
}

function permutations(items: readonly number[]): number[][] {
  if (items.length === 0) return [[]];
  return items.flatMap((item, k) =>
    permutations([...items.slice(0, k), ...items.slice(k + 1)]).map((rest) => [item, ...rest]),
  );
}

function solve(instance: InventoryInstance, iterations: number) {
  const { week, fixedMicros } = weekOfInstance(instance);
  const found = searchWeek(week, emptyState(week), { seed: 1, iterations }, {});
  const routes = week.shifts.map(({ index }) => [
    ...found.orders.slice(index * MAX_STOPS, index * MAX_STOPS + found.counts[index]!),
  ]);
  return { searchCost: (stateMicros(found) + fixedMicros) / 1e6, ...priceOfRoutes(instance, routes) };
}

test('what the search pays for collecting is what delivering costs, priced from the raw numbers', () => {
  for (let seed = 1; seed <= 12; seed++) {
    const { searchCost, cost, faults } = solve(drawn(seed, 5 + seed, 3 + 3 * (seed % 2)), 100);
    expect(faults).toEqual([]);
    expect(searchCost).toBeCloseTo(cost, 5);
  }
});

test('three customers, three periods: the search finds the cheapest of all routes', () => {
  for (let seed = 1; seed <= 8; seed++) {
    const instance = drawn(seed, 3, 3);
    expect(solve(instance, 200).cost).toBeCloseTo(cheapest(instance), 5);
  }
});

test('by hand: one customer 3-4-5 away, level 20, uses 10, starts at 10, two periods', () => {
  const instance = readInventoryInstance('2 2 30\n 1 0 0 100 10 .5\n 2 3 4 10 20 0 10 1\n', 'by hand');
  // Levels 10, 0, 10 with a visit in period 2: holding 20; depot 100, 110, 100 (110 + 10 - 20): 155; road 10.
  expect(priceOfRoutes(instance, [[], [0]])).toEqual({ cost: 20 + 155 + 10, faults: [] });
  // In period 1: levels 10, 10, 0: 20; depot 100, 100 (100 + 10 - 10), 110: 155; road 10. The same here.
  expect(priceOfRoutes(instance, [[0], []])).toEqual({ cost: 185, faults: [] });
  expect(priceOfRoutes(instance, [[], []]).faults).toEqual(['period 2: customer 1 at -10']);
  expect(solve(instance, 50).cost).toBe(185);
});

test('a file of another kind is named', () => {
  expect(() => readInventoryInstance('3 2 30\n1 0 0 100 10 .5\n', 'odd.dat')).toThrow(
    /odd\.dat: not a single-vehicle/,
  );
});
