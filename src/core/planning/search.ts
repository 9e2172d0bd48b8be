/**
 * The search over weeks: ruin and recreate with simulated annealing.
 *
 * Slack induction by string removals (Christiaens & Vanden Berghe 2020, Transportation Science 54(2)): strings of
 * neighbouring stops leave the rounds of a region, and come back one site at a time, half of them by the dynamic
 * programme over days (reinsert.ts), half into the one place that helps most. The store's cost guides by its
 * slope and decides exactly. Temperatures are in units of the mean cost of a visit, so that the currency does not
 * matter. The same (problem, seed, iterations) gives the same week: no clock, ties by index.
 */
import { type Random, seededRandom } from '../quantity/random.ts';
import { type DayPlaces, type Inserter, makeInserter, type Place } from './insertion.ts';
import { changeHere, makeReinserter, type Reinserter, removeAll, slopePerKg } from './reinsert.ts';
import { improveOrder } from './stop-order.ts';
import { MAX_STOPS, UNLOAD } from './timetable.ts';
import type { Week } from './week.ts';
import {
  align,
  bits,
  copyState,
  emptyState,
  forgetTouched,
  insertStop,
  nodeBefore,
  noneTouched,
  removeStop,
  roundFits,
  settleTrial,
  siteParts,
  stateMicros,
  summedMicros,
  touch,
  untouch,
  type WeekState,
} from './week-state.ts';

const FIRST_TEMPERATURE = 1.2;
const LAST_TEMPERATURE = 0.05;
const BLINK = 0.01;
const WILD_SHARE = 0.15;
const WILD_BLINK = 0.3;
/** Share of iterations that send a van somewhere first and see who comes along. */
const GATHER_SHARE = 0.1;
const MEAN_REMOVED = 8;
const MAX_STRING = 6;
/** How often `enough` is asked and progress told, in iterations. */
const LOOK_UP = 64;

export type SearchBudget = { readonly seed: number; readonly iterations: number };
export type SearchHooks = {
  readonly enough?: () => boolean;
  /** Share of the budget that is spent, 0 to 1, where a clock ends the search: it cools by whichever is further on. */
  readonly spent?: () => number;
  readonly progress?: (progress: Progress) => void;
};
/** `costMicros` in the plan's money, where a broken promise has the workshop's price. */
export type Progress = { readonly iteration: number; readonly costMicros: number };
/** Told of each better week that `progress` looks at, the first and the last included. */
export type Watch = (progress: Progress, best: WeekState) => void;

