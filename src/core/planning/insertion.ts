/**
 * Where in a round a site fits best: per trip the cheapest place, exactly timed, and the loads beside which it
 * would travel, so that the search can hold different masses against the van without timing again.
 *
 * Exact and still quick: an insertion costs at least its detour in metres and what its work exceeds the round's
 * waiting, in seconds. Places are timed in the order of that bound until it passes the best found.
 *
 * The routing kernel prices insertions in O(1), but with loads that add up and whole costs per metre; here loads
 * are held at a quantile (mean + z sd of a trip), depend on the day of the visit before, and money is rounded once
 * a round. Hence this scan of our own.
 */
import { MAX_STOPS, type Shape, UNLOAD } from './timetable.ts';
import type { StartSpan } from './week.ts';
import { tripFits, visitMassKg, visitVarianceKg2, type WeekState } from './week-state.ts';

export type Place = {
  shift: number;
  at: number;
  /** 0: no new unloading; 1: one before the stop; 2: one after it. */
  unload: 0 | 1 | 2;
  micros: number;
};

/** What travels on the same trip. */
type Beside = { stops: number; massKg: number; varianceKg2: number; litres: number; varianceL2: number };

/** Places for one site in the rounds of one day; filled by `scanDay`, asked by `cheapestPlace`. */
export type DayPlaces = {
  readonly shifts: readonly number[];
  /** Best place of each trip, with the sums of the trip. */
  readonly plain: (Place & Beside)[];
  /** Rounds in which a new unloading could make room, in order of the lower bound. */
  readonly splits: (Place & Beside)[];
  splitsReady: boolean;
};

/** Vans of a day that are all looked at. */
const SMALL_FLEET = 2;
/** Timings of one trip at most; beyond, the bound has lost its use. */
const MAX_TIMED = 8;
/** Rounding of parts may hide this much of a bound. */
const ROUNDING_MICROS = 4;

export type Inserter = {
  /** Looks through all rounds of the day; the site must be in none of them. */
  scanDay(state: WeekState, site: number, day: number): DayPlaces;
  /** Cheapest place that takes the mass, or undefined. Splits a trip only where no trip has room. */
  cheapestPlace(
    state: WeekState,
    places: DayPlaces,
    site: number,
    day: number,
    massKg: number,
    varianceKg2: number,
  ): Place | undefined;
};

/** Place and micros of each trip in turn. */
type Remembered = {
  readonly version: number;
  readonly places: Float64Array;
  readonly olderVersion: number;
  readonly olderPlaces: Float64Array;
};

