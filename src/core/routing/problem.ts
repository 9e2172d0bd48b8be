/**
 * The routing problem on flat typed arrays. It knows visits, vehicles, places and whole numbers, nothing of film.
 *
 * Whole numbers everywhere: loads in units of the caller's choice (A and B, e.g. grams and decilitres), times in
 * seconds since an origin of the caller's choice (say the horizon's first midnight, so that a week is small),
 * costs in whole units (say micros). Sums are exact, so a move's delta equals the change of cost.
 *
 * Nodes: visits are 0 … visits − 1; then every vehicle has a start, an end, its unloads and its breaks.
 */
import { kindsOf, penaltyFor } from './derived.ts';
import { checkInput } from './problem-checks.ts';
import type { TravelTable } from './travel-table.ts';

/** Both ends included: service must start at `fromS` at the earliest and `untilS` at the latest. */
export type StartWindow = { readonly fromS: number; readonly untilS: number };

export type VisitInput = {
  readonly place: number;
  readonly loadA: number;
  readonly loadB: number;
  readonly serviceS: number;
  /** Alternatives, in order of time, not overlapping. Empty: any time. */
  readonly windows: readonly StartWindow[];
  /** Must be served; if it cannot be, the solution names it. */
  readonly mandatory: boolean;
  /** What leaving it out costs, ≥ 0. Ignored for a mandatory visit. */
  readonly prize: number;
  /** Vehicles that may not serve it. */
  readonly barredVehicles: readonly number[];
};

export type UnloadInput = {
  readonly place: number;
  readonly serviceS: number;
  readonly windows: readonly StartWindow[];
  /** Cost of each unloading, the one at the end included if `atEnd`. */
  readonly cost: number;
  /** At least 1; between two trips lies one unloading. */
  readonly maxTrips: number;
  /** The end of the round is an unloading too: its service time, windows and cost apply there. */
  readonly atEnd: boolean;
};

/**
 * A break of `breakS` must start before `maxWorkS` have passed since the round left its start or its last break
 * ended, and the round's end must come within `maxWorkS` of the last break. Driving, service and waiting all count.
 */
export type BreakInput = { readonly maxWorkS: number; readonly breakS: number };

/** One vehicle in one shift; a week is one problem with a vehicle for each shift. */
export type VehicleInput = {
  readonly startPlace: number;
  readonly endPlace: number;
  /** The round leaves its start at `shiftStartS` or later, and is over by `shiftEndS + maxOvertimeS`. */
  readonly shiftStartS: number;
  readonly shiftEndS: number;
  readonly maxOvertimeS: number;
  readonly costPerOvertimeS: number;
  readonly capacityA: number;
  readonly capacityB: number;
  readonly costPerM: number;
  /** Per second from leaving the start to the end of the round, waiting and breaks included. */
  readonly costPerS: number;
  /** Cost of using the vehicle at all. */
  readonly fixedCost: number;
  readonly unload?: UnloadInput;
  readonly breakRule?: BreakInput;
};

export type RoutingInput = {
  readonly travel: TravelTable;
  readonly visits: readonly VisitInput[];
  readonly vehicles: readonly VehicleInput[];
};

export type RoutingProblem = {
  readonly input: RoutingInput;
  readonly visits: number;
  readonly vehicles: number;
  readonly nodes: number;
  readonly places: number;
  readonly legM: Int32Array;
  readonly legS: Int32Array;
  /** Per node. A break's place is that of the node before it and lives in the state. */
  readonly place: Int32Array;
  readonly serviceS: Int32Array;
  readonly loadA: Int32Array;
  readonly loadB: Int32Array;
  readonly mandatory: Uint8Array;
  /** What leaving a visit out costs in the search: its prize, or `penalty` if it is mandatory. */
  readonly skipCost: Float64Array;
  /** More than any one visit or round can cost: the price of a mandatory visit left out and of a broken round. */
  readonly penalty: number;
  readonly windowFromS: Int32Array;
  readonly windowUntilS: Int32Array;
  /** Windows open to a node: `windowLo[k] … windowHi[k] − 1`, see `windowKey`. An empty range bars the vehicle. */
  readonly windowLo: Int32Array;
  readonly windowHi: Int32Array;
  readonly startNode: Int32Array;
  readonly endNode: Int32Array;
  readonly unloadNode: Int32Array;
  readonly maxUnloads: Int32Array;
  readonly breakNode: Int32Array;
  readonly maxBreaks: Int32Array;
  readonly shiftStartS: Int32Array;
  readonly shiftEndS: Int32Array;
  readonly hardEndS: Int32Array;
  readonly capacityA: Int32Array;
  readonly capacityB: Int32Array;
  readonly costPerM: Float64Array;
  readonly costPerS: Float64Array;
  readonly costPerOvertimeS: Float64Array;
  readonly fixedCost: Float64Array;
  readonly unloadCost: Float64Array;
  /** 1 if the end of the round is an unloading. */
  readonly unloadsAtEnd: Uint8Array;
  readonly maxWorkS: Int32Array;
  /** Vehicles that are alike in every respect share a kind, so that one empty one stands for all. */
  readonly kind: Int32Array;
};

