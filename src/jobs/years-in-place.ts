/** Drives the years world by world on the thread that calls it; lets go after every simulated week. */
import { setImmediate } from 'node:timers/promises';
import { runYears } from '../core/simulation/run-years.ts';
import type { YearsRunner } from '../usecases/keep-worth-run.ts';

export const yearsInPlace: YearsRunner = async (wanted, { onProgress, onWorld, signal }) => {
  const worlds = wanted.seeds.length;
  for (const [world, seed] of wanted.seeds.entries()) {
    const { years, isStopped } = await runYears(
      { ...wanted, seeds: [seed] },
      {
        progress: async (progress) => {
          onProgress({ ...progress, world, worlds, share: (world + progress.share) / worlds });
          await setImmediate();
        },
        isStopped: () => signal.aborted,
      },
    );
    if (isStopped) return;
    onWorld(years);
  }
};
