import { describe, expect, test } from 'vitest';
import { makePolicy, POLICY_NAMES } from '../../../src/core/simulation/policies.ts';
import type { Policy } from '../../../src/core/simulation/policy.ts';
import { makeWorld, USUAL_WORLD, type World } from '../../../src/core/simulation/world.ts';
import { simulateYear } from '../../../src/core/simulation/year.ts';
import type { YearResult } from '../../../src/core/simulation/year-result.ts';

const small = { ...USUAL_WORLD, donors: 12, weeks: 6 };
const planner = { iterations: 20, horizonDays: 7, loadQuantile: 0.8 };

function run(world: World, policy: Policy): YearResult {
  const year = simulateYear(world, policy);
  let step = year.next();
  while (!step.done) step = year.next();
  return step.value;
}

describe.each(POLICY_NAMES)('%s', (name) => {
  test('every kilogram that came was collected, was lost or still waits', () => {
    for (const seed of [1, 2, 3]) {
      const year = run(makeWorld(seed, small), makePolicy(name, planner));
      expect(year.collectedKg + year.lostKg + year.waitingMoreKg).toBeCloseTo(year.cameKg, 6);
      expect(year.collectedKg).toBeGreaterThan(0);
      expect(year.boughtInKg).toBeGreaterThanOrEqual(year.unavoidableKg - 1e-6);
    }
  });

  test('the same seed gives the same year', () => {
    const again = () => run(makeWorld(4, small), makePolicy(name, planner));
    expect(again()).toEqual(again());
  });
});

test('what comes, and what production needs, is the same under every policy', () => {
  const years = POLICY_NAMES.map((name) => run(makeWorld(5, small), makePolicy(name, planner)));
  for (const year of years) {
    expect(year.cameKg).toBe(years[0]!.cameKg);
    expect(year.neededKg).toBe(years[0]!.neededKg);
  }
});

test('a policy that never drives costs overflow and all of the need beyond the stock, and nothing else', () => {
  const world = makeWorld(6, small);
  const year = run(world, { name: 'idle', decide: () => [] });
  expect(year).toMatchObject({ distanceM: 0, workS: 0, stops: 0, collectedKg: 0, missedStops: 0 });
  expect(year.lostKg).toBeGreaterThan(0);
  expect(year.boughtInKg).toBeGreaterThan(0);
  expect(year.boughtInKg).toBeLessThanOrEqual(year.neededKg);
});
