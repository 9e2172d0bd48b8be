/** Instances that come from a rule instead of a file. */
import { seededRandom } from '../../src/core/quantity/random.ts';
import type { VehicleInput } from '../../src/core/routing/problem.ts';
import { capacitated, type Instance, matrix, plainVehicle, plainVisit, planeM } from './instances.ts';

/**
 * A made-up working day: stops in a town of 12 by 12 km with two loads, half of them with a window of two hours, for three
 * paid vans of two kinds with a break rule and a second trip; `plain`: for alike vans of which only the metres are paid. Not published: the yardstick is its own long run.
 */
export function workingDay(stops: number, seed: number, plain: boolean): Instance {
  const random = seededRandom(seed);
  const points = Array.from({ length: stops + 1 }, (): [number, number] => [
    random.next() * 12_000,
    random.next() * 12_000,
  ]);
  const legM = matrix(points, (a, b) => Math.round(1.3 * Math.hypot(a[0] - b[0], a[1] - b[1])));
  const plainVan: VehicleInput = {
    ...plainVehicle(400),
    capacityB: 5000,
    shiftStartS: 8 * 3600,
    shiftEndS: 16 * 3600,
  };
  const van = (kind: number): VehicleInput => ({
    ...plainVehicle(kind === 0 ? 400 : 250),
    capacityB: kind === 0 ? 5000 : 4000,
    shiftStartS: 8 * 3600,
    shiftEndS: 16 * 3600,
    maxOvertimeS: 3600,
    costPerOvertimeS: 9,
    costPerM: kind === 0 ? 3 : 2,
    costPerS: 6,
    fixedCost: 20_000,
    unload: { place: 0, serviceS: 900, windows: [], cost: 0, maxTrips: 2, atEnd: true },
    breakRule: { maxWorkS: 5 * 3600, breakS: 1800 },
  });
  return {
    name: `${plain ? 'plain-' : ''}day-${stops}-${seed}`,
    scale: 1,
    rounding: 'nearest whole',
    input: {
      travel: { places: stops + 1, legM, legS: legM.map((m) => Math.round(m / 7)) },
      visits: Array.from({ length: stops }, (_, v) => {
        const fromS = (8 + random.below(7)) * 3600;
        return {
          ...plainVisit(v + 1, 5 + random.below(40)),
          loadB: 50 + random.below(500),
          serviceS: 300 + random.below(600),
          windows: v % 2 === 0 ? [{ fromS, untilS: fromS + 7200 }] : [],
        };
      }),
      vehicles: plain ? Array.from({ length: 8 }, () => plainVan) : [0, 0, 1].map(van),
    },
  };
}

/** Capacity, longest route and best value told, by rings of 40 stops. */
const RINGS: { readonly [rings: number]: readonly [capacity: number, limit: number, best: number] } = {
  22: [1800, 2800, 26_565.92],
  26: [2100, 3200, 31_742.64],
  30: [2500, 3600, 36_919.24],
};

/**
 * Large problems with a limit on a route's length: 40 stops on each of so many rings around the depot, after the generator of
 * Golden, Wasil, Kelly & Chao (1998) and Li, Golden & Wasil (2005), Computers & OR 32(5). Rule, limits and values from
 * memory, not checked against the papers.
 */
export function rings(count: number): Instance & { readonly best: number } {
  const limits = RINGS[count];
  if (!limits) throw new Error(`rings of ${count}: there are ${Object.keys(RINGS).join(', ')}`);
  const [capacity, limit, best] = limits;
  const points: [number, number][] = [[0, 0]];
  const demands: number[] = [];
  for (let ring = 1; ring <= count; ring++)
    for (let k = 0; k < 40; k++) {
      const turn = (2 * Math.PI * k) / 40;
      points.push([30 * ring * Math.cos(turn), 30 * ring * Math.sin(turn)]);
      demands.push(k % 4 === 1 || k % 4 === 2 ? 30 : 10);
    }
  const legs = planeM(points, 'thousandth');
  const input = capacitated(legs, demands, capacity);
  return {
    name: `rings-${count}`,
    scale: 1000,
    rounding: 'nearest thousandth',
    best,
    input: {
      ...input,
      travel: { ...input.travel, legS: legs },
      vehicles: input.vehicles.map((v) => ({ ...v, shiftEndS: limit * 1000 })),
    },
  };
}
