/**
 * All visits of one site at once: dynamic programming over its visit days, with every other visit where it is.
 * The operator is that of Zhao, Archetti, Pham & Vidal (2025), arXiv 2506.03172 (abstract), for collection with
 * "take all", where the mass of a visit depends on the visit before it:
 *
 *   D(b) = min over a < b of D(a) + O(a, b) + gap(a, b) + place(b, M(a, b)) + M(a, b) x slope(b)
 *
 * Optimal for the rounds as they stand but for the store, whose cost is taken as linear (its slope), and for
 * promises that leave a choice of days with others between them.
 */
import type { Random } from '../quantity/random.ts';
import type { DayPlaces, Inserter, Place } from './insertion.ts';
import { insertStop, removeStop, type WeekState } from './week-state.ts';

/** What a visit on that day is pretended to save, so that sites come along of which no single one would. */
export type Lure = { readonly day: number; readonly micros: number };

export type Reinserter = {
  /** Takes a site out of all its rounds and puts it back where it costs least. `blink`: chance to overlook a day. */
  reinsert(
    state: WeekState,
    site: number,
    guide: Float64Array,
    random?: Random,
    blink?: number,
    lure?: Lure,
  ): void;
};

export function makeReinserter(days: number, inserter: Inserter): Reinserter {
  const nodes = days + 2;
  const cost = new Float64Array(nodes);
  const previous = new Int32Array(nodes);
  const placeAt: (Place | undefined)[] = new Array(nodes).fill(undefined);

  const reinsert: Reinserter['reinsert'] = (state, site, guide, random, blink = 0, lure) => {
    const { week } = state;
    removeAll(state, site);
    const table = week.tables[site]!;
    const end = days + 1;
    cost.fill(Infinity);
    cost[0] = 0;
    for (let b = 1; b <= days; b++) {
      const day = b - 1;
      const node = site * days + day;
      if (week.spans[node]!.length === 0 || week.shiftsOfDay[day]!.length === 0) continue;
      if (random && blink > 0 && random.next() < blink) continue;
      const places = inserter.scanDay(state, site, day);
      if (places.plain.length === 0) continue;
      const slope = slopePerKg(state, site, day, guide);
      const lured = lure?.day === day ? lure.micros : 0;
      for (let a = 0; a < b; a++) {
        if (cost[a] === Infinity) continue;
        const at = a * nodes + b;
        const mass = table.massKg[at]!;
        const before =
          cost[a]! + table.overflowMicros[at]! + gapMicros(state, site, a, b) + mass * slope - lured;
        if (before >= cost[b]! && !hasNegativePlace(places)) continue;
        const place = inserter.cheapestPlace(state, places, site, mass, table.varianceKg2[at]!);
        if (!place) continue;
        const total = before + place.micros + changeHere(state, node, place.shift);
        if (total < cost[b]!) {
          cost[b] = total;
          previous[b] = a;
          placeAt[b] = place;
        }
      }
    }
    let last = 0;
    let best = Infinity;
    for (let a = 0; a <= days; a++) {
      if (cost[a] === Infinity) continue;
      const total =
        cost[a]! +
        table.overflowMicros[a * nodes + end]! +
        table.leftAtEndMicros[a]! +
        gapMicros(state, site, a, end);
      if (total < best) {
        best = total;
        last = a;
      }
    }
    for (let b = last; b > 0; b = previous[b]!) {
      const place = placeAt[b]!;
      insertStop(state, place.shift, place.at, site, place.unload);
    }
  };
  return { reinsert };
}

export function removeAll(state: WeekState, site: number): void {
  for (let rest = state.visitDays[site]!; rest !== 0; rest &= rest - 1)
    removeStop(state, site, 31 - Math.clz32(rest & -rest));
}

/** With legs that break the triangle inequality a stop can even save. */
const hasNegativePlace = (places: DayPlaces): boolean => places.plain.some((place) => place.micros < 0);

/** Change of the store's cost per kilogram collected there on that day. */
export function slopePerKg(state: WeekState, site: number, day: number, guide: Float64Array): number {
  const { stock, usableShare } = state.week;
  const grades = stock.drawn.length;
  let slope = guide[day * stock.columns + grades]!;
  for (let c = 0; c < grades; c++) slope += stock.share[site * grades + c]! * guide[day * stock.columns + c]!;
  return slope * usableShare;
}

/** Habits dropped, published visits removed and promises broken by not coming between two nodes. */
function gapMicros(state: WeekState, site: number, a: number, b: number): number {
  const { week } = state;
  const { days, problem, usualMask, keepDays, due, publishedShift, changeMicros, searchPromiseMicros } = week;
  let micros = 0;
  for (let day = a; day < b - 1; day++) {
    if (usualMask[site]! & (1 << day)) micros += problem.prices.brokenHabitMicros;
    if (publishedShift[site * days + day]! >= 0) micros += changeMicros[site * days + day]!;
  }
  const keep = keepDays[site]!;
  // Days strictly between the two visits.
  const gap = ((1 << (b - 1)) - 1) & ~((1 << a) - 1);
  for (let p = 0; p < keep.length; p++)
    if (keep[p] !== 0 && due[site]![p] && (keep[p]! & ~gap) === 0) micros += searchPromiseMicros;
  return micros;
}

export const changeHere = (state: WeekState, node: number, shift: number): number =>
  state.week.publishedShift[node] === shift ? 0 : state.week.changeMicros[node]!;
