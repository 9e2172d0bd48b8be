/** What each trip of a round carries, at the mean and cautiously (mean + z standard deviations), both ways. */
import { MAX_STOPS, UNLOAD } from './timetable.ts';
import type { Week } from './week.ts';
import { nodeBefore, type WeekState } from './week-state.ts';

export type TripLoad = { meanKg: number; varianceKg2: number; meanL: number; varianceL2: number };

export const MAX_TRIPS = 24;

/** Fills `into` with the trips of a shift's order, in order; gives their number (0 for no stops). */
export function readTripLoads(week: Week, state: WeekState, shift: number, into: readonly TripLoad[]): number {
  const day = week.shifts[shift]!.day;
  const base = shift * MAX_STOPS;
  let trips = 0;
  for (let k = 0; k < state.counts[shift]!; k++) {
    const site = state.orders[base + k]!;
    if (k === 0 || site === UNLOAD) {
      if (trips === MAX_TRIPS) throw new RangeError(`a round of more than ${MAX_TRIPS} trips`);
      const fresh = into[trips++]!;
      fresh.meanKg = fresh.varianceKg2 = fresh.meanL = fresh.varianceL2 = 0;
    }
    if (site !== UNLOAD) addLoad(week, into[trips - 1]!, site, nodeBefore(state.mask[site]!, day), day);
  }
  return trips;
}

export const emptyTrips = (): TripLoad[] =>
  Array.from({ length: MAX_TRIPS }, () => ({ meanKg: 0, varianceKg2: 0, meanL: 0, varianceL2: 0 }));

export function addLoad(week: Week, load: TripLoad, site: number, node: number, day: number): void {
  const table = week.tables[site]!;
  const entry = node * table.nodes + day + 1;
  const litresPerKg = week.problem.sites[site]!.model.litresPerKg;
  const kg = table.massKg[entry]!;
  const kg2 = table.varianceKg2[entry]!;
  load.meanKg += kg;
  load.varianceKg2 += kg2;
  load.meanL += kg * litresPerKg;
  load.varianceL2 += kg2 * litresPerKg * litresPerKg;
}

/** Whether a trip with this much more still fits the van, cautiously. */
export function fitsWith(
  week: Week,
  load: TripLoad | undefined,
  shift: number,
  site: number,
  node: number,
  day: number,
): boolean {
  const { payloadKg, loadSpaceL } = week.shifts[shift]!;
  const table = week.tables[site]!;
  const entry = node * table.nodes + day + 1;
  const litresPerKg = week.problem.sites[site]!.model.litresPerKg;
  const kg = table.massKg[entry]!;
  const kg2 = table.varianceKg2[entry]!;
  const z = week.cautionZ;
  const meanKg = (load?.meanKg ?? 0) + kg;
  const meanL = (load?.meanL ?? 0) + kg * litresPerKg;
  return (
    meanKg + z * Math.sqrt((load?.varianceKg2 ?? 0) + kg2) <= payloadKg &&
    meanL + z * Math.sqrt((load?.varianceL2 ?? 0) + kg2 * litresPerKg * litresPerKg) <= loadSpaceL
  );
}

export const isTooFull = (week: Week, load: TripLoad, shift: number): boolean => {
  const { payloadKg, loadSpaceL } = week.shifts[shift]!;
  const z = week.cautionZ;
  return (
    load.meanKg + z * Math.sqrt(load.varianceKg2) > payloadKg ||
    load.meanL + z * Math.sqrt(load.varianceL2) > loadSpaceL
  );
};
