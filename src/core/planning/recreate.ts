/**
 * Bringing visits back: site by site by the dynamic programme over days (reinsert.ts), or into the one place that helps
 * most; and a van sent to a site first, to see who comes along.
 */
import type { Random } from '../quantity/random.ts';
import type { DayPlaces, Inserter, Place } from './insertion.ts';
import { changeHere, type Lure, type Reinserter, removeAll, slopePerKg } from './reinsert.ts';
import { repairLoads } from './ruin.ts';
import { insertStop, nodeBefore, type WeekState } from './week-state.ts';

const BLINK = 0.01;
const WILD_SHARE = 0.15;
const WILD_BLINK = 0.3;
/** Of gatherings: how many lure their company, by what at most (in mean costs of a visit), how many on a trip apart. */
const LURE_SHARE = 0.8;
const MAX_LURE = 2;
const APART_SHARE = 0.25;

/**
 * A round that no single site is worth can be worth it for several. So a site is visited on some day whatever that
 * costs, its neighbours decide anew beside it, and then the site itself.
 */
export function gather(
  state: WeekState,
  seed: number,
  inserter: Inserter,
  reinserter: Reinserter,
  guide: Float64Array,
  random: Random,
): void {
  const { week } = state;
  const pool: number[] = [];
  const throwIn = (site: number): void => {
    if (site !== seed && !pool.includes(site)) pool.push(site);
  };
  removeAll(state, seed);
  const near = week.near[seed]!;
  const company = 1 + random.below(7);
  for (let k = 0; k < near.length && pool.length < company; k++) if (random.next() < 0.7) throwIn(near[k]!);
  for (const site of pool) removeAll(state, site);
  repairLoads(state, throwIn);
  const days: number[] = [];
  for (let day = 0; day < week.days; day++)
    if (week.spans[seed * week.days + day]!.length > 0 && week.shiftsOfDay[day]!.length > 0) days.push(day);
  let lure: Lure | undefined;
  if (days.length > 0) {
    const day = days[random.below(days.length)]!;
    const place = placeForCompany(state, seed, day, inserter, random);
    if (place && place.micros < Infinity) {
      insertStopAt(state, place, seed);
      if (random.next() < LURE_SHARE) lure = { day, micros: MAX_LURE * week.scaleMicros * random.next() };
    }
  }
  shuffle(pool, random);
  for (const site of pool) reinserter.reinsert(state, site, guide, random, BLINK, lure);
  reinserter.reinsert(state, seed, guide);
  // Who was lured thinks again now that the others are there.
  if (lure) for (const site of pool) reinserter.reinsert(state, site, guide);
}

/** Sometimes on a trip of its own, or in a round drawn by lot: the cheapest may be too small for the company. */
function placeForCompany(
  state: WeekState,
  site: number,
  day: number,
  inserter: Inserter,
  random: Random,
): Place | undefined {
  const { massKg, varianceKg2 } = state.week.tables[site]!;
  const places = drawnRound(inserter.scanDay(state, site, day), random);
  const isApart = random.next() < APART_SHARE;
  const apart =
    isApart && inserter.cheapestSplit(state, places, site, massKg[day + 1]!, varianceKg2[day + 1]!);
  return apart || inserter.cheapestPlace(state, places, site, massKg[day + 1]!, varianceKg2[day + 1]!);
}

/** Half of the time only the places in one round of the day. */
function drawnRound(places: DayPlaces, random: Random): DayPlaces {
  const { shifts } = places;
  if (shifts.length < 2 || random.next() < 0.5) return places;
  const shift = shifts[random.below(shifts.length)]!;
  return { shifts: [shift], plain: places.plain.filter((place) => place.shift === shift), splits: undefined };
}

