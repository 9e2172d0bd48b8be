import fc from 'fast-check';
import { expect, test } from 'vitest';
import { seededRandom } from '../../../src/core/quantity/random.ts';
import { checkSolution } from '../../../src/core/routing/check.ts';
import { bestInsertion, insert, insertionCost } from '../../../src/core/routing/insertion.ts';
import { buildRoutingProblem } from '../../../src/core/routing/problem.ts';
import { planOf, setRound } from '../../../src/core/routing/round-plan.ts';
import {
  clearRound,
  copyRounds,
  createRounds,
  type Rounds,
  removalCost,
  remove,
  retime,
  sequenceOf,
  setLoad,
  totalCost,
} from '../../../src/core/routing/rounds.ts';
import { solutionOf } from '../../../src/core/routing/solution.ts';
import { randomInput } from './random-problem.ts';

const RUNS = Number(process.env['RUNS'] ?? 300);
const seeds = fc.integer({ min: 0, max: 2 ** 31 - 1 });

/** The checker must agree with the state about everything; it knows nothing of broken rounds, so they are left out. */
function expectAgreement(rounds: Rounds): void {
  const { problem } = rounds;
  if (rounds.broken.some((flag) => flag === 1)) return;
  const solution = solutionOf(rounds, createRounds(problem));
  const report = checkSolution(problem.input, {
    rounds: solution.rounds,
    leftOut: solution.leftOut.map((left) => left.visit),
  });
  expect(report.faults).toEqual([]);
  expect(report.cost).toBe(solution.cost);
  expect(report.distanceM).toBe(solution.distanceM);
  expect(totalCost(rounds)).toBe(report.cost + problem.penalty * report.unservedMandatory.length);
}

function randomNodeIn(rounds: Rounds, vehicle: number, below: (bound: number) => number): number {
  const nodes = sequenceOf(rounds, vehicle);
  return nodes[below(nodes.length - 1)]!;
}

test('the cost of any insertion and removal is exactly the change of cost, and the checker agrees', () => {
  fc.assert(
    fc.property(seeds, (seed) => {
      const random = seededRandom(seed);
      const input = randomInput(seed, { visits: 10, vehicles: 3 });
      const rounds = createRounds(buildRoutingProblem(input));
      for (let step = 0; step < 60; step++) {
        const visit = random.below(10);
        const before = totalCost(rounds);
        if (rounds.round[visit]! < 0) {
          const vehicle = random.below(3);
          const after = randomNodeIn(rounds, vehicle, random.below);
          const cost = insertionCost(rounds, visit, vehicle, after);
          if (cost === Number.POSITIVE_INFINITY) continue;
          insert(rounds, visit, vehicle, after);
          expect(totalCost(rounds) - before).toBe(cost);
        } else if (random.next() < 0.4) {
          const cost = removalCost(rounds, visit);
          remove(rounds, visit);
          if (cost < Number.POSITIVE_INFINITY) expect(totalCost(rounds) - before).toBe(cost);
        } else if (random.next() < 0.05) clearRound(rounds, rounds.round[visit]!);
        expectAgreement(rounds);
      }
    }),
    { numRuns: RUNS },
  );
});