/** Improves `start` (which is left alone) and hands back the best week found. */
export function searchWeek(
  week: Week,
  start: WeekState,
  budget: SearchBudget,
  hooks: SearchHooks,
  watch?: Watch,
): WeekState {
  const random = seededRandom(budget.seed);
  const inserter = makeInserter();
  const reinserter = makeReinserter(week.days, inserter);
  const guide = new Float64Array(week.days * week.stock.columns);
  const current = emptyState(week);
  copyState(current, start);
  build(current, reinserter, guide);
  let currentMicros = polish(current, reinserter, guide);
  currentMicros = openRounds(current, currentMicros, inserter, reinserter, guide, random);
  const best = emptyState(week);
  copyState(best, current);
  let bestMicros = currentMicros;
  // A start that was handed in is never given up for something worse.
  const startMicros = stateMicros(start);
  if (startMicros < bestMicros) {
    copyState(best, start);
    copyState(current, start);
    bestMicros = currentMicros = startMicros;
  }
  let watchedMicros = Infinity;
  const tell = (iteration: number): void => {
    if (!hooks.progress && !watch) return;
    let broken = 0;
    for (let i = 0; i < week.sites; i++) broken += siteParts(best, i).broken;
    const extraMicros = week.searchPromiseMicros - week.problem.prices.brokenPromiseMicros;
    const progress = { iteration, costMicros: bestMicros - broken * extraMicros };
    hooks.progress?.(progress);
    if (bestMicros < watchedMicros) watch?.(progress, best);
    watchedMicros = bestMicros;
  };
  tell(0);
  if (week.sites === 0 || week.shifts.length === 0) return best;

  const trial = emptyState(week);
  copyState(trial, current);
  forgetTouched(trial);
  // Where `best` and `current` may differ.
  const sinceBest = { rounds: noneTouched(week.shifts.length), sites: noneTouched(week.sites) };
  const ruiner = makeRuiner(week, random);
  const cooling = Math.log(LAST_TEMPERATURE / FIRST_TEMPERATURE);
  let spent = 0;
  for (let iteration = 1; iteration <= budget.iterations; iteration++) {
    if (iteration % LOOK_UP === 0) {
      if (hooks.enough?.()) break;
      spent = Math.min(1, hooks.spent?.() ?? 0);
      tell(iteration);
    }
    const share = Math.max(spent, iteration / budget.iterations);
    const temperature = FIRST_TEMPERATURE * week.scaleMicros * Math.exp(cooling * share);
    summedMicros(trial, guide);
    if (random.next() < GATHER_SHARE)
      gather(trial, random.below(week.sites), inserter, reinserter, guide, random);
    else recreate(trial, ruiner(trial), inserter, reinserter, guide, random);
    const micros = summedMicros(trial);
    const isKept = micros < currentMicros - temperature * Math.log(1 - random.next());
    if (isKept) {
      const { rounds, sites } = trial.touched;
      for (let k = 0; k < rounds.count; k++) touch(sinceBest.rounds, rounds.list[k]!);
      for (let k = 0; k < sites.count; k++) touch(sinceBest.sites, sites.list[k]!);
      currentMicros = micros;
    }
    settleTrial(current, trial, isKept);
    if (currentMicros < bestMicros) {
      bestMicros = currentMicros;
      align(best, current, sinceBest.rounds, sinceBest.sites);
      untouch(sinceBest.rounds);
      untouch(sinceBest.sites);
    }
  }
  bestMicros = polish(best, reinserter, guide);
  bestMicros = adoptLeftOut(best, inserter, bestMicros);
  tell(budget.iterations);
  return best;
}

/** Puts in every site that pays, those with promises first. */
function build(state: WeekState, reinserter: Reinserter, guide: Float64Array): void {
  const { week } = state;
  const order = Array.from({ length: week.sites }, (_, i) => i);
  const flexibility = (i: number): number => {
    const kept = week.keepDays[i]!.filter((mask) => mask !== 0);
    return kept.length === 0 ? 99 : Math.min(...kept.map(bits));
  };
  const rank = order.map(flexibility);
  order.sort((a, b) => rank[a]! - rank[b]! || a - b);
  for (const site of order) {
    if (rank[site]! < 99 && week.keepDays[site]!.every((mask) => mask === 0 || mask & state.visitDays[site]!))
      continue;
    if (rank[site] === 99 && state.visitDays[site] !== 0) continue;
    summedMicros(state, guide);
    reinserter.reinsert(state, site, guide);
  }
}

/** Re-inserts each site and improves each order as long as that helps; returns the cost. */
export function polish(state: WeekState, reinserter: Reinserter, guide: Float64Array): number {
  const { week } = state;
  const backup = emptyState(week);
  copyState(backup, state);
  forgetTouched(state);
  let micros = summedMicros(state, guide);
  for (let pass = 0; pass < 4; pass++) {
    const before = micros;
    for (let s = 0; s < week.shifts.length; s++) improveOrder(state, s);
    micros = summedMicros(state, guide);
    settleTrial(backup, state, true);
    for (let site = 0; site < week.sites; site++) {
      reinserter.reinsert(state, site, guide);
      const now = summedMicros(state, guide);
      settleTrial(backup, state, now < micros);
      if (now < micros) micros = now;
      else summedMicros(state, guide);
    }
    if (micros >= before) break;
  }
  return micros;
}

/**
 * The store's slope is a guess, so a site that is left out may still pay: each is tried on every day at its exact cost,
 * and none is left out that would make the plan cheaper.
 */
