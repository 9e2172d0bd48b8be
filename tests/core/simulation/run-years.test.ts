import { expect, test } from 'vitest';
import { USUAL_PLANNER } from '../../../src/core/simulation/planner-policy.ts';
import { runYears, type YearsProgress } from '../../../src/core/simulation/run-years.ts';
import { USUAL_WORLD } from '../../../src/core/simulation/world.ts';

const wanted = {
  seeds: [3, 4],
  policies: ['call', 'nearest'] as const,
  world: { ...USUAL_WORLD, donors: 8, weeks: 4 },
  planner: USUAL_PLANNER,
};

test('tells of every week of every year, up to the whole', async () => {
  const told: YearsProgress[] = [];
  const { years, isStopped } = await runYears(wanted, { progress: (step) => void told.push(step) });
  expect(isStopped).toBe(false);
  expect(years.map(({ seed, policy }) => `${seed} ${policy}`)).toEqual([
    '3 call',
    '3 nearest',
    '4 call',
    '4 nearest',
  ]);
  expect(told.map((step) => step.share)).toEqual(Array.from({ length: 16 }, (_, i) => (i + 1) / 16));
  expect(told[5]).toEqual({ world: 0, worlds: 2, policy: 'nearest', weeksDone: 2, weeks: 4, share: 6 / 16 });
});

test('stops after the week in which it is asked to, with the years that are whole', async () => {
  let weeks = 0;
  const { years, isStopped } = await runYears(wanted, {
    progress: () => void weeks++,
    isStopped: () => weeks === 6,
  });
  expect(isStopped).toBe(true);
  expect(weeks).toBe(6);
  expect(years.map(({ seed, policy }) => `${seed} ${policy}`)).toEqual(['3 call']);
});
