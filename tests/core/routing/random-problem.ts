/** Small random problems with every feature of the kernel switched on, for property tests. */
import { seededRandom } from '../../../src/core/quantity/random.ts';
import type {
  RoutingInput,
  StartWindow,
  VehicleInput,
  VisitInput,
} from '../../../src/core/routing/problem.ts';

export type Size = { readonly visits: number; readonly vehicles: number };

/** Legs are minutes on a plane, one way a bit longer than the other; the triangle inequality holds but for rounding. */
export function randomInput(seed: number, { visits, vehicles }: Size): RoutingInput {
  const random = seededRandom(seed);
  const between = (least: number, most: number): number => least + random.below(most - least + 1);
  const places = Math.max(3, visits + 1 - random.below(2));
  const x = Array.from({ length: places }, () => between(0, 60));
  const y = Array.from({ length: places }, () => between(0, 60));
  const legM = new Int32Array(places * places);
  const legS = new Int32Array(places * places);
  for (let i = 0; i < places; i++)
    for (let j = 0; j < places; j++) {
      const d = Math.hypot(x[i]! - x[j]!, y[i]! - y[j]!);
      legM[i * places + j] = Math.round(d * 10 + (i < j ? 0 : d / 2));
      legS[i * places + j] = Math.round(d * (i < j ? 1 : 1.3));
    }
  const windowsIn = (fromS: number, untilS: number, most: number): StartWindow[] => {
    const count = random.below(most + 1);
    const cuts = Array.from({ length: 2 * count }, () => between(fromS, untilS)).sort((a, b) => a - b);
    const windows: StartWindow[] = [];
    for (let k = 0; k < count; k++) {
      const window = { fromS: cuts[2 * k]!, untilS: cuts[2 * k + 1]! + 5 };
      if ((windows.at(-1)?.untilS ?? -1) < window.fromS) windows.push(window);
    }
    return windows;
  };
  return {
    travel: { places, legM, legS },
    visits: Array.from({ length: visits }, (_, v): VisitInput => {
      const barred = random.next() < 0.15 ? [random.below(vehicles)] : [];
      return {
        place: 1 + (v % (places - 1)),
        loadA: between(1, 10),
        loadB: between(0, 12),
        serviceS: between(0, 15),
        windows: random.next() < 0.6 ? windowsIn(0, 700, 3) : [],
        mandatory: random.next() < 0.5,
        prize: between(0, 4000),
        barredVehicles: barred,
      };
    }),
    vehicles: Array.from({ length: vehicles }, (): VehicleInput => {
      const shiftStartS = between(0, 100);
      const shiftEndS = shiftStartS + between(100, 600);
      return {
        startPlace: 0,
        endPlace: random.next() < 0.8 ? 0 : 1,
        shiftStartS,
        shiftEndS,
        maxOvertimeS: random.next() < 0.5 ? 0 : between(1, 60),
        costPerOvertimeS: between(0, 9),
        capacityA: between(10, 25),
        capacityB: between(10, 40),
        costPerM: between(0, 3),
        costPerS: between(0, 5),
        fixedCost: between(0, 500),
        ...(random.next() < 0.6 && {
          unload: {
            place: random.next() < 0.7 ? 0 : 2,
            serviceS: between(0, 20),
            windows: random.next() < 0.4 ? windowsIn(0, 700, 2) : [],
            cost: between(0, 100),
            maxTrips: between(1, 3),
            atEnd: random.next() < 0.5,
          },
        }),
        ...(random.next() < 0.6 && { breakRule: { maxWorkS: between(120, 350), breakS: between(5, 40) } }),
      };
    }),
  };
}