function adoptLeftOut(state: WeekState, inserter: Inserter, micros: number): number {
  const { week } = state;
  const backup = emptyState(week);
  copyState(backup, state);
  forgetTouched(state);
  let least = micros;
  for (let again = true; again; ) {
    again = false;
    for (let site = 0; site < week.sites; site++) {
      const { massKg, varianceKg2 } = week.tables[site]!;
      for (let day = 0; day < week.days && state.visitDays[site] === 0; day++) {
        const places = inserter.scanDay(state, site, day);
        const place = inserter.cheapestPlace(state, places, site, massKg[day + 1]!, varianceKg2[day + 1]!);
        if (!place || place.micros === Infinity) continue;
        insertStopAt(state, place, site);
        const now = summedMicros(state);
        settleTrial(backup, state, now < least);
        if (now >= least) continue;
        least = now;
        again = true;
      }
    }
  }
  return least;
}

type Ruiner = (state: WeekState) => number[];

/** Takes visits out and names the sites to bring back, each once. */
function makeRuiner(week: Week, random: Random): Ruiner {
  const inPool = new Uint8Array(week.sites);
  return (state) => {
    const pool: number[] = [];
    const throwIn = (site: number): void => {
      if (inPool[site]) return;
      inPool[site] = 1;
      pool.push(site);
    };
    const seed = random.below(week.sites);
    const kind = random.next();
    if (kind < 0.5) removeStrings(state, seed, random, throwIn);
    else if (kind < 0.88) removeSites(state, seed, random, throwIn);
    else removeTrip(state, random, throwIn);
    // Neighbours that are not visited get a chance.
    throwIn(seed);
    const near = week.near[seed]!;
    for (let k = 0; k < 2 && near.length > 0; k++) {
      const site = near[random.below(Math.min(near.length, 12))]!;
      if (state.visitDays[site] === 0) throwIn(site);
    }
    repairLoads(state, throwIn);
    for (const site of pool) inPool[site] = 0;
    return pool;
  };
}

/** Strings around a seed, in rounds of any day (at most one string a round). */
function removeStrings(
  state: WeekState,
  seed: number,
  random: Random,
  throwIn: (site: number) => void,
): void {
  const { week, counts, orders } = state;
  let toRemove = 1 + random.below(2 * MEAN_REMOVED - 1);
  const touched = new Set<number>();
  const near = week.near[seed]!;
  for (let k = -1; k < near.length && toRemove > 0; k++) {
    const site = k < 0 ? seed : near[k]!;
    for (let rest = state.visitDays[site]!; rest !== 0 && toRemove > 0; rest &= rest - 1) {
      const day = 31 - Math.clz32(rest & -rest);
      const shift = state.shiftOf[site * week.days + day]!;
      if (touched.has(shift)) continue;
      touched.add(shift);
      const base = shift * MAX_STOPS;
      const count = counts[shift]!;
      let at = 0;
      while (orders[base + at] !== site) at++;
      const length = Math.min(1 + random.below(MAX_STRING), toRemove, count);
      const first = Math.max(0, Math.min(count - length, at - random.below(length)));
      const victims: number[] = [];
      for (let j = first; j < first + length; j++)
        if (orders[base + j] !== UNLOAD) victims.push(orders[base + j]!);
      for (const victim of victims) {
        removeStop(state, victim, day);
        throwIn(victim);
        toRemove--;
      }
    }
  }
}

/** All visits of a seed and of some of its neighbours. */
function removeSites(state: WeekState, seed: number, random: Random, throwIn: (site: number) => void): void {
  const near = state.week.near[seed]!;
  const removeVisits = (site: number): void => {
    for (let rest = state.visitDays[site]!; rest !== 0; rest &= rest - 1)
      removeStop(state, site, 31 - Math.clz32(rest & -rest));
    throwIn(site);
  };
  removeVisits(seed);
  const others = random.below(6);
  for (let k = 0; k < others && near.length > 0; k++)
    removeVisits(near[random.below(Math.min(near.length, 10))]!);
}

