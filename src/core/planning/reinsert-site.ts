/**
 * The best set of days for one site while all others stay: dynamic programming over the days of the horizon,
 * exact for fixed rounds and linear prices of stock. The operator is that of Zhao, Archetti, Pham & Vidal (2025),
 * "Large neighborhood and hybrid genetic search for inventory routing problems" (arXiv 2506.03172, abstract),
 * here for taking all that waits.
 *
 *   D[b] = min over a < b of D[a] + O(a, b) + skipped(a, b) + cheapest place on day b that still has room - stock
 */
import type { Evaluator } from './evaluate.ts';
import { MAX_STOPS, UNLOAD } from './timetable.ts';
import { emptyTrips, fitsWith, readTripLoads, type TripLoad } from './trip-loads.ts';
import type { Week } from './week.ts';
import { insertVisit, type WeekState } from './week-state.ts';

/** Places a day that are tried exactly, nearest detour first, before a shift is given up for windows. */
const TRIED_PLACES = 3;
const OPTIONS_PER_SHIFT = 2;

export type Option = {
  readonly shift: number;
  readonly position: number;
  readonly unload: 'none' | 'before' | 'after';
  /** -1: a trip of its own. */
  readonly trip: number;
  readonly micros: number;
};

export type Reinserter = {
  /** Inserts the site on its best days; it must have no visits. Gives the days as a bit set. */
  reinsert(state: WeekState, site: number, slopes: Float64Array, isBlind: () => boolean): number;
  /** Cheapest places for a site on a day, cheapest first, whatever the load. */
  optionsOn(state: WeekState, site: number, day: number): Option[];
  loadsOf(state: WeekState, shift: number): readonly TripLoad[];
};

