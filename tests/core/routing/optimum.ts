/**
 * The optimum of a problem of up to nine visits, in two steps that share nothing with the kernel: for every vehicle and
 * every set of visits the cheapest round (all orders and unloadings, cut where loads or time forbid; all moments of
 * leaving, second by second; all places of breaks), then the cheapest way of giving sets to vehicles by dynamic programming over
 * subsets. Times must be small: it tries each second of a shift.
 */
import {
  buildRoutingProblem,
  type RoutingInput,
  type VehicleInput,
} from '../../../src/core/routing/problem.ts';

/** Cost of the best solution: rounds, prizes left, and the problem's `penalty` for each mandatory visit left out. */
export function optimum(input: RoutingInput): number {
  const { visits } = input;
  const { penalty } = buildRoutingProblem(input);
  const sets = 1 << visits.length;
  const skipped = new Float64Array(sets);
  visits.forEach((visit, v) => {
    for (let set = 0; set < sets; set++)
      if (!(set & (1 << v))) skipped[set]! += visit.mandatory ? penalty : visit.prize;
  });
  let reach = new Float64Array(sets).fill(Number.POSITIVE_INFINITY);
  reach[0] = 0;
  for (const r of input.vehicles.keys()) {
    const best = cheapestRounds(input, r);
    const next = Float64Array.from(reach);
    for (let set = 1; set < sets; set++)
      for (let part = set; part > 0; part = (part - 1) & set)
        next[set] = Math.min(next[set]!, reach[set & ~part]! + best[part]!);
    reach = next;
  }
  return reach.reduce((least, cost, set) => Math.min(least, cost + skipped[set]!), Number.POSITIVE_INFINITY);
}

/** A stop of the round on trial. */
type Stop = { place: number; serviceS: number; windows: readonly { fromS: number; untilS: number }[] };

