/**
 * The planner against proven optima: `npm run bench exact -- [--towns N] [--iterations N] [--json]`.
 * 1. tiny towns without production, 2 to 6 sites, one or two vans: a mixed-integer programme (`highs`);
 * 2. towns of 2 to 4 sites with production, promises, windows and breaks: every week there is.
 */
import { parseArgs } from 'node:util';
import { planWeek } from '../../src/core/planning/plan-week.ts';
import type { PlanningProblem } from '../../src/core/planning/problem.ts';
import { cheapestWeek } from '../core/planning/enumerate.ts';
import { cheapestByMip, tinyTown } from '../core/planning/optimum-by-mip.ts';
import { randomTown } from '../fixtures/planning-problems.ts';

const { values } = parseArgs({
  options: {
    towns: { type: 'string', default: '200' },
    iterations: { type: 'string', default: '400' },
    json: { type: 'boolean', default: false },
  },
});
const towns = Number(values.towns);
const iterations = Number(values.iterations);

const richTown = (seed: number): PlanningProblem =>
  randomTown(seed, {
    sites: 2 + (seed % 3),
    days: 3,
    promised: 0.3,
    usual: 0.3,
    published: seed % 2 ? 0.4 : 0,
    loadSpaceL: seed % 4 ? 9000 : 1000,
    shiftHours: seed % 7 ? 8 : 3,
  });

/** Rounding of parts and the solver's tolerance. */
const SAME_MICROS = 1000;

async function compare(
  name: string,
  townOf: (seed: number) => PlanningProblem,
  optimum: (town: PlanningProblem) => Promise<number> | number,
) {
  const gaps: number[] = [];
  let equal = 0;
  for (let seed = 1; seed <= towns; seed++) {
    const town = townOf(seed);
    const least = await optimum(town);
    const extra = planWeek(town, { seed, iterations }).costMicros - least;
    if (Math.abs(extra) <= SAME_MICROS) equal++;
    else if (!values.json)
      console.log(`${name}, town ${seed}: ${(extra / 1e6).toFixed(2)} over ${(least / 1e6).toFixed(2)}`);
    gaps.push(least === 0 ? 0 : (100 * extra) / Math.abs(least));
  }
  const meanGapPct = gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length;
  if (!values.json)
    console.log(
      `${name}: ${equal} of ${towns} at the optimum, mean gap ${meanGapPct.toFixed(3)} %, worst ${Math.max(...gaps).toFixed(2)} %`,
    );
  return { name, towns, equal, meanGapPct };
}

const results = [
  await compare('by a solver', tinyTown, cheapestByMip),
  await compare('by trying all', richTown, (town) => cheapestWeek(town).costMicros),
];
if (values.json) console.log(JSON.stringify({ iterations, results }));
