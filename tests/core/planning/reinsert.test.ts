import fc from 'fast-check';
import { expect, test } from 'vitest';
import { makeInserter } from '../../../src/core/planning/insertion.ts';
import { planWeek } from '../../../src/core/planning/plan-week.ts';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { withPromises } from '../../../src/core/planning/promises.ts';
import { makeReinserter, removeAll } from '../../../src/core/planning/reinsert.ts';
import { ordersOfPlan, stateOfOrders } from '../../../src/core/planning/start.ts';
import { MAX_STOPS, UNLOAD } from '../../../src/core/planning/steps.ts';
import { layOutWeek } from '../../../src/core/planning/week.ts';
import {
  copyState,
  emptyState,
  insertStop,
  nodeBefore,
  roundFits,
  stateMicros,
  type WeekState,
} from '../../../src/core/planning/week-state.ts';
import { DAY_S, MONDAY_AT, randomTown } from '../../fixtures/planning-problems.ts';

/** A town whose store wants nothing, so that days are coupled by the fill alone. */
function indifferentTown(seed: number): PlanningProblem {
  // Space is short in one town, payload in the next.
  const van = seed % 2 ? { loadSpaceL: 2500 } : { loadSpaceL: 90_000, payloadKg: 60 };
  const town = randomTown(seed, { sites: 8, days: 5, vans: 2, usual: 0.5, published: 0.5, ...van });
  return { ...town, drawKg: town.drawKg.map((row) => row.map(() => 0)), storeLimitKg: 1e6 };
}

function weekOf(town: PlanningProblem): WeekState {
  const { week } = withPromises(layOutWeek(town));
  return stateOfOrders(week, ordersOfPlan(week, planWeek(town, { seed: 1, iterations: 0 })));
}

test('no set of visit days is cheaper than the one that dynamic programming finds', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 0, max: 7 }), (seed, site) => {
      const state = weekOf(indifferentTown(seed));
      const { week } = state;
      const inserter = makeInserter();
      const guide = new Float64Array(week.days * week.stock.columns);
      stateMicros(state, guide);
      const found = emptyState(week);
      copyState(found, state);
      makeReinserter(week.days, inserter).reinsert(found, site, guide);
      const foundMicros = stateMicros(found);

      removeAll(state, site);
      const trial = emptyState(week);
      for (let mask = 0; mask < 1 << week.days; mask++) {
        copyState(trial, state);
        const table = week.tables[site]!;
        let isPossible = true;
        for (let day = 0; day < week.days && isPossible; day++) {
          if ((mask & (1 << day)) === 0) continue;
          const at = nodeBefore(mask, day) * table.nodes + day + 1;
          const places = inserter.scanDay(trial, site, day);
          const mass = table.massKg[at]!;
          const place = inserter.cheapestPlace(trial, places, site, mass, table.varianceKg2[at]!);
          if (!place) isPossible = false;
          else insertStop(trial, place.shift, place.at, site, place.unload);
        }
        // Who is published to drive can make a dearer place the cheaper one; then masks are not independent of it.
        if (isPossible) expect(foundMicros).toBeLessThanOrEqual(stateMicros(trial) + 1);
      }
      for (const shift of week.shifts) expect(roundFits(found, shift.index)).toBe(true);
    }),
    { numRuns: 60 },
  );
});

test('the place found for a stop is the cheapest of all places', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 0, max: 7 }), (seed, site) => {
      const state = weekOf(randomTown(seed, { sites: 8, days: 3, loadSpaceL: 90_000, payloadKg: 9000 }));
      removeAll(state, site);
      const { week } = state;
      const table = week.tables[site]!;
      const inserter = makeInserter();
      for (let day = 0; day < week.days; day++) {
        const places = inserter.scanDay(state, site, day);
        const place = inserter.cheapestPlace(state, places, site, table.massKg[day + 1]!, 0);
        let best = Infinity;
        for (const shift of week.spans[site * week.days + day]!.length > 0 ? week.shiftsOfDay[day]! : [])
          for (let at = 0; at <= state.counts[shift]!; at++) {
            const order = [
              ...state.orders.slice(shift * MAX_STOPS, shift * MAX_STOPS + state.counts[shift]!),
            ];
            order.splice(at, 0, site);
            const micros = state.timer.cost(week.shifts[shift]!, Int32Array.from(order), 0, order.length);
            best = Math.min(best, micros - state.roundMicros[shift]!);
          }
        expect(place?.micros ?? Infinity).toBe(best);
      }
    }),
    { numRuns: 60 },
  );
});

test('where no window binds, a place is priced as the timer would', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 1e6 }),
      fc.constantFrom(600, 3000, 9000),
      fc.constantFrom(9000, 25_000),
      (seed, serviceS, loadSpaceL) => {
        const town = randomTown(seed, { sites: 9, days: 2, loadSpaceL, payloadKg: 9000, radiusM: 6000 });
        const state = weekOf({
          ...town,
          sites: town.sites.map((site, i) => ({
            ...site,
            serviceS: i % 3 === 0 ? serviceS : site.serviceS,
            openByDay: site.openByDay.map((_, day) => [
              { fromAt: MONDAY_AT + day * DAY_S, untilAt: MONDAY_AT + (day + 1) * DAY_S },
            ]),
          })),
        });
        const { week } = state;
        for (let site = 0; site < week.sites; site++) {
          removeAll(state, site);
          const inserter = makeInserter();
          for (let day = 0; day < week.days; day++) {
            const table = week.tables[site]!;
            const places = inserter.scanDay(state, site, day);
            const place = inserter.cheapestPlace(
              state,
              places,
              site,
              table.massKg[day + 1]!,
              table.varianceKg2[day + 1]!,
            );
            if (!place || place.micros === Infinity) continue;
            const before = state.roundMicros[place.shift]!;
            insertStop(state, place.shift, place.at, site, place.unload);
            expect(state.roundMicros[place.shift]! - before).toBe(place.micros);
            removeAll(state, site);
          }
          const places = inserter.scanDay(state, site, 0);
          const place = inserter.cheapestPlace(state, places, site, 1, 1);
          if (place && place.micros < Infinity) insertStop(state, place.shift, place.at, site, place.unload);
        }
      },
    ),
    { numRuns: 60 },
  );
});

test('a state after any number of changes equals the same week laid out afresh', () => {
  for (let seed = 1; seed <= 10; seed++) {
    const town = randomTown(seed, {
      sites: 10,
      days: 5,
      vans: 2,
      loadSpaceL: 1500,
      usual: 0.3,
      published: 0.3,
    });
    const state = weekOf(town);
    const { week } = state;
    const reinserter = makeReinserter(week.days, makeInserter());
    const guide = new Float64Array(week.days * week.stock.columns);
    for (let k = 0; k < 40; k++) {
      stateMicros(state, guide);
      reinserter.reinsert(state, (k * 7) % week.sites, guide);
    }
    const orders = week.shifts.map(({ index }) => [
      ...state.orders.slice(index * MAX_STOPS, index * MAX_STOPS + state.counts[index]!),
    ]);
    for (const order of orders) expect(order.at(-1)).not.toBe(UNLOAD);
    const fresh = stateOfOrders(week, orders);
    expect(stateMicros(fresh)).toBe(stateMicros(state));
    expect(fresh.arrivals).toEqual(state.arrivals);
    expect(fresh.siteMicros).toEqual(state.siteMicros);
    expect(fresh.roundMicros).toEqual(state.roundMicros);
  }
});
