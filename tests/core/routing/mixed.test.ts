import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fastRandom } from '../../../src/core/routing/alike/fast-random.ts';
import { createDescent } from '../../../src/core/routing/mixed/descent.ts';
import { createSoftRounds } from '../../../src/core/routing/mixed/soft-rounds.ts';
import { buildRoutingProblem } from '../../../src/core/routing/problem.ts';
import { searchRouting } from '../../../src/core/routing/search.ts';
import { randomInput } from './random-problem.ts';

type Soft = ReturnType<typeof createSoftRounds>;

const costOf = ({ m, n, route, rigid, slack, problem }: Soft): number => {
  let cost = 0;
  for (let r = 0; r < m; r++) cost += rigid[r]! + slack[r]!;
  for (let v = 0; v < n; v++) if (route[v]! < 0) cost += problem.skipCost[v]!;
  return cost;
};

/** Nodes of a round without its depot. */
const nodesOf = ({ n, next }: Soft, vehicle: number): number[] => {
  const nodes: number[] = [];
  for (let u = next[n + vehicle]!; u !== n + vehicle; u = next[u]!) nodes.push(u);
  return nodes;
};

const seeds = fc.integer({ min: 0, max: 2 ** 31 - 1 });

test('the soft cost of exact rounds is no more than theirs, and the same without breaks and several windows', () => {
  let same = 0;
  fc.assert(
    fc.property(seeds, (seed) => {
      const input = randomInput(seed, { visits: 9, vehicles: 3 });
      const problem = buildRoutingProblem(input);
      const { solution } = searchRouting(problem, { seed: 1, iterations: 60 });
      const soft = createSoftRounds(problem);
      for (const { vehicle, steps } of solution.plans) {
        let p = problem.visits + vehicle;
        for (const step of steps) {
          if (step.kind === 'break') continue;
          const u = step.kind === 'visit' ? step.visit : soft.takeUnload(vehicle);
          soft.linkAfter(u, p);
          p = u;
          soft.refresh(vehicle);
        }
      }
      const lost = solution.leftOut.filter(({ mandatory }) => mandatory).length;
      const exact = solution.cost + lost * problem.penalty;
      expect(costOf(soft)).toBeLessThanOrEqual(exact + 1e-6);
      const isPlain =
        !solution.plans.some(({ steps }) => steps.some(({ kind }) => kind === 'break')) &&
        input.visits.every(({ windows }) => windows.length <= 1) &&
        input.vehicles.every(({ unload }) => (unload?.windows.length ?? 0) <= 1);
      if (!isPlain) return;
      same++;
      expect(costOf(soft)).toBeCloseTo(exact, 6);
    }),
    { numRuns: 150 },
  );
  expect(same).toBeGreaterThan(0);
});

test('a descent never makes rounds dearer, serves nobody twice and leaves out no one that must be served', () => {
  fc.assert(
    fc.property(seeds, (seed) => {
      const problem = buildRoutingProblem(randomInput(seed, { visits: 14, vehicles: 3 }));
      const { visits: n, vehicles: m } = problem;
      const soft = createSoftRounds(problem);
      const random = fastRandom(seed);
      const near = Int32Array.from({ length: n * (n - 1) }, (_, k) => {
        const v = Math.floor(k / (n - 1));
        const u = k % (n - 1);
        return u < v ? u : u + 1;
      });
      const { descend } = createDescent(soft, near, random);
      for (let v = 0; v < n; v++) {
        const r = random.below(m);
        if (soft.allowed[v * m + r] === 1) soft.linkAfter(v, n + r);
      }
      for (let r = 0; r < m; r++) soft.refresh(r);
      const before = costOf(soft);
      descend();
      const after = costOf(soft);
      expect(after).toBeLessThanOrEqual(before);
      // Recomputed from the order alone, nothing changes.
      for (let r = 0; r < m; r++) soft.refresh(r);
      expect(costOf(soft)).toBeCloseTo(after, 6);
      const seen = Array.from({ length: m }, (_, r) => nodesOf(soft, r)).flat();
      expect(new Set(seen).size).toBe(seen.length);
      for (let r = 0; r < m; r++) {
        for (const u of nodesOf(soft, r)) if (u < n) expect(soft.allowed[u * m + r]).toBe(1);
        expect(soft.unloads[r]!).toBeLessThanOrEqual(problem.maxUnloads[r]!);
      }
      for (let v = 0; v < n; v++) {
        const canBe = Array.from({ length: m }, (_, r) => soft.allowed[v * m + r]).includes(1);
        if (problem.mandatory[v] && canBe) expect(soft.route[v]!).toBeGreaterThanOrEqual(0);
      }
    }),
    { numRuns: 150 },
  );
});
