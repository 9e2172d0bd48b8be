import { expect, test } from 'vitest';
import { unavoidableKg } from '../../../src/core/simulation/unavoidable.ts';
import { makeWorld, USUAL_WORLD } from '../../../src/core/simulation/world.ts';

// Worked by hand. One site, one grade, nothing thrown out. Waiting 5, stock 4; 3 kg come each day but the event's 10 on day 1.
test('what comes to nobody cannot be fetched', () => {
  const drawn = makeWorld(1, { ...USUAL_WORLD, donors: 1, weeks: 2 });
  const world = {
    ...drawn,
    days: 4,
    prices: { ...drawn.prices, contaminationShare: 0 },
    sites: [
      {
        ...drawn.sites[0]!,
        shares: [1],
        massByDayKg: Float64Array.from([3, 3, 3, 3]),
        events: [{ from: 1, until: 1, announcedOn: 0, announcedKg: 10, kgByDay: [10] }],
      },
    ],
    drawKg: [[20], [10], [8], [5]],
  };
  // Day 0: 4 + 5 + 3 = 12 of 20, 8 missing. Day 1: 13 of 10. Day 2: 3 + 3 = 6 of 8, 2 missing. Day 3: 3 of 5, 2 missing.
  expect(unavoidableKg(world, 0, [{ waitingKg: 5, besideKg: 0 }], [4])).toBe(12);
  // From day 2 with nothing: 5 and 2 are missing.
  expect(unavoidableKg(world, 2, [{ waitingKg: 0, besideKg: 0 }], [0])).toBe(7);
});
