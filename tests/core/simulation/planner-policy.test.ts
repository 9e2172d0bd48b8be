import { expect, test } from 'vitest';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { layOutWeek } from '../../../src/core/planning/week.ts';
import { dayAt } from '../../../src/core/simulation/days.ts';
import {
  type PlannerOptions,
  plannerPolicy,
  USUAL_PLANNER,
} from '../../../src/core/simulation/planner-policy.ts';
import type { Morning } from '../../../src/core/simulation/policy.ts';
import { makeWorld, USUAL_WORLD } from '../../../src/core/simulation/world.ts';
import { isOpenOn } from '../../../src/core/simulation/world-site.ts';
import { simulateYear } from '../../../src/core/simulation/year.ts';

const world = makeWorld(2, { ...USUAL_WORLD, donors: 10, weeks: 6 });

/** Every morning of a short year with the problem that the planner made of it. */
function mornings(options: PlannerOptions) {
  const seen: { readonly morning: Morning; readonly problem: PlanningProblem }[] = [];
  let problem: PlanningProblem | undefined;
  const policy = plannerPolicy({
    ...options,
    iterations: 5,
    horizonDays: 7,
    layOut(given) {
      problem = given;
      return layOutWeek(given);
    },
  });
  const year = simulateYear(world, {
    ...policy,
    decide(morning) {
      const order = policy.decide(morning);
      seen.push({ morning: { ...morning, facts: [...morning.facts] }, problem: problem! });
      return order;
    },
  });
  while (!year.next().done);
  return seen;
}

test('a donor’s silence counts as of the last evening on which somebody was there, until a call or an emptying', () => {
  let silent = 0;
  let called = 0;
  for (const { morning, problem } of mornings({ ...USUAL_PLANNER, missedCallShare: 0.2 }))
    morning.facts.forEach(({ hasCalled, emptiedDay }, i) => {
      const { silence } = problem.sites[i]!.model;
      let evening = morning.day - 1;
      while (evening >= 0 && !isOpenOn(world.sites[i]!, evening)) evening--;
      if (hasCalled) called++;
      if (hasCalled || evening < Math.max(0, emptiedDay)) expect(silence).toBeUndefined();
      else {
        silent++;
        expect(silence).toMatchObject({ at: dayAt(evening, 18), missedShare: 0.2 });
        expect(silence!.kg).toBeCloseTo(0.8 * problem.sites[i]!.model.capacityKg, 9);
      }
    });
  expect(silent).toBeGreaterThan(50);
  expect(called).toBeGreaterThan(5);
});

test('nobody is counted on to call where calls are not known of', () => {
  const { calls: _, ...options } = USUAL_PLANNER;
  for (const { problem } of mornings(options))
    for (const { model, calls } of problem.sites)
      expect([model.silence, calls]).toEqual([undefined, undefined]);
});

test('the planner plans with the prices it is told', () => {
  const told = mornings({ ...USUAL_PLANNER, prices: { overflowMicrosPerDay: 1 } });
  for (const { problem } of told)
    expect(problem.prices).toEqual({ ...world.prices, overflowMicrosPerDay: 1 });
});
