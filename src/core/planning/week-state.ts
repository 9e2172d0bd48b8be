/**
 * A week of rounds as the search changes it: for each shift an order of stops (sites, and UNLOAD between trips),
 * for each site the days it is visited on. Flat arrays, so that a copy is a few `set` calls.
 */
import { MAX_STOPS, UNLOAD } from './timetable.ts';
import type { Week } from './week.ts';

export type WeekState = {
  /** Order of shift s: `orders[s * MAX_STOPS .. + counts[s])`, site numbers and UNLOAD. */
  readonly orders: Int32Array;
  readonly counts: Int32Array;
  /** Per site: bit set of the days it is visited on. */
  readonly mask: Int32Array;
  /** Per node (site * days + day): the shift that visits, or -1. */
  readonly shiftOf: Int32Array;
};

export function emptyState(week: Week): WeekState {
  return {
    orders: new Int32Array(week.shifts.length * MAX_STOPS),
    counts: new Int32Array(week.shifts.length),
    mask: new Int32Array(week.sites),
    shiftOf: new Int32Array(week.sites * week.days).fill(-1),
  };
}

export function copyState(to: WeekState, from: WeekState): void {
  to.orders.set(from.orders);
  to.counts.set(from.counts);
  to.mask.set(from.mask);
  to.shiftOf.set(from.shiftOf);
}

/** The node before `day` at which the site was last emptied: 0 is "not since now". */
export function nodeBefore(mask: number, day: number): number {
  const earlier = mask & ((1 << day) - 1);
  return earlier === 0 ? 0 : 32 - Math.clz32(earlier);
}

/** The next visited day after `day`, or -1. */
export function dayAfter(mask: number, day: number): number {
  const later = day >= 30 ? 0 : (mask >>> (day + 1)) << (day + 1);
  return later === 0 ? -1 : 31 - Math.clz32(later & -later);
}

/** Puts a site into a shift's order at `position` (0 is first), with an unloading before or after it. */
export function insertVisit(
  week: Week,
  state: WeekState,
  site: number,
  shift: number,
  position: number,
  unload: 'none' | 'before' | 'after',
): void {
  const base = shift * MAX_STOPS;
  const added = unload === 'none' ? 1 : 2;
  const count = state.counts[shift]!;
  if (count + added > MAX_STOPS) throw new RangeError(`a round of more than ${MAX_STOPS} stops`);
  state.orders.copyWithin(base + position + added, base + position, base + count);
  if (unload === 'before') {
    state.orders[base + position] = UNLOAD;
    state.orders[base + position + 1] = site;
  } else {
    state.orders[base + position] = site;
    if (unload === 'after') state.orders[base + position + 1] = UNLOAD;
  }
  state.counts[shift] = count + added;
  const day = week.shifts[shift]!.day;
  state.mask[site]! |= 1 << day;
  state.shiftOf[site * week.days + day] = shift;
}

/** Takes the visit of a site on a day out; unloadings that have nothing left to part go too. */
export function removeVisit(week: Week, state: WeekState, site: number, day: number): void {
  const shift = state.shiftOf[site * week.days + day]!;
  if (shift < 0) return;
  const base = shift * MAX_STOPS;
  const count = state.counts[shift]!;
  let kept = 0;
  let isTripOpen = false;
  for (let k = 0; k < count; k++) {
    const stop = state.orders[base + k]!;
    if (stop === site) continue;
    if (stop === UNLOAD && !isTripOpen) continue;
    state.orders[base + kept++] = stop;
    isTripOpen = stop !== UNLOAD;
  }
  if (kept > 0 && state.orders[base + kept - 1] === UNLOAD) kept--;
  state.counts[shift] = kept;
  state.mask[site]! &= ~(1 << day);
  state.shiftOf[site * week.days + day] = -1;
}
