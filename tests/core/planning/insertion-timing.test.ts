import { expect, test } from 'vitest';
import { makeInsertionTiming } from '../../../src/core/planning/insertion-timing.ts';
import { withPromises } from '../../../src/core/planning/promises.ts';
import { MAX_STOPS } from '../../../src/core/planning/steps.ts';
import { layOutWeek } from '../../../src/core/planning/week.ts';
import { copyState, emptyState, insertStop } from '../../../src/core/planning/week-state.ts';
import { seededRandom } from '../../../src/core/quantity/random.ts';
import { randomTown } from '../../fixtures/planning-problems.ts';

// The other implementation: the timer, which drives the whole round, waits, breaks and all.
test('one more stop costs what the timer says of the whole round: windows, waiting, breaks, unloadings', () => {
  const random = seededRandom(5);
  let withBreak = 0;
  let waiting = 0;
  let impossible = 0;
  let compared = 0;
  for (let seed = 1; seed <= 25; seed++) {
    const town = randomTown(seed, { sites: 24, days: 2, promised: 0.4, radiusM: 4000 + 1500 * (seed % 8) });
    // Breaks that are due sooner, so that some rounds need two.
    const breakRule = { maxWorkS: [16_200, 9000, 5400][seed % 3]!, breakS: 900 };
    const { week } = withPromises(layOutWeek({ ...town, breakRule }));
    const { extraMicros } = makeInsertionTiming();
    const state = emptyState(week);
    const trial = emptyState(week);
    for (let site = 0; site < week.sites; site++) {
      const day = random.below(2);
      const shift = week.shiftsOfDay[day]![0]!;
      if (week.spans[site * week.days + day]!.length === 0) continue;
      const count = state.counts[shift]!;
      for (let at = 0; at <= count; at++)
        for (const unload of [0, 1, 2] as const) {
          const said = extraMicros(state, shift, site, at, unload);
          copyState(trial, state);
          insertStop(trial, shift, at, site, unload);
          expect(said).toBe(trial.roundMicros[shift]! - state.roundMicros[shift]!);
          compared++;
          if (said === Infinity) impossible++;
          else {
            if (trial.waitS[shift]! > 0) waiting++;
            trial.timer.lay(week.shifts[shift]!, trial.orders, shift * MAX_STOPS, trial.counts[shift]!);
            if (trial.timer.table.breaks > 0) withBreak++;
          }
        }
      // Mostly into some place where it can be driven, so that rounds grow.
      for (let tries = 0; tries < 4; tries++) {
        const at = random.below(state.counts[shift]! + 1);
        if (extraMicros(state, shift, site, at, 0) === Infinity) continue;
        insertStop(state, shift, at, site, 0);
        break;
      }
    }
  }
  expect(compared).toBeGreaterThan(3000);
  for (const kind of [withBreak, waiting, impossible]) expect(kind).toBeGreaterThan(300);
});
