/** Whether the numbers of a problem make sense: `RangeError` with what was given and what may be. */
import type { RoutingInput, StartWindow, VehicleInput, VisitInput } from './problem.ts';
import type { TravelTable } from './travel-table.ts';

/** Times and shift lengths stay below this, so that sums of a few of them fit 32 bits. */
const TIME_LIMIT_S = 2 ** 28;
const LOAD_LIMIT = 2 ** 26;
const CAPACITY_LIMIT = 2 ** 30;

export function checkInput({ travel, visits, vehicles }: RoutingInput): void {
  checkTravel(travel);
  for (const [v, visit] of visits.entries()) checkVisit(visit, v, travel.places, vehicles.length);
  for (const [r, vehicle] of vehicles.entries()) checkVehicle(vehicle, r, travel.places);
}

function whole(value: number, least: number, most: number, what: string): void {
  if (!Number.isInteger(value) || value < least || value > most)
    throw new RangeError(`${what} is ${value}; it must be a whole number from ${least} to ${most}`);
}

function checkTravel({ places, legM, legS }: TravelTable): void {
  whole(places, 1, 30_000, 'places');
  for (const [name, legs] of [
    ['legM', legM],
    ['legS', legS],
  ] as const) {
    if (legs.length !== places * places)
      throw new RangeError(`${name} has ${legs.length} legs, ${places} places need ${places * places}`);
    for (let i = 0; i < legs.length; i++)
      if (legs[i]! < 0 || legs[i]! >= TIME_LIMIT_S)
        throw new RangeError(
          `${name}[${Math.floor(i / places)} to ${i % places}] is ${legs[i]}, allowed 0 to ${TIME_LIMIT_S - 1}`,
        );
    for (let i = 0; i < places; i++)
      if (legs[i * places + i] !== 0)
        throw new RangeError(`${name} from place ${i} to itself is ${legs[i * places + i]}, not 0`);
  }
}

function checkWindows(windows: readonly StartWindow[], what: string): void {
  windows.forEach(({ fromS, untilS }, k) => {
    whole(fromS, -TIME_LIMIT_S, TIME_LIMIT_S, `${what}: window ${k} fromS`);
    whole(untilS, -TIME_LIMIT_S, TIME_LIMIT_S, `${what}: window ${k} untilS`);
    if (untilS < fromS)
      throw new RangeError(`${what}: window ${k} ends at ${untilS}, before it starts at ${fromS}`);
    const before = windows[k - 1];
    if (before && before.untilS >= fromS)
      throw new RangeError(`${what}: window ${k} starts at ${fromS}, not after ${before.untilS}`);
  });
}

function checkVisit(visit: VisitInput, index: number, places: number, vehicles: number): void {
  const what = `visit ${index}`;
  whole(visit.place, 0, places - 1, `${what}: place`);
  whole(visit.loadA, 0, LOAD_LIMIT, `${what}: loadA`);
  whole(visit.loadB, 0, LOAD_LIMIT, `${what}: loadB`);
  whole(visit.serviceS, 0, TIME_LIMIT_S, `${what}: serviceS`);
  whole(visit.prize, 0, Number.MAX_SAFE_INTEGER, `${what}: prize`);
  checkWindows(visit.windows, what);
  for (const r of visit.barredVehicles) whole(r, 0, vehicles - 1, `${what}: barred vehicle`);
}

function checkVehicle(vehicle: VehicleInput, index: number, places: number): void {
  const what = `vehicle ${index}`;
  const { shiftStartS, shiftEndS, unload, breakRule } = vehicle;
  whole(vehicle.startPlace, 0, places - 1, `${what}: startPlace`);
  whole(vehicle.endPlace, 0, places - 1, `${what}: endPlace`);
  whole(shiftStartS, -TIME_LIMIT_S, TIME_LIMIT_S, `${what}: shiftStartS`);
  whole(shiftEndS, shiftStartS, TIME_LIMIT_S, `${what}: shiftEndS`);
  whole(vehicle.maxOvertimeS, 0, TIME_LIMIT_S, `${what}: maxOvertimeS`);
  whole(vehicle.capacityA, 0, CAPACITY_LIMIT, `${what}: capacityA`);
  whole(vehicle.capacityB, 0, CAPACITY_LIMIT, `${what}: capacityB`);
  for (const name of ['costPerOvertimeS', 'costPerM', 'costPerS', 'fixedCost'] as const)
    whole(vehicle[name], 0, Number.MAX_SAFE_INTEGER, `${what}: ${name}`);
  if (unload) {
    whole(unload.place, 0, places - 1, `${what}: unload.place`);
    whole(unload.serviceS, 0, TIME_LIMIT_S, `${what}: unload.serviceS`);
    whole(unload.cost, 0, Number.MAX_SAFE_INTEGER, `${what}: unload.cost`);
    whole(unload.maxTrips, 1, 1000, `${what}: unload.maxTrips`);
    checkWindows(unload.windows, `${what}: unload`);
  }
  if (breakRule) {
    whole(breakRule.maxWorkS, 1, TIME_LIMIT_S, `${what}: breakRule.maxWorkS`);
    whole(breakRule.breakS, 0, TIME_LIMIT_S, `${what}: breakRule.breakS`);
  }
}
