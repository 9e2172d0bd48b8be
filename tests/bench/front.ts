/**
 * The front: kilometres a tonne against days of overflow, for the planner at several prices of overflow and for every rule
 * of thumb at several settings of its own: `npm run bench front -- --seeds 1,101,102,103 --weeks 30 --iterations 300
 * --donors 60 [--policy P,…] [--json]`. Then what the planner drives at the overflow of each of the others.
 */
import { parseArgs } from 'node:util';
import { kmAtOverflow, settingsOf } from '../../src/core/simulation/front.ts';
import { USUAL_PLANNER } from '../../src/core/simulation/planner-policy.ts';
import { estimate, figuresOf } from '../../src/core/simulation/report.ts';
import { makeWorld, USUAL_WORLD } from '../../src/core/simulation/world.ts';
import { simulateYear } from '../../src/core/simulation/year.ts';

const { values } = parseArgs({
  options: {
    seeds: { type: 'string', default: '1,101,102,103' },
    weeks: { type: 'string', default: '30' },
    iterations: { type: 'string', default: '300' },
    donors: { type: 'string', default: String(USUAL_WORLD.donors) },
    policy: { type: 'string' },
    json: { type: 'boolean', default: false },
  },
});
const seeds = values.seeds.split(',').map(Number);
const weeks = Number(values.weeks);
const iterations = Number(values.iterations);
const donors = Number(values.donors);
if (![...seeds, weeks, iterations, donors].every(Number.isInteger)) {
  console.error('--seeds, --weeks, --iterations and --donors take whole numbers.');
  process.exit(2);
}
const wanted = values.policy?.split(',');

const points = settingsOf({ ...USUAL_PLANNER, iterations })
  .filter(({ policy }) => !wanted || wanted.includes(policy))
  .map(({ policy, setting, make }) => {
    const worlds = seeds.map((seed) => {
      const world = makeWorld(seed, { ...USUAL_WORLD, weeks, donors });
      const year = simulateYear(world, make(world));
      let step = year.next();
      while (!step.done) step = year.next();
      return { seed, ...figuresOf(step.value) };
    });
    const figures = {
      kmPerTonne: estimate(worlds.map((world) => world.kmPerTonne)),
      overflowDays: estimate(worlds.map((world) => world.overflowDays)),
      moneyPerTonne: estimate(worlds.map((world) => world.moneyPerTonne)),
    };
    if (!values.json)
      console.log(
        `${policy.padEnd(8)} ${setting.padEnd(36)} ${figures.kmPerTonne.mean.toFixed(0).padStart(4)} km/t ${figures.overflowDays.mean.toFixed(0).padStart(5)} days ${figures.moneyPerTonne.mean.toFixed(0).padStart(5)} money/t`,
      );
    return { policy, setting, figures, worlds };
  });

const frontOf = (policy: string) =>
  points
    .filter((point) => point.policy === policy)
    .map(({ figures }) => ({
      kmPerTonne: figures.kmPerTonne.mean,
      overflowDays: figures.overflowDays.mean,
    }));
const planner = frontOf('planner');
const atSameOverflow = points
  .filter(({ policy }) => policy !== 'planner')
  .map(({ policy, setting, figures }) => {
    const km = kmAtOverflow(planner, figures.overflowDays.mean);
    return { policy, setting, plannerKmRatio: km === undefined ? null : km / figures.kmPerTonne.mean };
  });
if (values.json) console.log(JSON.stringify({ seeds, weeks, iterations, donors, points, atSameOverflow }));
else
  for (const { policy, setting, plannerKmRatio } of atSameOverflow)
    console.log(
      `at the overflow of ${policy}, ${setting}: ${plannerKmRatio === null ? 'beyond the planner’s prices' : `the planner drives ${plannerKmRatio.toFixed(2)} of the km`}`,
    );
