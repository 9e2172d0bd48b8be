/**
 * The independent checker: recomputes a solution from the raw input and shares no code with the search. It looks at
 * what a driver would be handed: stops with times.
 */
import type { RoutingInput } from './problem.ts';
import type { ScheduledRound } from './schedule.ts';

export type CheckedSolution = {
  readonly rounds: readonly ScheduledRound[];
  /** Every visit that is in no round. */
  readonly leftOut: readonly number[];
};

export type Fault = {
  readonly rule:
    | 'visit-twice'
    | 'visit-lost'
    | 'vehicle-twice'
    | 'barred'
    | 'place'
    | 'leg'
    | 'time'
    | 'window'
    | 'shift'
    | 'service'
    | 'load-a'
    | 'load-b'
    | 'trips'
    | 'break'
    | 'ends';
  readonly vehicle: number;
  /** Index of the stop in the round, −1 if it concerns the whole. */
  readonly stop: number;
  readonly found: number;
  readonly allowed: number;
};

export type CheckReport = {
  readonly faults: readonly Fault[];
  /** Cost of the rounds and of the optional visits left out. */
  readonly cost: number;
  readonly distanceM: number;
  readonly durationS: number;
  readonly unservedMandatory: readonly number[];
};

export function checkSolution(input: RoutingInput, solution: CheckedSolution): CheckReport {
  const faults: Fault[] = [];
  const seen = new Map<number, number>();
  const used = new Set<number>();
  let cost = 0;
  let distanceM = 0;
  let durationS = 0;

  for (const round of solution.rounds) {
    if (used.has(round.vehicle))
      faults.push({ rule: 'vehicle-twice', vehicle: round.vehicle, stop: -1, found: 2, allowed: 1 });
    used.add(round.vehicle);
    for (const stop of round.stops)
      if (stop.kind === 'visit') seen.set(stop.visit, (seen.get(stop.visit) ?? 0) + 1);
    const checked = checkRound(input, round, faults);
    cost += checked.cost;
    distanceM += checked.distanceM;
    durationS += checked.durationS;
  }

  const left = new Set(solution.leftOut);
  const unservedMandatory: number[] = [];
  input.visits.forEach((visit, v) => {
    const times = (seen.get(v) ?? 0) + (left.has(v) ? 1 : 0);
    if (times > 1) faults.push({ rule: 'visit-twice', vehicle: -1, stop: v, found: times, allowed: 1 });
    if (times === 0) faults.push({ rule: 'visit-lost', vehicle: -1, stop: v, found: 0, allowed: 1 });
    if (!left.has(v)) return;
    if (visit.mandatory) unservedMandatory.push(v);
    else cost += visit.prize;
  });
  return { faults, cost, distanceM, durationS, unservedMandatory };
}

function checkRound(
  { travel, visits, vehicles }: RoutingInput,
  round: ScheduledRound,
  faults: Fault[],
): { cost: number; distanceM: number; durationS: number } {
  const vehicle = vehicles[round.vehicle]!;
  const { stops } = round;
  const { unload, breakRule } = vehicle;
  const fault = (rule: Fault['rule'], stop: number, found: number, allowed: number): void => {
    faults.push({ rule, vehicle: round.vehicle, stop, found, allowed });
  };
  const first = stops[0]!;
  const last = stops.at(-1)!;
  if (first.kind !== 'start' || first.place !== vehicle.startPlace)
    fault('ends', 0, first.place, vehicle.startPlace);
  if (last.kind !== 'end' || last.place !== vehicle.endPlace)
    fault('ends', stops.length - 1, last.place, vehicle.endPlace);
  if (first.departS < vehicle.shiftStartS) fault('shift', 0, first.departS, vehicle.shiftStartS);
  const hardEndS = vehicle.shiftEndS + vehicle.maxOvertimeS;
  if (last.departS > hardEndS) fault('shift', stops.length - 1, last.departS, hardEndS);

  let distanceM = 0;
  let loadA = 0;
  let loadB = 0;
  let unloadings = 0;
  let workingSinceS = first.departS;
  for (let i = 1; i < stops.length; i++) {
    const stop = stops[i]!;
    const before = stops[i - 1]!;
    const leg = before.place * travel.places + stop.place;
    distanceM += travel.legM[leg]!;
    if (stop.legM !== travel.legM[leg]) fault('leg', i, stop.legM, travel.legM[leg]!);
    if (stop.arriveS !== before.departS + travel.legS[leg]!)
      fault('time', i, stop.arriveS, before.departS + travel.legS[leg]!);
    if (stop.startS < stop.arriveS) fault('time', i, stop.startS, stop.arriveS);

    let serviceS = 0;
    let windows: readonly { fromS: number; untilS: number }[] = [];
    if (stop.kind === 'visit') {
      const visit = visits[stop.visit]!;
      serviceS = visit.serviceS;
      windows = visit.windows;
      loadA += visit.loadA;
      loadB += visit.loadB;
      if (visit.barredVehicles.includes(round.vehicle)) fault('barred', i, round.vehicle, -1);
      if (visit.place !== stop.place) fault('place', i, stop.place, visit.place);
    } else if (stop.kind === 'break') {
      if (!breakRule) fault('break', i, 1, 0);
      serviceS = breakRule?.breakS ?? 0;
      if (stop.place !== before.place) fault('place', i, stop.place, before.place);
    } else if (unload && (stop.kind === 'unload' || unload.atEnd)) {
      serviceS = unload.serviceS;
      windows = unload.windows;
      if (stop.kind === 'unload' && stop.place !== unload.place) fault('place', i, stop.place, unload.place);
    } else if (stop.kind === 'unload') fault('trips', i, 1, 0);

    if (stop.departS - stop.startS !== serviceS) fault('service', i, stop.departS - stop.startS, serviceS);
    if (windows.length > 0 && !windows.some((w) => stop.startS >= w.fromS && stop.startS <= w.untilS))
      fault('window', i, stop.startS, windows[0]!.fromS);

    if (loadA > vehicle.capacityA) fault('load-a', i, loadA, vehicle.capacityA);
    if (loadB > vehicle.capacityB) fault('load-b', i, loadB, vehicle.capacityB);
    if (stop.kind === 'unload') {
      loadA = 0;
      loadB = 0;
      unloadings++;
    }
    if (breakRule && (stop.kind === 'break' || stop.kind === 'end')) {
      const untilS = stop.kind === 'break' ? stop.startS : stop.departS;
      if (untilS - workingSinceS > breakRule.maxWorkS)
        fault('break', i, untilS - workingSinceS, breakRule.maxWorkS);
      workingSinceS = stop.departS;
    }
  }
  if (unloadings + 1 > (unload?.maxTrips ?? 1)) fault('trips', -1, unloadings + 1, unload?.maxTrips ?? 1);

  const durationS = last.departS - first.departS;
  const overtimeS = Math.max(0, last.departS - vehicle.shiftEndS);
  const cost =
    vehicle.fixedCost +
    vehicle.costPerM * distanceM +
    vehicle.costPerS * durationS +
    vehicle.costPerOvertimeS * overtimeS +
    (unload ? unload.cost * (unloadings + (unload.atEnd ? 1 : 0)) : 0);
  return { cost, distanceM, durationS };
}
