/**
 * Where in a round a site fits best: per trip the cheapest place, exactly timed, and the load beside which it would
 * travel, so that the search can hold different masses against the van without timing again.
 *
 * Exact and still quick: places are timed in the order of a lower bound (insertion-bounds.ts) until it passes the best
 * found, each without going through the whole round (insertion-timing.ts).
 *
 * The routing kernel prices insertions in O(1), but with loads that add up and whole costs per metre; here loads
 * are held at a quantile (mean + z sd of a trip), depend on the day of the visit before, and money is rounded once
 * a round. Hence this scan of our own.
 */
import { layBounds, laySplits, type Split } from './insertion-bounds.ts';
import { makeInsertionTiming, type Unloading } from './insertion-timing.ts';
import { makePlaceMemory } from './place-memory.ts';
import { MAX_STOPS } from './timetable.ts';
import { makeRoundLoads, type TripLoad, takesStop } from './trip-loads.ts';
import type { WeekState } from './week-state.ts';

export type Place = {
  readonly shift: number;
  readonly at: number;
  readonly unload: Unloading;
  readonly micros: number;
};

/** Best place of one trip, and what travels on it. */
type TripPlace = { shift: number; at: number; unload: 0; micros: number; load: TripLoad };

/** Places for one site in the rounds of one day; filled by `scanDay`, asked by `cheapestPlace`. */
export type DayPlaces = {
  readonly shifts: readonly number[];
  readonly plain: TripPlace[];
  /** Where a new unloading could make room, in order of the lower bound; laid when first wanted. */
  splits: readonly Split[] | undefined;
};

/** Vans of a day that are all looked at. */
const SMALL_FLEET = 2;
/** Timings of one trip at most; beyond, the bound has lost its use. */
const MAX_TIMED = 8;
/** Splits that are timed at most, and where one is already found. */
const MAX_SPLITS = 12;
const ENOUGH_SPLITS = 4;

export type Inserter = {
  /** Looks through all rounds of the day; the site must be in none of them. */
  scanDay(state: WeekState, site: number, day: number): DayPlaces;
  /** Cheapest place that takes the mass, or undefined. Splits a trip only where no trip has room. */
  cheapestPlace(
    state: WeekState,
    places: DayPlaces,
    site: number,
    massKg: number,
    varianceKg2: number,
  ): Place | undefined;
  /** Cheapest place with a new unloading beside it. */
  cheapestSplit(
    state: WeekState,
    places: DayPlaces,
    site: number,
    massKg: number,
    varianceKg2: number,
  ): Place | undefined;
};

/** One for each week: what it remembers belongs to the week's versions. */
export function makeInserter(): Inserter {
  const { clockOf, extraMicros } = makeInsertionTiming();
  const { remembered, remember } = makePlaceMemory();
  const loadsOf = makeRoundLoads();
  const bound = new Float64Array(MAX_STOPS + 2);
  const tripOf = new Int32Array(MAX_STOPS + 2);

  /** Best place and its micros for each trip of the round in turn. */
  const bestOfTrips = (state: WeekState, site: number, shift: number, trips: number): Float64Array => {
    const count = state.counts[shift]!;
    layBounds(state, clockOf(state, shift), shift, site, bound, tripOf);
    const found = new Float64Array(2 * trips);
    for (let trip = 0; trip < trips; trip++) {
      let best = Infinity;
      let bestAt = -1;
      for (let tries = 0; tries < MAX_TIMED; tries++) {
        let at = -1;
        let least = best;
        for (let k = 0; k <= count; k++)
          if (tripOf[k] === trip && bound[k]! < least) {
            least = bound[k]!;
            at = k;
          }
        if (at < 0) break;
        bound[at] = Infinity;
        const micros = extraMicros(state, shift, site, at, 0, best);
        if (micros < best) {
          best = micros;
          bestAt = at;
        }
      }
      found[2 * trip] = bestAt;
      found[2 * trip + 1] = best;
    }
    return found;
  };

  const scanDay = (state: WeekState, site: number, day: number): DayPlaces => {
    const isOpen = state.week.spans[site * state.week.days + day]!.length > 0;
    const shifts = isOpen ? shiftsNear(state, site, day) : [];
    const plain: TripPlace[] = [];
    for (const shift of shifts) {
      const { trips } = loadsOf(state, shift);
      const version = state.version[shift]!;
      let found = remembered(site, version, shift);
      if (!found) {
        found = bestOfTrips(state, site, shift, trips.length);
        remember(site, version, shift, found);
      }
      for (let t = 0; t < trips.length; t++)
        plain.push({ shift, at: found[2 * t]!, unload: 0, micros: found[2 * t + 1]!, load: trips[t]! });
    }
    return { shifts, plain, splits: undefined };
  };

  /** By their bound, the earlier first among equals. */
  const splitsOf = (state: WeekState, { shifts }: DayPlaces, site: number): readonly Split[] => {
    const splits: Split[] = [];
    for (const shift of shifts)
      laySplits(state, clockOf(state, shift), shift, site, loadsOf(state, shift), splits);
    return splits.sort((a, b) => a.bound - b.bound);
  };

  const cheapestPlace: Inserter['cheapestPlace'] = (state, places, site, massKg, varianceKg2) => {
    let best: TripPlace | undefined;
    for (const place of places.plain)
      if (
        place.micros < (best?.micros ?? Infinity) &&
        takesStop(state, place.shift, place.load, site, massKg, varianceKg2)
      )
        best = place;
    return best ?? cheapestSplit(state, places, site, massKg, varianceKg2);
  };

  const cheapestSplit: Inserter['cheapestSplit'] = (state, places, site, massKg, varianceKg2) => {
    if (places.plain.length === 0) return undefined;
    places.splits ??= splitsOf(state, places, site);
    let bestSplit: Split | undefined;
    let timed = 0;
    for (const split of places.splits) {
      if (!takesStop(state, split.shift, split.load, site, massKg, varianceKg2)) continue;
      if (Number.isNaN(split.micros))
        split.micros = extraMicros(state, split.shift, site, split.at, split.unload);
      if (split.micros < (bestSplit?.micros ?? Infinity)) bestSplit = split;
      if (++timed >= ENOUGH_SPLITS && bestSplit) break;
      if (timed >= MAX_SPLITS) break;
    }
    return bestSplit;
  };

  return { scanDay, cheapestPlace, cheapestSplit };
}

/**
 * Rounds of that day worth looking at: all of a small fleet; of a large one those that call near the site, and one
 * that is still empty of each kind of van.
 */
function shiftsNear(state: WeekState, site: number, day: number): readonly number[] {
  const { week, counts, shiftOf } = state;
  const all = week.shiftsOfDay[day]!;
  if (all.length <= SMALL_FLEET) return all;
  const found: number[] = [];
  for (const other of week.near[site]!) {
    const shift = shiftOf[other * week.days + day]!;
    if (shift >= 0 && !found.includes(shift)) found.push(shift);
    if (found.length === SMALL_FLEET) break;
  }
  let seen = 0;
  for (const shift of all) {
    const kind = week.kindOfShift[shift]!;
    if (counts[shift]! > 0 || seen & (1 << kind)) continue;
    seen |= 1 << kind;
    found.push(shift);
  }
  return found;
}
