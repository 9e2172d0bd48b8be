import { expect, test } from 'vitest';
import { driveRound } from '../../../src/core/simulation/drive-round.ts';
import { TO_WORKSHOP } from '../../../src/core/simulation/policy.ts';
import { makeWorld, USUAL_WORLD, type World } from '../../../src/core/simulation/world.ts';

/** Three sites on a line 13 km apart by road, nobody misses, plenty of room. */
function line(over: Partial<World> = {}): World {
  const world = makeWorld(1, { ...USUAL_WORLD, donors: 3, weeks: 2 });
  const km = [0, 10, 20, 30];
  const legM = Int32Array.from(km.flatMap((a) => km.map((b) => 1000 * Math.abs(a - b))));
  return {
    ...world,
    travel: { places: 4, legM, legS: legM.map((m) => (60 * m) / 1000) },
    sites: world.sites.map((site) => ({
      ...site,
      serviceS: 600,
      capacityKg: 90,
      isOpen: site.isOpen.map(() => true),
      closed: undefined,
      missDraw: site.missDraw.map(() => 0.5),
    })),
    ...over,
  };
}
const waiting = (...kg: number[]) => kg.map((waitingKg) => ({ waitingKg, besideKg: 0 }));

test('a round out and back: 60 km, an hour of driving, three stops of ten minutes, one unloading', () => {
  const world = line();
  const { stops, distanceM, workS, unloadings } = driveRound(world, 0, [0, 1, 2], waiting(10, 20, 30));
  expect(stops.map((stop) => stop.takenKg)).toEqual([10, 20, 30]);
  expect(distanceM).toBe(60_000);
  expect(workS).toBe(60 * 60 + 3 * 600 + world.prices.unloadS);
  expect(unloadings).toBe(1);
});

test('a van that is full unloads before the next stop, and takes only what it has room for', () => {
  const world = line();
  const van = { ...world.van, payloadKg: 100, loadSpaceL: 1e6 };
  const now = waiting(80, 80, 30);
  // 80, then 20 of 80: full. Home (20 km), unload, and out to the last (30 km).
  const { stops, distanceM, unloadings } = driveRound({ ...world, van }, 0, [0, 1, 2], now);
  expect(stops.map(({ takenKg, leftKg }) => [takenKg, leftKg])).toEqual([
    [80, 0],
    [20, 60],
    [30, 0],
  ]);
  expect(unloadings).toBe(2);
  expect(distanceM).toBe(20_000 + 20_000 + 30_000 + 30_000);
  expect(now.map((site) => site.waitingKg)).toEqual([0, 60, 0]);
});

test('a stop from which the van would be back too late is left out; a long day has its break', () => {
  const world = line();
  const slow = { ...world.travel, legS: world.travel.legS.map((s) => 6 * s) };
  // One hour to the first, two to the second, three to the third; 8 h 30 with overtime.
  const far = driveRound({ ...world, travel: slow }, 0, [0, 1, 2], waiting(10, 10, 10));
  expect(far.stops.map((stop) => stop.site)).toEqual([0, 1, 2]);
  expect(far.workS).toBe(6 * 3600 + 3 * 600 + world.prices.unloadS + world.breakRule.breakS);
  const farther = { ...world.travel, legS: world.travel.legS.map((s) => 8 * s) };
  const cut = driveRound({ ...world, travel: farther }, 0, [0, 1, 2], waiting(10, 10, 10));
  expect(cut.stops.map((stop) => stop.site)).toEqual([0, 1]);
});

test('sacks beside the container go first; what stays is in the container', () => {
  const world = line();
  const van = { ...world.van, payloadKg: 100, loadSpaceL: 1e6 };
  const now = [{ waitingKg: 70, besideKg: 50 }];
  driveRound({ ...world, van }, 0, [0], now);
  expect(now).toEqual([{ waitingKg: 20, besideKg: 0 }]);
});

test('a planned unloading with nothing on board is not driven', () => {
  const { unloadings } = driveRound(
    line(),
    0,
    [TO_WORKSHOP, 0, TO_WORKSHOP, TO_WORKSHOP, 1],
    waiting(5, 5, 5),
  );
  expect(unloadings).toBe(2);
});

test('few stops that a full van has no room for wait for another day; the next trip is driven', () => {
  const world = line();
  const van = { ...world.van, payloadKg: 100, loadSpaceL: 1e6 };
  const round = (order: readonly number[], leavesAtMost: number) => {
    const now = waiting(100, 80, 30);
    const { stops, unloadings, distanceM } = driveRound({ ...world, van }, 0, order, now, leavesAtMost);
    return {
      sites: stops.map((stop) => stop.site),
      unloadings,
      km: distanceM / 1000,
      left: now[1]!.waitingKg,
    };
  };
  // Full after the first. One stop is left of the trip: it waits, and the van goes out to the third: 20 + 60 km.
  expect(round([0, 1, TO_WORKSHOP, 2], 1)).toEqual({ sites: [0, 2], unloadings: 2, km: 80, left: 80 });
  // Two are left where nothing parts them: too many for one, few enough for two.
  expect(round([0, 1, 2], 1)).toMatchObject({ sites: [0, 1, 2], unloadings: 2, left: 0 });
  expect(round([0, 1, 2], 2)).toEqual({ sites: [0], unloadings: 1, km: 20, left: 80 });
  expect(round([0, 1, TO_WORKSHOP, 2], 0)).toMatchObject({ sites: [0, 1, 2], unloadings: 3 });
});
