/** What a problem's own numbers give besides. */
import type { RoutingInput } from './problem.ts';

/** More than any one visit or round can cost. Throws `RangeError` if sums of it would not stay exact. */
export function penaltyFor({ travel, vehicles, visits }: RoutingInput): number {
  const longestM = travel.legM.reduce((most, leg) => Math.max(most, leg), 0);
  let dearest = 1;
  for (const v of vehicles) {
    const timed = v.costPerS > 0 || v.costPerOvertimeS > 0;
    const spanS = timed ? v.shiftEndS + v.maxOvertimeS - v.shiftStartS : 0;
    const round =
      v.fixedCost +
      4 * longestM * v.costPerM +
      spanS * v.costPerS +
      v.maxOvertimeS * v.costPerOvertimeS +
      (v.unload ? v.unload.cost * v.unload.maxTrips : 0);
    dearest = Math.max(dearest, round);
  }
  const penalty = 4 * dearest + 1;
  const most = penalty * (visits.length + vehicles.length + 1) * 4;
  if (most > Number.MAX_SAFE_INTEGER)
    throw new RangeError(
      `costs may add up to ${most}, more than ${Number.MAX_SAFE_INTEGER}: use larger units`,
    );
  return penalty;
}

/** Vehicles that are alike in every respect get one number. */
export function kindsOf({ vehicles, visits }: RoutingInput): Int32Array {
  const barred = vehicles.map((): number[] => []);
  visits.forEach((visit, v) => {
    for (const r of visit.barredVehicles) barred[r]!.push(v);
  });
  const kinds = new Map<string, number>();
  return Int32Array.from(vehicles, (vehicle, r) => {
    const key = JSON.stringify([vehicle, barred[r]]);
    const kind = kinds.get(key) ?? kinds.size;
    kinds.set(key, kind);
    return kind;
  });
}