/** For each set of visits the cost of the vehicle's cheapest round that serves exactly these. */
function cheapestRounds({ travel, visits, vehicles }: RoutingInput, r: number): Float64Array {
  const vehicle = vehicles[r]!;
  const { unload, capacityA, capacityB } = vehicle;
  const hardEndS = vehicle.shiftEndS + vehicle.maxOvertimeS;
  const best = new Float64Array(1 << visits.length).fill(Number.POSITIVE_INFINITY);
  best[0] = 0;
  const legS = (p: number, q: number): number => travel.legS[p * travel.places + q]!;
  const legM = (p: number, q: number): number => travel.legM[p * travel.places + q]!;
  const depot: Stop | undefined = unload && {
    place: unload.place,
    serviceS: unload.serviceS,
    windows: unload.windows,
  };
  const end: Stop = unload?.atEnd
    ? { place: vehicle.endPlace, serviceS: unload.serviceS, windows: unload.windows }
    : { place: vehicle.endPlace, serviceS: 0, windows: [] };
  const stops: Stop[] = [];

  /** Earliest departure from a stop, `Infinity` if it is reached too late. */
  const depart = (fromS: number, fromPlace: number, stop: Stop): number => {
    const arriveS = fromS + legS(fromPlace, stop.place);
    const window = stop.windows.find(({ untilS }) => untilS >= arriveS);
    if (stop.windows.length > 0 && !window) return Number.POSITIVE_INFINITY;
    const doneS = Math.max(arriveS, window?.fromS ?? arriveS) + stop.serviceS;
    return doneS > hardEndS ? Number.POSITIVE_INFINITY : doneS;
  };
  const grow = (
    set: number,
    nowS: number,
    distanceM: number,
    a: number,
    b: number,
    unloads: number,
  ): void => {
    const here = stops.at(-1)?.place ?? vehicle.startPlace;
    for (const [v, visit] of visits.entries()) {
      if (set & (1 << v) || visit.barredVehicles.includes(r)) continue;
      for (const between of stops.length > 0 && depot && unloads + 1 < unload!.maxTrips
        ? [false, true]
        : [false]) {
        const loadA = visit.loadA + (between ? 0 : a);
        const loadB = visit.loadB + (between ? 0 : b);
        if (loadA > capacityA || loadB > capacityB) continue;
        const leftS = between ? depart(nowS, here, depot!) : nowS;
        const doneS = depart(leftS, between ? depot!.place : here, visit);
        if (doneS === Number.POSITIVE_INFINITY) continue;
        const added = between ? [depot!, visit] : [visit];
        stops.push(...added);
        const wayM = between
          ? legM(here, depot!.place) + legM(depot!.place, visit.place)
          : legM(here, visit.place);
        const grown = set | (1 << v);
        const n = unloads + (between ? 1 : 0);
        const roundM = distanceM + wayM + legM(visit.place, vehicle.endPlace);
        const flat =
          vehicle.fixedCost +
          vehicle.costPerM * roundM +
          (unload ? unload.cost * (n + (unload.atEnd ? 1 : 0)) : 0);
        best[grown] = Math.min(best[grown]!, flat + cheapestTime(best[grown]! - flat));
        grow(grown, doneS, distanceM + wayM, loadA, loadB, n);
        stops.length -= added.length;
      }
    }
  };

  /** Least cost of the time of the round with these stops, if it is below `below`. */
  const cheapestTime = (below: number): number => {
    const round = [...stops, end];
    let least = below;
    let workS = 0;
    let at = vehicle.startPlace;
    for (const stop of round) {
      workS += legS(at, stop.place) + stop.serviceS;
      at = stop.place;
    }
    if (vehicle.costPerS * workS >= below) return Number.POSITIVE_INFINITY;
    for (let leaveS = vehicle.shiftStartS; leaveS + workS <= hardEndS; leaveS++) {
      // Without breaks first: they never make it cheaper.
      let nowS = leaveS;
      at = vehicle.startPlace;
      for (const stop of round) {
        nowS = depart(nowS, at, stop);
        at = stop.place;
      }
      if (timeCost(vehicle, leaveS, nowS) >= least) continue;
      least = Math.min(least, drive(round, 0, vehicle.startPlace, leaveS, leaveS, leaveS, least));
    }
    return least < below ? least : Number.POSITIVE_INFINITY;
  };

  /** The rest of the round from stop i on, with a break before it or without. */
  const drive = (
    round: readonly Stop[],
    i: number,
    at: number,
    nowS: number,
    restedS: number,
    leaveS: number,
    below: number,
  ): number => {
    const rule = vehicle.breakRule;
    if (timeCost(vehicle, leaveS, nowS) >= below) return Number.POSITIVE_INFINITY;
    const stop = round[i];
    if (!stop)
      return rule && nowS - restedS > rule.maxWorkS
        ? Number.POSITIVE_INFINITY
        : timeCost(vehicle, leaveS, nowS);
    if (rule && nowS - restedS > rule.maxWorkS) return Number.POSITIVE_INFINITY;
    const doneS = depart(nowS, at, stop);
    if (doneS === Number.POSITIVE_INFINITY) return doneS;
    const straight = drive(round, i + 1, stop.place, doneS, restedS, leaveS, below);
    if (!rule || nowS === restedS) return straight;
    const backS = nowS + rule.breakS;
    const laterS = depart(backS, at, stop);
    if (laterS === Number.POSITIVE_INFINITY) return straight;
    const least = Math.min(below, straight);
    return Math.min(straight, drive(round, i + 1, stop.place, laterS, backS, leaveS, least));
  };

  grow(0, vehicle.shiftStartS, 0, 0, 0, 0);
  return best;
}

const timeCost = (vehicle: VehicleInput, leaveS: number, endS: number): number =>
  vehicle.costPerS * (endS - leaveS) + vehicle.costPerOvertimeS * Math.max(0, endS - vehicle.shiftEndS);