/** One trip of one round. */
function removeTrip(state: WeekState, random: Random, throwIn: (site: number) => void): void {
  const { week, counts, orders } = state;
  const shift = random.below(week.shifts.length);
  const count = counts[shift]!;
  if (count === 0) return;
  const base = shift * MAX_STOPS;
  const at = random.below(count);
  let from = at;
  while (from > 0 && orders[base + from - 1] !== UNLOAD) from--;
  const victims: number[] = [];
  for (let k = from; k < count && orders[base + k] !== UNLOAD; k++) victims.push(orders[base + k]!);
  for (const victim of victims) {
    removeStop(state, victim, week.shifts[shift]!.day);
    throwIn(victim);
  }
}

/** A visit left out makes the site's next one heavier: touched rounds that no longer fit lose their heaviest stops. */
export function repairLoads(state: WeekState, throwIn: (site: number) => void): void {
  const { week, counts, orders, touched } = state;
  for (let again = true; again; ) {
    again = false;
    for (let k = 0; k < touched.rounds.count; k++) {
      const s = touched.rounds.list[k]!;
      while (counts[s]! > 0 && (state.roundMicros[s] === Infinity || !roundFits(state, s))) {
        const day = week.shifts[s]!.day;
        let heaviest = -1;
        let most = -1;
        for (let k = 0; k < counts[s]!; k++) {
          const site = orders[s * MAX_STOPS + k]!;
          if (site === UNLOAD) continue;
          const table = week.tables[site]!;
          const kg = table.massKg[nodeBefore(state.visitDays[site]!, day) * table.nodes + day + 1]!;
          if (kg > most) {
            most = kg;
            heaviest = site;
          }
        }
        removeStop(state, heaviest, day);
        throwIn(heaviest);
        again = true;
      }
    }
  }
}

/**
 * A round that no single site is worth can be worth it for several. So a site is visited on some day whatever that
 * costs, its neighbours decide anew beside it, and then the site itself.
 */
function gather(
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
  if (days.length > 0) {
    const day = days[random.below(days.length)]!;
    const { massKg, varianceKg2 } = week.tables[seed]!;
    // Sometimes into a round drawn by lot: the cheapest may be too small for the company.
    const places = drawnRound(inserter.scanDay(state, seed, day), random);
    const place = inserter.cheapestPlace(state, places, seed, massKg[day + 1]!, varianceKg2[day + 1]!);
    if (place && place.micros < Infinity) insertStopAt(state, place, seed);
  }
  shuffle(pool, random);
  for (const site of pool) reinserter.reinsert(state, site, guide, random, BLINK);
  reinserter.reinsert(state, seed, guide);
}

/** Half of the time only the places in one round of the day. */
function drawnRound(places: DayPlaces, random: Random): DayPlaces {
  const { shifts } = places;
  if (shifts.length < 2 || random.next() < 0.5) return places;
  const shift = shifts[random.below(shifts.length)]!;
  return { shifts: [shift], plain: places.plain.filter((place) => place.shift === shift), splits: undefined };
}

/** Sends a van to each site that is left out, and keeps what that makes cheaper. */
function openRounds(
  state: WeekState,
  micros: number,
  inserter: Inserter,
  reinserter: Reinserter,
  guide: Float64Array,
  random: Random,
): number {
  const { week } = state;
  const trial = emptyState(week);
  copyState(trial, state);
  forgetTouched(trial);
  let least = micros;
  for (let site = 0; site < week.sites; site++) {
    if (state.visitDays[site] !== 0) continue;
    summedMicros(trial, guide);
    gather(trial, site, inserter, reinserter, guide, random);
    const now = summedMicros(trial);
    settleTrial(state, trial, now < least);
    least = Math.min(least, now);
  }
  return least;
}

function recreate(
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

const insertStopAt = (state: WeekState, place: Place, site: number): void =>
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