export function makeReinserter(week: Week, evaluator: Evaluator): Reinserter {
  const { days, tables, problem, stock } = week;
  const { prices } = problem;
  const scratch = new Int32Array(MAX_STOPS + 2);
  const trips = emptyTrips();
  const nodes = days + 1;
  const best = new Float64Array(nodes);
  const from = new Int32Array(nodes);
  const chosen: (Option | undefined)[] = new Array(nodes);
  const legCost = (shift: number, a: number, b: number): number => {
    const { microsPerKm, microsPerHour } = week.shifts[shift]!;
    const leg = a * week.places + b;
    return (week.legM[leg]! * microsPerKm) / 1000 + (week.legS[leg]! * microsPerHour) / 3600;
  };
  const placeOf = (stop: number): number => (stop === UNLOAD ? problem.workshopPlace : week.place[stop]!);

  /** Exact change of the round's cost with the site at a position. */
  const priceAt = (
    state: WeekState,
    site: number,
    shift: number,
    position: number,
    unload: Option['unload'],
    now: number,
  ): number => {
    const count = state.counts[shift]!;
    const base = shift * MAX_STOPS;
    if (count + 2 > MAX_STOPS) return Number.POSITIVE_INFINITY;
    let k = 0;
    for (let j = 0; j < position; j++) scratch[k++] = state.orders[base + j]!;
    if (unload === 'before') scratch[k++] = UNLOAD;
    scratch[k++] = site;
    if (unload === 'after') scratch[k++] = UNLOAD;
    for (let j = position; j < count; j++) scratch[k++] = state.orders[base + j]!;
    return evaluator.timer.cost(week.shifts[shift]!, scratch, 0, k) - now;
  };

  const optionsInShift = (state: WeekState, site: number, shift: number, out: Option[]): void => {
    const count = state.counts[shift]!;
    const base = shift * MAX_STOPS;
    const now = evaluator.roundMicros(state, shift);
    const at = week.place[site]!;
    if (count === 0) {
      const micros = priceAt(state, site, shift, 0, 'none', 0);
      if (micros < Number.POSITIVE_INFINITY) out.push({ shift, position: 0, unload: 'none', trip: 0, micros });
      return;
    }
    const places: { position: number; trip: number; detour: number }[] = [];
    let trip = 0;
    let previous = problem.workshopPlace;
    for (let k = 0; k <= count; k++) {
      const next = k < count ? placeOf(state.orders[base + k]!) : problem.workshopPlace;
      const detour = legCost(shift, previous, at) + legCost(shift, at, next) - legCost(shift, previous, next);
      places.push({ position: k, trip, detour });
      if (k < count && state.orders[base + k] === UNLOAD) trip++;
      previous = next;
    }
    places.sort((a, b) => a.detour - b.detour || a.position - b.position);
    const found: Option[] = [];
    for (let k = 0; k < places.length; k++) {
      if (k >= TRIED_PLACES && found.length > 0) break;
      const place = places[k]!;
      const micros = priceAt(state, site, shift, place.position, 'none', now);
      if (micros < Number.POSITIVE_INFINITY)
        found.push({ shift, position: place.position, unload: 'none', trip: place.trip, micros });
    }
    found.sort((a, b) => a.micros - b.micros || a.position - b.position);
    // The best place of other trips too: the best trip may be full.
    const seen = new Set<number>();
    for (const option of found)
      if (!seen.has(option.trip) || seen.size >= OPTIONS_PER_SHIFT) {
        seen.add(option.trip);
        out.push(option);
      }
    for (const [position, unload] of [
      [count, 'before'],
      [0, 'after'],
    ] as const) {
      const micros = priceAt(state, site, shift, position, unload, now);
      if (micros < Number.POSITIVE_INFINITY) out.push({ shift, position, unload, trip: -1, micros });
    }
  };

  const optionsOn = (state: WeekState, site: number, day: number): Option[] => {
    const options: Option[] = [];
    if (week.spans[site * days + day]!.length === 0) return options;
    for (const shift of week.shiftsOfDay[day]!) optionsInShift(state, site, shift, options);
    const at = site * days + day;
    const changed = (option: Option): number =>
      option.micros + (week.publishedShift[at] === option.shift ? 0 : week.changeMicros[at]!);
    return options.sort((a, b) => changed(a) - changed(b) || a.shift - b.shift || a.position - b.position);
  };

  /** What it costs that nobody calls on the days strictly between two nodes. */
  const skipped = (site: number, a: number, b: number): number => {
    // Node n is day n - 1; strictly between lie days a .. b - 2.
    const between = b - 1 > a ? ((1 << (b - 1)) - 1) & ~((1 << a) - 1) : 0;
    if (between === 0) return 0;
    let micros = 0;
    for (const keep of week.keepDays[site]!)
      if (keep !== 0 && (keep & ~between) === 0) micros += prices.brokenPromiseMicros;
    let habits = week.usualMask[site]! & between;
    for (; habits !== 0; habits &= habits - 1) micros += prices.brokenHabitMicros;
    for (let day = a; day <= b - 2; day++)
      if (week.publishedShift[site * days + day]! >= 0) micros += week.changeMicros[site * days + day]!;
    return micros;
  };

  const stockWorth = (site: number, day: number, massKg: number, slopes: Float64Array): number => {
    const grades = stock.drawn.length;
    const at = day * stock.columns;
    let slope = slopes[at + grades]!;
    for (let c = 0; c < grades; c++) slope += slopes[at + c]! * stock.share[site * grades + c]!;
    return slope * week.usableShare * massKg;
  };

  return {
    optionsOn,
    loadsOf(state, shift) {
      return trips.slice(0, readTripLoads(week, state, shift, trips));
    },
    reinsert(state, site, slopes, isBlind) {
      const table = tables[site]!;
      const end = table.nodes - 1;
      best.fill(Number.POSITIVE_INFINITY);
      best[0] = 0;
      let loadedShift = -1;
      let tripCount = 0;
      for (let b = 1; b <= days; b++) {
        const day = b - 1;
        if (isBlind()) continue;
        const options = optionsOn(state, site, day);
        for (const option of options) {
          if (option.shift !== loadedShift) {
            tripCount = readTripLoads(week, state, option.shift, trips);
            loadedShift = option.shift;
          }
          const trip = option.trip >= 0 && option.trip < tripCount ? trips[option.trip] : undefined;
          const at = site * days + day;
          const micros = option.micros + (week.publishedShift[at] === option.shift ? 0 : week.changeMicros[at]!);
          for (let a = 0; a < b; a++) {
            if (best[a] === Number.POSITIVE_INFINITY) continue;
            if (!fitsWith(week, trip, option.shift, site, a, day)) continue;
            const entry = a * table.nodes + b;
            const cost =
              best[a]! +
              table.overflowMicros[entry]! +
              skipped(site, a, b) +
              micros +
              stockWorth(site, day, table.massKg[entry]!, slopes);
            if (cost < best[b]!) {
              best[b] = cost;
              from[b] = a;
              chosen[b] = option;
            }
          }
        }
      }
      let last = 0;
      let least = Number.POSITIVE_INFINITY;
      for (let b = 0; b <= days; b++) {
        if (best[b] === Number.POSITIVE_INFINITY) continue;
        const cost =
          best[b]! +
          table.overflowMicros[b * table.nodes + end]! +
          table.leftAtEndMicros[b]! +
          skipped(site, b, days + 1);
        if (cost < least) {
          least = cost;
          last = b;
        }
      }
      let mask = 0;
      for (let b = last; b > 0; b = from[b]!) {
        const { shift, position, unload } = chosen[b]!;
        insertVisit(week, state, site, shift, position, unload);
        mask |= 1 << (b - 1);
      }
      return mask;
    },
  };
}
