/**
 * How fast the planner is, on drawn towns: `npm run bench planner -- [--sites 50,200,1000,5000] [--days N]
 * [--long ITERATIONS-PER-SITE] [--json]`.
 * CPU time of this process; every size in a process of its own, so that memory is its own too. "First" is until the
 * first whole week; "near" is the shortest of the runs that ends within 2 % of the longest; days of one van for 60 sites.
 */
import { execFileSync } from 'node:child_process';
import { parseArgs } from 'node:util';
import { checkPlan } from '../../src/core/planning/check.ts';
import { planWeek } from '../../src/core/planning/plan-week.ts';
import { randomTown } from '../fixtures/planning-problems.ts';

const { values } = parseArgs({
  options: {
    sites: { type: 'string', default: '50,60,200,1000,5000' },
    days: { type: 'string', default: '7' },
    long: { type: 'string', default: '64' },
    json: { type: 'boolean', default: false },
    one: { type: 'string' },
  },
});
const days = Number(values.days);
/** Iterations per site; the last is the long run. */
const PER_SITE = [0, 1, 2, 4, 8, 16, 32, 64, 128, 256].filter((perSite) => perSite <= Number(values.long));
/** The checker sorts all neighbours of all sites, on purpose: slow, for it shares nothing with the planner. */
const MOST_CHECKED = 1000;

const cpuMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

function measure(sites: number) {
  planWeek(randomTown(99, { sites: 20, days: 5 }), { seed: 1, iterations: 300 }); // warm
  const town = randomTown(1, {
    sites,
    days,
    vans: Math.ceil(sites / 60),
    promised: 0.1,
    usual: 0.1,
    radiusM: 9000 * Math.sqrt(sites / 60),
  });
  const heldMb = (): number => {
    const { heapUsed, arrayBuffers } = process.memoryUsage();
    return (heapUsed + arrayBuffers) / 2 ** 20;
  };
  const townMb = heldMb();
  let mostMb = 0;
  const runs = [];
  for (const perSite of PER_SITE) {
    const iterations = perSite * sites;
    const startMs = cpuMs();
    let firstMs = 0;
    let searchMs = 0;
    const plan = planWeek(
      town,
      { seed: 1, iterations },
      {
        progress: ({ iteration }) => {
          firstMs ||= cpuMs() - startMs;
          searchMs = cpuMs() - startMs;
          if (iteration % 4096 === 0) mostMb = Math.max(mostMb, heldMb() - townMb);
        },
      },
    );
    const faults = sites <= MOST_CHECKED ? checkPlan(town, plan).length : undefined;
    runs.push({ perSite, iterations, firstMs, searchMs, costMicros: plan.costMicros, faults });
  }
  const best = Math.min(...runs.map((run) => run.costMicros));
  const near = runs.find((run) => run.costMicros <= 1.02 * best)!;
  return {
    sites,
    days,
    runs: runs.map((run) => ({ ...run, gapPct: 100 * (run.costMicros / best - 1) })),
    firstMs: runs[0]!.firstMs,
    nearMs: near.searchMs,
    memoryMb: mostMb,
  };
}
type Measured = ReturnType<typeof measure>;

if (values.one !== undefined) console.log(JSON.stringify(measure(Number(values.one))));
else {
  const all = values.sites.split(',').map((sites): Measured => {
    const args = [
      ...process.execArgv,
      'tests/bench/run.ts',
      'planner',
      '--one',
      sites,
      '--days',
      String(days),
      '--long',
      values.long,
    ];
    const measured: Measured = JSON.parse(
      execFileSync(process.execPath, args, { encoding: 'utf8', maxBuffer: 1 << 26 }),
    );
    if (!values.json) print(measured);
    return measured;
  });
  if (values.json) console.log(JSON.stringify({ sizes: all }));
}

function print({ sites, runs, firstMs, nearMs, memoryMb }: Measured): void {
  console.log(
    `${sites} sites x ${days} days: first ${firstMs.toFixed(0)} ms, within 2 % after ${nearMs.toFixed(0)} ms (${((1000 * nearMs) / (sites * Math.log2(sites))).toFixed(0)} us a site and doubling), ${memoryMb.toFixed(0)} MB`,
  );
  for (const { iterations, searchMs, gapPct, faults } of runs)
    console.log(
      `  ${String(iterations).padStart(7)} iterations: ${searchMs.toFixed(0)} ms, gap ${gapPct.toFixed(2)} %${faults === undefined ? '' : `, faults ${faults}`}`,
    );
}