export function recreate(
  state: WeekState,
  pool: number[],
  inserter: Inserter,
  reinserter: Reinserter,
  guide: Float64Array,
  random: Random,
): void {
  shuffle(pool, random);
  const { week } = state;
  // Slopes are only guesses of what a change will do, so some weeks are built on other guesses, or half blind.
  const blink = random.next() < WILD_SHARE ? WILD_BLINK : BLINK;
  const trust = random.next() < WILD_SHARE ? 2 * random.next() : 1;
  for (let k = 0; k < guide.length; k++) guide[k]! *= trust;
  const kind = random.next();
  if (kind < 0.3) sortBy(pool, (i) => -state.siteMicros[i]!);
  else if (kind < 0.45)
    sortBy(pool, (i) => -week.legM[week.problem.workshopPlace * week.places + week.place[i]!]!);
  else if (kind < 0.6)
    sortBy(pool, (i) => week.legM[week.problem.workshopPlace * week.places + week.place[i]!]!);
  sortBy(pool, (i) => (week.keepDays[i]!.some((mask) => mask !== 0) ? 0 : 1));
  for (const site of pool) {
    if (random.next() < 0.6) reinserter.reinsert(state, site, guide, random, blink);
    else insertGreedily(state, site, inserter, guide, random, blink);
  }
}

/** One more visit of the site, on the day where it helps most, as long as one helps. */
function insertGreedily(
  state: WeekState,
  site: number,
  inserter: Inserter,
  guide: Float64Array,
  random: Random,
  blink: number,
): void {
  const { week } = state;
  const { days, problem, keepDays, due } = week;
  const table = week.tables[site]!;
  const { nodes, overflowMicros, leftAtEndMicros, massKg, varianceKg2 } = table;
  const end = nodes - 1;
  const node = site * days;
  for (let round = 0; round < days; round++) {
    const visits = state.visitDays[site]!;
    let best = 0;
    let bestPlace: Place | undefined;
    for (let day = 0; day < days; day++) {
      if (visits & (1 << day) || week.spans[node + day]!.length === 0) continue;
      if (random.next() < blink) continue;
      const h = day + 1;
      const a = nodeBefore(visits, day);
      const later = visits & ~((2 << day) - 1);
      const b = later === 0 ? end : 32 - Math.clz32(later & -later);
      const mass = massKg[a * nodes + h]!;
      let delta =
        overflowMicros[a * nodes + h]! + overflowMicros[h * nodes + b]! - overflowMicros[a * nodes + b]!;
      delta += mass * slopePerKg(state, site, day, guide);
      if (b === end) delta += leftAtEndMicros[h]! - leftAtEndMicros[a]!;
      else delta += (massKg[h * nodes + b]! - massKg[a * nodes + b]!) * slopePerKg(state, site, b - 1, guide);
      if (week.usualMask[site]! & (1 << day)) delta -= problem.prices.brokenHabitMicros;
      for (let p = 0; p < keepDays[site]!.length; p++) {
        const keep = keepDays[site]![p]!;
        if (due[site]![p] && keep & (1 << day) && (keep & visits) === 0) delta -= week.searchPromiseMicros;
      }
      if (week.publishedShift[node + day]! >= 0) delta -= week.changeMicros[node + day]!;
      if (delta >= best) continue;
      const places = inserter.scanDay(state, site, day);
      const place = inserter.cheapestPlace(state, places, site, mass, varianceKg2[a * nodes + h]!);
      if (!place) continue;
      delta += place.micros + changeHere(state, node + day, place.shift);
      if (delta < best) {
        best = delta;
        bestPlace = place;
      }
    }
    if (!bestPlace) return;
    insertStopAt(state, bestPlace, site);
  }
}

export const insertStopAt = (state: WeekState, place: Place, site: number): void =>
  insertStop(state, place.shift, place.at, site, place.unload);

function shuffle(items: number[], random: Random): void {
  for (let i = items.length - 1; i > 0; i--) {
    const j = random.below(i + 1);
    const other = items[i]!;
    items[i] = items[j]!;
    items[j] = other;
  }
}

/** Stable, so that what was shuffled before breaks ties. */
function sortBy(items: number[], key: (item: number) => number): void {
  items.sort((a, b) => key(a) - key(b));
}
