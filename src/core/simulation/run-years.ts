/**
 * Many simulated years in a row: every policy through every world, with word of how far it is and a way to stop.
 * Both a command and a thread drive it; it lets go (`await`) after every simulated week, so that either can answer.
 */

import type { PlannerOptions } from './planner-policy.ts';
import { makePolicy, type PolicyName } from './policies.ts';
import { makeWorld, type WorldOptions } from './world.ts';
import { simulateYear } from './year.ts';
import type { YearResult } from './year-result.ts';

export type YearsWanted = {
  /** One drawn world a seed. */
  readonly seeds: readonly number[];
  readonly policies: readonly PolicyName[];
  readonly world: WorldOptions;
  readonly planner: PlannerOptions;
};

/** A year in the making. Years come world by world, and policy by policy in each. */
export type YearsProgress = {
  readonly world: number; // 0 is the first
  readonly worlds: number;
  readonly policy: PolicyName;
  readonly weeksDone: number; // of this year
  readonly weeks: number;
  /** Of everything, 0 to 1, each year counted alike. */
  readonly share: number;
};

export type YearsHooks = {
  /** After every simulated week; it may take its time. */
  readonly progress?: (progress: YearsProgress) => void | Promise<void>;
  /** Asked after every simulated week: true ends it with the years that are whole. */
  readonly isStopped?: () => boolean;
};

/** @returns the years that were driven to their end, and whether that was all of them */
export async function runYears(
  { seeds, policies, world: options, planner }: YearsWanted,
  { progress, isStopped }: YearsHooks = {},
): Promise<{ readonly years: readonly YearResult[]; readonly isStopped: boolean }> {
  const { weeks } = options;
  const years: YearResult[] = [];
  const total = seeds.length * policies.length * weeks;
  for (const [k, seed] of seeds.entries()) {
    const world = makeWorld(seed, options);
    for (const policy of policies) {
      const year = simulateYear(world, makePolicy(policy, planner));
      let step = year.next();
      for (; !step.done; step = year.next()) {
        if (step.value % 7 !== 6) continue;
        const weeksDone = (step.value + 1) / 7;
        const share = (years.length * weeks + weeksDone) / total;
        await progress?.({ world: k, worlds: seeds.length, policy, weeksDone, weeks, share });
        if (isStopped?.()) return { years, isStopped: true };
      }
      years.push(step.value);
    }
  }
  return { years, isStopped: false };
}