const NO_LIMIT_S = 2 ** 29;

/** Where a node's range of windows is kept: visits have one per vehicle, a vehicle's own nodes have one. */
export const windowKey = (problem: RoutingProblem, node: number, vehicle: number): number =>
  node < problem.visits
    ? node * problem.vehicles + vehicle
    : problem.visits * problem.vehicles + node - problem.visits;

/** Where the windows of a vehicle's unloadings are kept. */
export const depotKey = (problem: RoutingProblem, vehicle: number): number =>
  problem.visits * (problem.vehicles - 1) + problem.unloadNode[vehicle]!;

/** Checks everything once, so that the search checks nothing. Throws `RangeError` with what was given and what may be. */
export function buildRoutingProblem(input: RoutingInput): RoutingProblem {
  const { travel, visits, vehicles } = input;
  checkInput(input);

  const n = visits.length;
  const m = vehicles.length;
  const unloadsOf = (v: VehicleInput): number => (v.unload ? v.unload.maxTrips - 1 : 0);
  const startNode = new Int32Array(m);
  const endNode = new Int32Array(m);
  const unloadNode = new Int32Array(m);
  const breakNode = new Int32Array(m);
  const maxUnloads = Int32Array.from(vehicles, unloadsOf);
  const maxBreaks = Int32Array.from(vehicles, breaksOf);
  let nodes = n;
  for (let r = 0; r < m; r++) {
    startNode[r] = nodes;
    endNode[r] = nodes + 1;
    unloadNode[r] = nodes + 2;
    breakNode[r] = nodes + 2 + maxUnloads[r]!;
    nodes = breakNode[r]! + maxBreaks[r]!;
  }

  const place = new Int32Array(nodes);
  const serviceS = new Int32Array(nodes);
  const windowLo = new Int32Array(n * m + nodes - n);
  const windowHi = new Int32Array(n * m + nodes - n);
  const windows: StartWindow[] = [{ fromS: -NO_LIMIT_S, untilS: NO_LIMIT_S }];
  const addWindows = (list: readonly StartWindow[]): readonly [number, number] => {
    if (list.length === 0) return [0, 1];
    const lo = windows.length;
    windows.push(...list);
    return [lo, windows.length];
  };

  visits.forEach((visit, v) => {
    place[v] = visit.place;
    serviceS[v] = visit.serviceS;
    const [first, end] = addWindows(visit.windows);
    const barred = new Set(visit.barredVehicles);
    for (let r = 0; r < m; r++) {
      const { shiftStartS, shiftEndS, maxOvertimeS } = vehicles[r]!;
      let lo = first;
      let hi = end;
      while (lo < hi && windows[lo]!.untilS < shiftStartS) lo++;
      while (hi > lo && windows[hi - 1]!.fromS > shiftEndS + maxOvertimeS) hi--;
      windowLo[v * m + r] = lo;
      windowHi[v * m + r] = barred.has(r) ? lo : hi;
    }
  });
  vehicles.forEach((vehicle, r) => {
    const key = n * m - n;
    const { shiftStartS, shiftEndS, maxOvertimeS, unload, breakRule } = vehicle;
    const hardEndS = shiftEndS + maxOvertimeS;
    const shift = addWindows([{ fromS: shiftStartS, untilS: hardEndS }]);
    const put = (node: number, at: number, service: number, range: readonly [number, number]): void => {
      place[node] = at;
      serviceS[node] = service;
      windowLo[key + node] = range[0];
      windowHi[key + node] = range[1];
    };
    const unloadWindows = unload ? addWindows(windowsInShift(unload.windows, shiftStartS, hardEndS)) : shift;
    put(startNode[r]!, vehicle.startPlace, 0, shift);
    if (unload?.atEnd) {
      // The unloading that ends a round must be over when the shift is.
      const range = addWindows(windowsInShift(unload.windows, shiftStartS, hardEndS - unload.serviceS));
      put(endNode[r]!, vehicle.endPlace, unload.serviceS, range);
    } else put(endNode[r]!, vehicle.endPlace, 0, shift);
    for (let k = 0; k < maxUnloads[r]!; k++)
      put(unloadNode[r]! + k, unload!.place, unload!.serviceS, unloadWindows);
    for (let k = 0; k < maxBreaks[r]!; k++)
      put(breakNode[r]! + k, vehicle.startPlace, breakRule!.breakS, [0, 1]);
  });

  const penalty = penaltyFor(input);
  const floats = (get: (v: VehicleInput) => number): Float64Array => Float64Array.from(vehicles, get);
  const ints = (get: (v: VehicleInput) => number): Int32Array => Int32Array.from(vehicles, get);
  return {
    input,
    visits: n,
    vehicles: m,
    nodes,
    places: travel.places,
    legM: travel.legM,
    legS: travel.legS,
    place,
    serviceS,
    loadA: Int32Array.from(visits, (v) => v.loadA),
    loadB: Int32Array.from(visits, (v) => v.loadB),
    mandatory: Uint8Array.from(visits, (v) => (v.mandatory ? 1 : 0)),
    skipCost: Float64Array.from(visits, (v) => (v.mandatory ? penalty : v.prize)),
    penalty,
    windowFromS: Int32Array.from(windows, (w) => w.fromS),
    windowUntilS: Int32Array.from(windows, (w) => w.untilS),
    windowLo,
    windowHi,
    startNode,
    endNode,
    unloadNode,
    maxUnloads,
    breakNode,
    maxBreaks,
    shiftStartS: ints((v) => v.shiftStartS),
    shiftEndS: ints((v) => v.shiftEndS),
    hardEndS: ints((v) => v.shiftEndS + v.maxOvertimeS),
    capacityA: ints((v) => v.capacityA),
    capacityB: ints((v) => v.capacityB),
    costPerM: floats((v) => v.costPerM),
    costPerS: floats((v) => v.costPerS),
    costPerOvertimeS: floats((v) => v.costPerOvertimeS),
    fixedCost: floats((v) => v.fixedCost),
    unloadCost: floats((v) => v.unload?.cost ?? 0),
    unloadsAtEnd: Uint8Array.from(vehicles, (v) => (v.unload?.atEnd ? 1 : 0)),
    maxWorkS: ints((v) => v.breakRule?.maxWorkS ?? NO_LIMIT_S),
    kind: kindsOf(input),
  };
}

/** The parts of windows inside a shift; one that can never be met if there are none. */
function windowsInShift(list: readonly StartWindow[], firstS: number, lastS: number): StartWindow[] {
  const all = list.length > 0 ? list : [{ fromS: firstS, untilS: lastS }];
  const inside = all
    .map((w) => ({ fromS: Math.max(w.fromS, firstS), untilS: Math.min(w.untilS, lastS) }))
    .filter((w) => w.fromS <= w.untilS);
  return inside.length > 0 ? inside : [{ fromS: -NO_LIMIT_S, untilS: -NO_LIMIT_S }];
}

/** Breaks that fit into the longest possible round: each comes after at least one second of work. */
function breaksOf({ breakRule, shiftStartS, shiftEndS, maxOvertimeS }: VehicleInput): number {
  if (!breakRule) return 0;
  const span = shiftEndS + maxOvertimeS - shiftStartS;
  return Math.min(8, Math.floor(span / breakRule.maxWorkS) + (span > breakRule.maxWorkS ? 1 : 0));
}
