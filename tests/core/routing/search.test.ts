import fc from 'fast-check';
import { expect, test } from 'vitest';
import { checkSolution } from '../../../src/core/routing/check.ts';
import { buildRoutingProblem, type RoutingInput } from '../../../src/core/routing/problem.ts';
import { searchRouting, solveRouting } from '../../../src/core/routing/search.ts';
import { enumerate } from './enumerate.ts';
import { randomInput } from './random-problem.ts';

const priced = (input: RoutingInput, seed: number, iterations: number) => {
  const problem = buildRoutingProblem(input);
  const { solution } = searchRouting(problem, { seed, iterations });
  const lost = solution.leftOut.filter(({ mandatory }) => mandatory).length;
  return { solution, total: solution.cost + lost * problem.penalty };
};

test('with all features on, the search finds the optimum that trying everything finds', () => {
  let same = 0;
  for (let seed = 1; seed <= 30; seed++) {
    const input = randomInput(seed, { visits: 4, vehicles: 2 });
    const best = enumerate(input);
    const { total } = priced(input, 1, 400);
    expect(total).toBeGreaterThanOrEqual(best);
    if (total === best) same++;
  }
  expect(same).toBeGreaterThanOrEqual(29);
});

test('every solution passes the checker, which finds the same cost', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 100_000 }), fc.integer({ min: 1, max: 14 }), (seed, visits) => {
      const input = randomInput(seed, { visits, vehicles: 3 });
      const { solution } = priced(input, seed, 60);
      const report = checkSolution(input, {
        rounds: solution.rounds,
        leftOut: solution.leftOut.map(({ visit }) => visit),
      });
      expect(report.faults).toEqual([]);
      expect(report.cost).toBe(solution.cost);
    }),
    { numRuns: 60 },
  );
});

test('the same problem, seed and iterations give the same bytes', () => {
  const input = randomInput(7, { visits: 20, vehicles: 4 });
  const once = JSON.stringify(solveRouting(input, { seed: 5, iterations: 300 }));
  expect(JSON.stringify(solveRouting(input, { seed: 5, iterations: 300 }))).toBe(once);
});

test('doubling every price doubles the cost and changes no round', () => {
  const input = randomInput(11, { visits: 12, vehicles: 3 });
  const doubled: RoutingInput = {
    travel: input.travel,
    visits: input.visits.map((visit) => ({ ...visit, prize: 2 * visit.prize })),
    vehicles: input.vehicles.map((vehicle) => ({
      ...vehicle,
      costPerM: 2 * vehicle.costPerM,
      costPerS: 2 * vehicle.costPerS,
      costPerOvertimeS: 2 * vehicle.costPerOvertimeS,
      fixedCost: 2 * vehicle.fixedCost,
      ...(vehicle.unload ? { unload: { ...vehicle.unload, cost: 2 * vehicle.unload.cost } } : {}),
    })),
  };
  const one = solveRouting(input, { seed: 1, iterations: 300 }).solution;
  const two = solveRouting(doubled, { seed: 1, iterations: 300 }).solution;
  expect(two.cost).toBe(2 * one.cost);
  expect(two.plans).toEqual(one.plans);
});

test('fixed visits stay in their rounds, and in their order', () => {
  const input = randomInput(3, { visits: 12, vehicles: 3 });
  const problem = buildRoutingProblem(input);
  const start = searchRouting(problem, { seed: 1, iterations: 50 }).solution.plans;
  const order = (plans: typeof start) =>
    plans.map(({ vehicle, steps }) => ({
      vehicle,
      visits: steps.flatMap((step) => (step.kind === 'visit' && fixed.has(step.visit) ? [step.visit] : [])),
    }));
  const fixed = new Set(start[0]!.steps.flatMap((step) => (step.kind === 'visit' ? [step.visit] : [])));
  expect(fixed.size).toBeGreaterThan(1);
  const after = searchRouting(problem, { seed: 9, iterations: 200, start, fixed }).solution.plans;
  const only = (plans: ReturnType<typeof order>) => plans.filter(({ visits }) => visits.length > 0);
  expect(only(order(after))).toEqual(only(order(start)));
});

test('a visit that no vehicle can carry, and one that none reaches in time, are named with the reason', () => {
  const base = randomInput(5, { visits: 6, vehicles: 2 });
  const input: RoutingInput = {
    ...base,
    visits: base.visits.map((visit, v) =>
      v === 0
        ? { ...visit, mandatory: true, loadA: 10_000 }
        : v === 1
          ? { ...visit, mandatory: true, windows: [{ fromS: 0, untilS: 0 }] }
          : visit,
    ),
  };
  const { leftOut } = solveRouting(input, { seed: 1, iterations: 100 }).solution;
  expect(leftOut.find(({ visit }) => visit === 0)).toMatchObject({ mandatory: true, why: 'too-large' });
  expect(['too-far', 'barred']).toContain(leftOut.find(({ visit }) => visit === 1)?.why);
});

test('an optional visit that cannot be reached changes nothing but its own prize', () => {
  const input = randomInput(21, { visits: 8, vehicles: 2 });
  const more: RoutingInput = {
    ...input,
    visits: [...input.visits, { ...input.visits[0]!, mandatory: false, prize: 77, barredVehicles: [0, 1] }],
  };
  const one = priced(input, 1, 400).total;
  expect(priced(more, 1, 400).total).toBe(one + 77);
});