/** One for each week: what it remembers belongs to the week's versions. */
export function makeInserter(): Inserter {
  const trial = new Int32Array(MAX_STOPS + 2);
  const bound = new Float64Array(MAX_STOPS + 2);
  const tripOf = new Int32Array(MAX_STOPS + 2);

  // Most rounds are as they were when a site last looked: its places there are remembered, for the last two
  // orders of each round, since a change that is not accepted brings the order before back.
  const memory: Remembered[] = [];
  const remembered = (key: number, version: number): Float64Array | undefined => {
    const entry = memory[key];
    if (!entry) return undefined;
    if (entry.version === version) return entry.places;
    return entry.olderVersion === version ? entry.olderPlaces : undefined;
  };
  const remember = (key: number, version: number, places: Float64Array): void => {
    const before = memory[key];
    memory[key] = {
      version,
      places,
      olderVersion: before?.version ?? -1,
      olderPlaces: before?.places ?? places,
    };
  };

  type Limits = {
    version: number;
    readonly earlyLeaveS: Float64Array;
    readonly lateStartS: Float64Array;
    shape: Shape;
  };
  const limitsByShift: Limits[] = [];
  const limitsOf = (state: WeekState, shift: number): Limits => {
    const version = state.version[shift]!;
    const known = limitsByShift[shift];
    if (known?.version === version) return known;
    const earlyLeaveS = known?.earlyLeaveS ?? new Float64Array(MAX_STOPS + 2);
    const lateStartS = known?.lateStartS ?? new Float64Array(MAX_STOPS + 2);
    const { timer, week, orders, counts } = state;
    const shape = timer.limits(
      week.shifts[shift]!,
      orders,
      shift * MAX_STOPS,
      counts[shift]!,
      earlyLeaveS,
      lateStartS,
    );
    const limits = { version, earlyLeaveS, lateStartS, shape };
    limitsByShift[shift] = limits;
    return limits;
  };

  /**
   * The timer's own answer where no window binds and nobody waits, before or after: then a round lasts as long as its
   * legs and work, and a break, if one is due, fits after some stop. NaN where that is not sure.
   */
  const quick = (state: WeekState, shift: number, site: number, at: number, unload: 0 | 1 | 2): number => {
    const { orders, counts, week } = state;
    const { shape, earlyLeaveS } = limitsOf(state, shift);
    if (!shape.isPlain) return Number.NaN;
    const { legM, legS, places, problem, shifts } = week;
    const { day, startS, endS, lastS, microsPerKm, microsPerHour } = shifts[shift]!;
    const base = shift * MAX_STOPS;
    const placeAt = (k: number): number => {
      const stop = k < 0 || k >= counts[shift]! ? UNLOAD : orders[base + k]!;
      return stop === UNLOAD ? problem.workshopPlace : week.place[stop]!;
    };
    const to = placeAt(at);
    let from = placeAt(at - 1);
    let metres = -legM[from * places + to]!;
    let extraS = -legS[from * places + to]!;
    let longestStepS = shape.longestStepS;
    let t = at === 0 ? startS : earlyLeaveS[at - 1]!;
    const { breakS, maxWorkS } = problem.breakRule;
    for (let n = 0; n < (unload === 0 ? 1 : 2); n++) {
      const isUnload = unload !== 0 && n === unload - 1;
      const here = isUnload ? problem.workshopPlace : week.place[site]!;
      const workS = isUnload ? problem.prices.unloadS : week.serviceS[site]!;
      const spans = isUnload ? week.unloadSpans[day]! : week.spans[site * week.days + day]!;
      const leg = from * places + here;
      t += legS[leg]!;
      if (spans.length !== 1 || t < spans[0]!.fromS || t + breakS > spans[0]!.untilS) return Number.NaN;
      metres += legM[leg]!;
      extraS += legS[leg]! + workS;
      longestStepS = Math.max(longestStepS, legS[leg]! + workS);
      t += workS;
      from = here;
    }
    metres += legM[from * places + to]!;
    extraS += legS[from * places + to]!;
    const atNext = at < counts[shift]! ? orders[base + at]! : UNLOAD;
    const nextWorkS = atNext === UNLOAD ? problem.prices.unloadS : week.serviceS[atNext]!;
    longestStepS = Math.max(longestStepS, legS[from * places + to]! + nextWorkS);
    // A shorter way could come before a window opens.
    if (extraS < 0) return Number.NaN;
    const workS = shape.workS + extraS;
    const needsBreak = workS > maxWorkS;
    if (needsBreak && longestStepS > 2 * maxWorkS - workS) return Number.NaN;
    const lastsS = workS + (needsBreak ? breakS : 0);
    if (shape.slackS < extraS + (needsBreak ? breakS : 0)) return Number.NaN;
    if (startS + lastsS > lastS) return Infinity;
    return (
      Math.round(((shape.distanceM + metres) * microsPerKm) / 1000) +
      Math.round((lastsS * microsPerHour) / 3600) +
      Math.round((Math.max(0, startS + lastsS - endS) * problem.prices.overtimeMicrosPerHour) / 3600) +
      (shape.unloads + (unload === 0 ? 0 : 1)) * problem.prices.unloadMicros -
      state.roundMicros[shift]!
    );
  };

  const timed = (state: WeekState, shift: number, site: number, at: number, unload: 0 | 1 | 2): number => {
    const { orders, counts, week, timer } = state;
    const base = shift * MAX_STOPS;
    const count = counts[shift]!;
    if (count + (unload === 0 ? 1 : 2) >= MAX_STOPS) return Infinity;
    const micros = quick(state, shift, site, at, unload);
    if (!Number.isNaN(micros)) return micros;
    let n = 0;
    for (let k = 0; k < at; k++) trial[n++] = orders[base + k]!;
    if (unload === 1) trial[n++] = UNLOAD;
    trial[n++] = site;
    if (unload === 2) trial[n++] = UNLOAD;
    for (let k = at; k < count; k++) trial[n++] = orders[base + k]!;
    return timer.cost(week.shifts[shift]!, trial, 0, n) - state.roundMicros[shift]!;
  };

  /** Lower bound for going a -> x (-> y) -> b instead of a -> b. */
  const detourBound = (
    state: WeekState,
    shift: number,
    a: number,
    x: number,
    y: number,
    b: number,
    isNew: boolean,
    workS: number,
  ): number => {
    const { legM, legS, places, shifts } = state.week;
    const { microsPerKm, microsPerHour } = shifts[shift]!;
    let m = legM[a * places + x]! + legM[x * places + y]! + legM[y * places + b]!;
    let s = legS[a * places + x]! + legS[x * places + y]! + legS[y * places + b]! + workS;
    if (!isNew) {
      m -= legM[a * places + b]!;
      s -= legS[a * places + b]!;
    }
    const extraS = Math.max(0, s - state.waitS[shift]!);
    return (m * microsPerKm) / 1000 + (extraS * microsPerHour) / 3600 - ROUNDING_MICROS;
  };

  const scanShift = (state: WeekState, places: DayPlaces, site: number, shift: number): void => {
    const { orders, counts, week } = state;
    const base = shift * MAX_STOPS;
    const count = counts[shift]!;
    const day = week.shifts[shift]!.day;
    const workshop = week.problem.workshopPlace;
    const here = week.place[site]!;
    let trip = 0;
    let stops = 0;
    let massKg = 0;
    let varianceKg2 = 0;
    let litres = 0;
    let varianceL2 = 0;
    const first = places.plain.length;
    for (let k = 0; k <= count; k++) {
      const next = k < count ? orders[base + k]! : UNLOAD;
      tripOf[k] = trip;
      if (next === UNLOAD) {
        places.plain.push({
          shift,
          at: -1,
          unload: 0,
          micros: Infinity,
          stops,
          massKg,
          varianceKg2,
          litres,
          varianceL2,
        });
        stops = massKg = varianceKg2 = litres = varianceL2 = 0;
        trip++;
      } else {
        const m = visitMassKg(state, next, day);
        const v = visitVarianceKg2(state, next, day);
        const l = week.problem.sites[next]!.model.litresPerKg;
        stops++;
        massKg += m;
        varianceKg2 += v;
        litres += m * l;
        varianceL2 += v * l * l;
      }
    }
    const known = remembered(site * week.shifts.length + shift, state.version[shift]!);
    if (known) {
      for (let t = 0; t < trip; t++) {
        places.plain[first + t]!.at = known[2 * t]!;
        places.plain[first + t]!.micros = known[2 * t + 1]!;
      }
      return;
    }
    const limits = limitsOf(state, shift);
    const spans = week.spans[site * week.days + day]!;
    let leaveS = week.shifts[shift]!.startS;
    let from = workshop;
    for (let k = 0; k <= count; k++) {
      const next = k < count ? orders[base + k]! : UNLOAD;
      const to = next === UNLOAD ? workshop : week.place[next]!;
      const beginS = earliestIn(spans, leaveS + week.legS[from * week.places + here]!);
      const onS = beginS + week.serviceS[site]! + week.legS[here * week.places + to]!;
      bound[k] =
        onS > limits.lateStartS[k]!
          ? Infinity
          : detourBound(state, shift, from, here, here, to, count === 0, week.serviceS[site]!);
      from = to;
      leaveS = limits.earlyLeaveS[k]!;
    }
    const found = new Float64Array(2 * trip);
    for (let t = 0; t < trip; t++) {
      const best = places.plain[first + t]!;
      for (let tries = 0; tries < MAX_TIMED; tries++) {
        let at = -1;
        let least = best.micros;
        for (let k = 0; k <= count; k++)
          if (tripOf[k] === t && bound[k]! < least) {
            least = bound[k]!;
            at = k;
          }
        if (at < 0) break;
        bound[at] = Infinity;
        const micros = timed(state, shift, site, at, 0);
        if (micros < best.micros) {
          best.micros = micros;
          best.at = at;
        }
      }
      found[2 * t] = best.at;
      found[2 * t + 1] = best.micros;
    }
    remember(site * week.shifts.length + shift, state.version[shift]!, found);
  };

  /** All ways to unload beside the stop, by their bound; `micros` is timed when first wanted (NaN until then). */
  const scanSplits = (state: WeekState, places: DayPlaces, site: number, day: number): void => {
    const { orders, counts, week } = state;
    const workshop = week.problem.workshopPlace;
    const here = week.place[site]!;
    const workS = week.serviceS[site]! + week.problem.prices.unloadS;
    const bounds: number[] = [];
    for (const shift of places.shifts) {
      const base = shift * MAX_STOPS;
      const count = counts[shift]!;
      if (count === 0) continue;
      // No time for another trip.
      const { startS, lastS } = week.shifts[shift]!;
      if (limitsOf(state, shift).shape.workS + workS > lastS - startS) continue;
      let from = workshop;
      let head = { stops: 0, massKg: 0, varianceKg2: 0, litres: 0, varianceL2: 0 };
      let entry = places.plain.findIndex((place) => place.shift === shift);
      for (let k = 0; k <= count; k++) {
        const next = k < count ? orders[base + k]! : UNLOAD;
        const to = next === UNLOAD ? workshop : week.place[next]!;
        const whole = places.plain[entry]!;
        if (k > 0 && orders[base + k - 1] !== UNLOAD) {
          bounds.push(detourBound(state, shift, from, workshop, here, to, false, workS));
          places.splits.push({
            shift,
            at: k,
            unload: 1,
            micros: Number.NaN,
            stops: whole.stops - head.stops,
            massKg: whole.massKg - head.massKg,
            varianceKg2: whole.varianceKg2 - head.varianceKg2,
            litres: whole.litres - head.litres,
            varianceL2: whole.varianceL2 - head.varianceL2,
          });
        }
        if (k < count && next !== UNLOAD) {
          bounds.push(detourBound(state, shift, from, here, workshop, to, false, workS));
          places.splits.push({ shift, at: k, unload: 2, micros: Number.NaN, ...head });
        }
        from = to;
        if (next === UNLOAD) {
          head = { stops: 0, massKg: 0, varianceKg2: 0, litres: 0, varianceL2: 0 };
          entry++;
        } else {
          const m = visitMassKg(state, next, day);
          const v = visitVarianceKg2(state, next, day);
          const l = week.problem.sites[next]!.model.litresPerKg;
          head = {
            stops: head.stops + 1,
            massKg: head.massKg + m,
            varianceKg2: head.varianceKg2 + v,
            litres: head.litres + m * l,
            varianceL2: head.varianceL2 + v * l * l,
          };
        }
      }
    }
    const order = bounds.map((_, i) => i).sort((a, b) => bounds[a]! - bounds[b]! || a - b);
    const sorted = order.map((i) => places.splits[i]!);
    places.splits.splice(0, places.splits.length, ...sorted);
    places.splitsReady = true;
  };

  const scanDay = (state: WeekState, site: number, day: number): DayPlaces => {
    const isOpen = state.week.spans[site * state.week.days + day]!.length > 0;
    const shifts = isOpen ? shiftsNear(state, site, day) : [];
    const places: DayPlaces = { shifts, plain: [], splits: [], splitsReady: false };
    for (const shift of shifts) scanShift(state, places, site, shift);
    return places;
  };

  const cheapestPlace = (
    state: WeekState,
    places: DayPlaces,
    site: number,
    day: number,
    massKg: number,
    varianceKg2: number,
  ): Place | undefined => {
    const { week } = state;
    const l = week.problem.sites[site]!.model.litresPerKg;
    const { fillsVan } = week.tables[site]!;
    let best: Place | undefined;
    const fits = (p: DayPlaces['plain'][number]): boolean =>
      tripFits(
        week,
        p.shift,
        fillsVan && p.stops === 0,
        p.massKg + massKg,
        p.varianceKg2 + varianceKg2,
        p.litres + massKg * l,
        p.varianceL2 + varianceKg2 * l * l,
      );
    for (const place of places.plain)
      if (place.micros < (best?.micros ?? Infinity) && fits(place)) best = place;
    if (best) return best;
    if (places.plain.length === 0) return undefined;
    if (!places.splitsReady) scanSplits(state, places, site, day);
    let timedSoFar = 0;
    for (const place of places.splits) {
      if (!fits(place)) continue;
      if (Number.isNaN(place.micros)) place.micros = timed(state, place.shift, site, place.at, place.unload);
      if (place.micros < (best?.micros ?? Infinity)) best = place;
      if (++timedSoFar >= 4 && best) break;
      if (timedSoFar >= 12) break;
    }
    return best;
  };

  return { scanDay, cheapestPlace };
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

function earliestIn(spans: readonly StartSpan[], t: number): number {
  for (let w = 0; w < spans.length; w++) if (t <= spans[w]!.untilS) return Math.max(t, spans[w]!.fromS);
  return Infinity;
}
