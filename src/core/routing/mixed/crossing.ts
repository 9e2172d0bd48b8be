/**
 * A child of two plans: some visits stay with the vehicle and at the time that one parent gives them, all others with the
 * other parent's. Vehicles of a kind are first matched by the visits they share.
 */
import type { FastRandom } from '../alike/fast-random.ts';
import type { RoutingProblem } from '../problem.ts';

/** Vehicle of each visit, −1 if left out, and when it is served. */
export type Timetable = { readonly vehicle: Int32Array; readonly atS: Int32Array };

export const createTimetable = (visits: number): Timetable => ({
  vehicle: new Int32Array(visits),
  atS: new Int32Array(visits),
});

/** `near`: for each visit all others, nearest first, `nearCount` to a row. */
export function createCrossing(
  problem: RoutingProblem,
  near: Int32Array,
  nearCount: number,
  random: FastRandom,
) {
  const { visits: n, vehicles: m, kind } = problem;
  const chosen = new Uint8Array(n);
  const shared = new Int32Array(m * m);
  const match = new Int32Array(m);
  const taken = new Uint8Array(m);

  /** For each vehicle of `b` the one of `a` that it stands for. */
  function matchVehicles(a: Timetable, b: Timetable): void {
    shared.fill(0);
    taken.fill(0);
    match.fill(-1);
    for (let v = 0; v < n; v++)
      if (a.vehicle[v]! >= 0 && b.vehicle[v]! >= 0) shared[b.vehicle[v]! * m + a.vehicle[v]!]!++;
    for (let k = 0; k < m; k++) {
      let most = -1;
      let pair = 0;
      for (let r = 0; r < m; r++)
        for (let s = 0; s < m && match[r]! < 0; s++)
          if (taken[s] === 0 && kind[r] === kind[s] && shared[r * m + s]! > most) {
            most = shared[r * m + s]!;
            pair = r * m + s;
          }
      match[Math.floor(pair / m)] = pair % m;
      taken[pair % m] = 1;
    }
  }

  /** Fills `child`. */
  return function cross(a: Timetable, b: Timetable, child: Timetable): void {
    matchVehicles(a, b);
    chosen.fill(0);
    const seed = random.below(n);
    const size = 1 + random.below(Math.max(1, Math.min(nearCount, Math.floor(0.8 * n))));
    const draw = random.unit();
    if (draw < 0.6) {
      chosen[seed] = 1;
      for (let k = 0; k < size; k++) chosen[near[seed * nearCount + k]!] = 1;
    } else if (draw < 0.8) {
      // Whole rounds.
      const r = a.vehicle[seed]!;
      for (let v = 0; v < n; v++) if (a.vehicle[v] === r) chosen[v] = 1;
    } else {
      // All before or after a moment.
      const late = random.unit() < 0.5;
      const atS = a.atS[seed]!;
      for (let v = 0; v < n; v++) if (a.atS[v]! > atS === late) chosen[v] = 1;
    }
    for (let v = 0; v < n; v++) {
      if (chosen[v] === 1) {
        child.vehicle[v] = a.vehicle[v]!;
        child.atS[v] = a.atS[v]!;
      } else {
        child.vehicle[v] = b.vehicle[v]! < 0 ? -1 : match[b.vehicle[v]!]!;
        child.atS[v] = b.atS[v]!;
      }
    }
  };
}
