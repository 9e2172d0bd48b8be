import fc from 'fast-check';
import { expect, test } from 'vitest';
import { seededRandom } from '../../../src/core/quantity/random.ts';
import { bestInsertion } from '../../../src/core/routing/best-insertion.ts';
import { checkSolution } from '../../../src/core/routing/check.ts';
import { insert, insertionCost } from '../../../src/core/routing/insertion.ts';
import { setLoad } from '../../../src/core/routing/loads.ts';
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

test('a bound on the cost of an insertion changes no answer below the bound', () => {
  fc.assert(
    fc.property(seeds, (seed) => {
      const { rounds, random } = filled(seed);
      for (let v = 0; v < rounds.problem.visits; v++) {
        if (rounds.round[v]! >= 0) continue;
        const vehicle = random.below(3);
        // Breaks may move to a cheaper place only if the answer without moving them is below the bound.
        if (rounds.breaks[vehicle]! > 0) continue;
        const after = randomNodeIn(rounds, vehicle, random.below);
        const cost = insertionCost(rounds, v, vehicle, after);
        const bound = random.below(8000) - 4000;
        const bounded = insertionCost(rounds, v, vehicle, after, bound);
        if (cost < bound) expect(bounded).toBe(cost);
        else expect(bounded).toBeGreaterThanOrEqual(bound);
      }
    }),
    { numRuns: RUNS },
  );
});

test('the best insertion is the cheapest of all positions', () => {
  fc.assert(
    fc.property(seeds, (seed) => {
      const { rounds } = filled(seed);
      for (let v = 0; v < rounds.problem.visits; v++)
        for (let r = 0; r < rounds.problem.vehicles; r++) {
          if (rounds.round[v]! >= 0 || rounds.breaks[r]! > 0) continue;
          const costs = sequenceOf(rounds, r)
            .slice(0, -1)
            .map((after) => insertionCost(rounds, v, r, after));
          expect(bestInsertion(rounds, v, r)).toBe(Math.min(...costs));
        }
    }),
    { numRuns: RUNS },
  );
});

test('a round rebuilt from its plan is the same round', () => {
  fc.assert(
    fc.property(seeds, (seed) => {
      const { rounds } = filled(seed);
      const again = createRounds(rounds.problem);
      for (let r = 0; r < rounds.problem.vehicles; r++) {
        expect(setRound(again, planOf(rounds, r))).toBe(true);
        if (rounds.breaks[r] === 0) expect(again.roundCost[r]).toBe(rounds.roundCost[r]);
        else expect(again.roundCost[r]).toBeLessThanOrEqual(rounds.roundCost[r]!);
      }
      expectAgreement(again);
    }),
    { numRuns: RUNS },
  );
});

test('choosing windows and breaks anew never makes a round dearer', () => {
  fc.assert(
    fc.property(seeds, (seed) => {
      const { rounds } = filled(seed);
      const before = totalCost(rounds);
      for (let r = 0; r < rounds.problem.vehicles; r++) retime(rounds, r);
      expect(totalCost(rounds)).toBeLessThanOrEqual(before);
      expectAgreement(rounds);
    }),
    { numRuns: RUNS },
  );
});

test('a copy holds what the original held, and goes its own way', () => {
  const { rounds } = filled(7);
  const copy = createRounds(rounds.problem);
  copyRounds(copy, rounds);
  expect([...copy.ints]).toEqual([...rounds.ints]);
  const cost = totalCost(copy);
  remove(
    rounds,
    rounds.round.findIndex((r, v) => r >= 0 && v < rounds.problem.visits),
  );
  expect(totalCost(copy)).toBe(cost);
  expectAgreement(copy);
});

test('a load changed in a round counts as if the visit had always had it', () => {
  fc.assert(
    fc.property(seeds, (seed) => {
      const { rounds, random } = filled(seed);
      const visit = random.below(rounds.problem.visits);
      const [a, b] = [random.below(9), random.below(9)];
      setLoad(rounds, visit, a, b);
      const vehicle = rounds.round[visit]!;
      if (vehicle < 0) return;
      // Sums by hand: from each unloading to the node.
      let sumA = 0;
      let sumB = 0;
      for (const node of sequenceOf(rounds, vehicle)) {
        const { unloadNode, breakNode, visits } = rounds.problem;
        if (node >= unloadNode[vehicle]! && node < breakNode[vehicle]!) sumA = sumB = 0;
        if (node < visits) {
          sumA += rounds.loadA[node]!;
          sumB += rounds.loadB[node]!;
        }
        expect(rounds.sumA[node]).toBe(sumA);
        expect(rounds.sumB[node]).toBe(sumB);
      }
      const cost = totalCost(rounds);
      setLoad(rounds, visit, rounds.problem.loadA[visit]!, rounds.problem.loadB[visit]!);
      expect(totalCost(rounds)).toBe(cost);
      expectAgreement(rounds);
    }),
    { numRuns: RUNS },
  );
});

test('nonsense is refused with what was given and what may be', () => {
  const input = randomInput(1, { visits: 3, vehicles: 1 });
  const build = (change: object): unknown =>
    buildRoutingProblem({ ...input, visits: [{ ...input.visits[0]!, ...change }] });
  expect(() => build({ serviceS: 1.5 })).toThrow(
    'visit 0: serviceS is 1.5; it must be a whole number from 0',
  );
  expect(() => build({ place: 9 })).toThrow('visit 0: place is 9; it must be a whole number from 0 to 2');
  expect(() => build({ loadA: Number.NaN })).toThrow('loadA is NaN');
  expect(() => build({ windows: [{ fromS: 5, untilS: 3 }] })).toThrow('ends at 3, before it starts at 5');
  expect(() =>
    build({
      windows: [
        { fromS: 5, untilS: 8 },
        { fromS: 8, untilS: 9 },
      ],
    }),
  ).toThrow('not after 8');
  const travel = { ...input.travel, legM: input.travel.legM.slice(1) };
  expect(() => buildRoutingProblem({ ...input, travel })).toThrow('legM has 8 legs, 3 places need 9');
});

/** Ten visits on three vehicles, inserted at random places. */
function filled(seed: number): { rounds: Rounds; random: ReturnType<typeof seededRandom> } {
  const random = seededRandom(seed);
  const rounds = createRounds(buildRoutingProblem(randomInput(seed, { visits: 10, vehicles: 3 })));
  for (let k = 0; k < 30; k++) {
    const visit = random.below(10);
    const vehicle = random.below(3);
    if (rounds.round[visit]! >= 0) continue;
    const after = randomNodeIn(rounds, vehicle, random.below);
    if (insertionCost(rounds, visit, vehicle, after) < Number.POSITIVE_INFINITY)
      insert(rounds, visit, vehicle, after);
  }
  return { rounds, random };
}
