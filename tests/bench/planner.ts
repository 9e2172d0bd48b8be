/**
 * How fast the planner is, on drawn towns: `npx node tests/bench/planner.ts [sites] [days]`.
 * CPU time of this thread; "first" is until the first whole week, "gap" against the longest run.
 */
import { checkPlan } from '../../src/core/planning/check.ts';
import { planWeek } from '../../src/core/planning/plan-week.ts';
import { randomTown } from '../fixtures/planning-problems.ts';

const sites = Number(process.argv[2] ?? 60);
const days = Number(process.argv[3] ?? 7);
const cpuMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};
planWeek(randomTown(99, { sites: 20, days: 5 }), { seed: 1, iterations: 300 }); // warm

for (const [name, options] of [
  ['one van, roomy', { vans: 1, loadSpaceL: 20_000 }],
  ['two vans, tight', { vans: 2, loadSpaceL: 4000 }],
] as const) {
  const town = randomTown(1, { sites, days, promised: 0.1, usual: 0.1, ...options });
  const runs = [0, 500, 2000, 8000, 30_000].map((iterations) => {
    const startMs = cpuMs();
    let firstMs = 0;
    const plan = planWeek(
      town,
      { seed: 1, iterations },
      {
        progress: () => {
          firstMs ||= cpuMs() - startMs;
        },
      },
    );
    return {
      iterations,
      firstMs,
      allMs: cpuMs() - startMs,
      cost: plan.costMicros,
      faults: checkPlan(town, plan).length,
    };
  });
  const best = Math.min(...runs.map((run) => run.cost));
  console.log(`${name}: ${sites} sites x ${days} days, best ${(best / 1e6).toFixed(2)}`);
  for (const { iterations, firstMs, allMs, cost, faults } of runs)
    console.log(
      `  ${String(iterations).padStart(6)} iterations: first ${firstMs.toFixed(0)} ms, all ${allMs.toFixed(0)} ms, ` +
        `gap ${(100 * (cost / best - 1)).toFixed(2)} %, faults ${faults}`,
    );
}
