/** Drives the years world by world on the thread that calls it; lets go after every simulated week. */
import { setImmediate } from 'node:timers/promises';
import type { PolicyName } from '../core/simulation/policies.ts';
import { runYears, type YearsProgress } from '../core/simulation/run-years.ts';
import type { YearsRunner } from '../usecases/keep-worth-run.ts';

/** A planner's year takes about so many times as long as one by a rule of thumb (measured): for a share that tells. */
const PLANNER_TIMES = 20;
const weightOf = (policy: PolicyName): number => (policy === 'planner' ? PLANNER_TIMES : 1);

export const yearsInPlace: YearsRunner = async (wanted, { onProgress, onWorld, signal }) => {
  const { policies, seeds } = wanted;
  const worlds = seeds.length;
  const sum = (some: readonly PolicyName[]): number => some.reduce((total, one) => total + weightOf(one), 0);
  const shareOf = ({ policy, weeksDone, weeks }: YearsProgress): number =>
    (sum(policies.slice(0, policies.indexOf(policy))) + (weightOf(policy) * weeksDone) / weeks) /
    sum(policies);
  for (const [world, seed] of seeds.entries()) {
    const { years, isStopped } = await runYears(
      { ...wanted, seeds: [seed] },
      {
        progress: async (progress) => {
          onProgress({ ...progress, world, worlds, share: (world + shareOf(progress)) / worlds });
          await setImmediate();
        },
        isStopped: () => signal.aborted,
      },
    );
    if (isStopped) return;
    onWorld(years);
  }
};
