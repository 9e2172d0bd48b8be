/**
 * A week of rounds while it is searched: orders per shift, visit days per site, and every cost they cause, each
 * kept as whole micros. A site's cost depends on its set of visit days alone (and on who drives, for changes to
 * what was published); a round's on its order; the store's on all arrivals.
 */

import { siteMicros } from './site-cost.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import { type Arrivals, addArrival, noArrivals, noStockCost, type StockCost, stockCost } from './stock.ts';
import { makeTimer, type Timer } from './timetable.ts';
import { noneTouched, type Touched, touch, untouch } from './touched.ts';
import { tripFits } from './trip-fits.ts';
import type { Week } from './week.ts';

export type WeekState = {
  readonly week: Week;
  readonly timer: Timer;
  /** `orders[shift * MAX_STOPS + k]`: site index or UNLOAD; the last unloading of a round is not written. */
  readonly orders: Int32Array;
  readonly counts: Int32Array;
  /** Per site: bit set of visit days. */
  readonly visitDays: Int32Array;
  /** Per node: shift index, or -1. */
  readonly shiftOf: Int16Array;
  readonly roundMicros: Float64Array;
  /** Seconds of waiting in each round's timetable. */
  readonly waitS: Float64Array;
  /** A number that only this order of the round has, among all states of the week; 0 for an empty round. */
  readonly version: Float64Array;
  /** The same for what its stops give, which also hangs on the visits before. */
  readonly loadsVersion: Float64Array;
  readonly siteMicros: Float64Array;
  readonly arrivals: Arrivals;
  readonly stock: StockCost;
  /** Running sums of `roundMicros` (the infinite ones counted apart) and `siteMicros`; whole numbers, so exact. */
  readonly sums: { rounds: number; infinite: number; sites: number };
  /** Rounds and sites that may differ from the state this one was last aligned with. */
  readonly touched: { readonly rounds: Touched; readonly sites: Touched };
};

export function emptyState(week: Week): WeekState {
  const state: WeekState = {
    week,
    timer: makeTimer(week),
    orders: new Int32Array(week.shifts.length * MAX_STOPS),
    counts: new Int32Array(week.shifts.length),
    visitDays: new Int32Array(week.sites),
    shiftOf: new Int16Array(week.sites * week.days).fill(-1),
    roundMicros: new Float64Array(week.shifts.length),
    waitS: new Float64Array(week.shifts.length),
    version: new Float64Array(week.shifts.length),
    loadsVersion: new Float64Array(week.shifts.length),
    siteMicros: new Float64Array(week.sites),
    arrivals: noArrivals(week.stock),
    stock: noStockCost(week.days),
    sums: { rounds: 0, infinite: 0, sites: 0 },
    touched: { rounds: noneTouched(week.shifts.length), sites: noneTouched(week.sites) },
  };
  for (let i = 0; i < week.sites; i++) {
    state.siteMicros[i] = siteMicros(state, i);
    state.sums.sites += state.siteMicros[i]!;
  }
  return state;
}

export function copyState(to: WeekState, from: WeekState): void {
  to.orders.set(from.orders);
  to.counts.set(from.counts);
  to.visitDays.set(from.visitDays);
  to.shiftOf.set(from.shiftOf);
  to.roundMicros.set(from.roundMicros);
  to.waitS.set(from.waitS);
  to.version.set(from.version);
  to.loadsVersion.set(from.loadsVersion);
  to.siteMicros.set(from.siteMicros);
  copySums(to, from);
  // What the two have in common is no longer known to others.
  for (let s = 0; s < to.counts.length; s++) touch(to.touched.rounds, s);
  for (let i = 0; i < to.visitDays.length; i++) touch(to.touched.sites, i);
}

function copySums(to: WeekState, from: WeekState): void {
  to.arrivals.meanKg.set(from.arrivals.meanKg);
  to.arrivals.varianceKg2.set(from.arrivals.varianceKg2);
  to.sums.rounds = from.sums.rounds;
  to.sums.infinite = from.sums.infinite;
  to.sums.sites = from.sums.sites;
}

/** Copies only these rounds and sites, in which alone the two differ. */
export function align(to: WeekState, from: WeekState, rounds: Touched, sites: Touched): void {
  const { days } = from.week;
  for (let k = 0; k < rounds.count; k++) {
    const s = rounds.list[k]!;
    const base = s * MAX_STOPS;
    for (let j = base; j < base + from.counts[s]!; j++) to.orders[j] = from.orders[j]!;
    to.counts[s] = from.counts[s]!;
    to.roundMicros[s] = from.roundMicros[s]!;
    to.waitS[s] = from.waitS[s]!;
    to.version[s] = from.version[s]!;
    to.loadsVersion[s] = from.loadsVersion[s]!;
  }
  for (let k = 0; k < sites.count; k++) {
    const i = sites.list[k]!;
    to.visitDays[i] = from.visitDays[i]!;
    to.siteMicros[i] = from.siteMicros[i]!;
    for (let node = i * days; node < (i + 1) * days; node++) to.shiftOf[node] = from.shiftOf[node]!;
  }
  copySums(to, from);
}

/** Two states of a week of which only `trial` is changed; both are equal at the start and after each call. */
export function settleTrial(kept: WeekState, trial: WeekState, isKept: boolean): void {
  const { rounds, sites } = trial.touched;
  if (isKept) align(kept, trial, rounds, sites);
  else align(trial, kept, rounds, sites);
  forgetTouched(trial);
}

export function forgetTouched(state: WeekState): void {
  untouch(state.touched.rounds);
  untouch(state.touched.sites);
}

/** The objective of the search, added up afresh. `guide`: see stock.ts. */
export function stateMicros(state: WeekState, guide?: Float64Array): number {
  const { week, roundMicros, siteMicros } = state;
  let total = stockMicros(week, state, guide);
  for (let s = 0; s < roundMicros.length; s++) total += roundMicros[s]!;
  for (let i = 0; i < siteMicros.length; i++) total += siteMicros[i]!;
  return total;
}

/** The same from the running sums, in a time that does not grow with the number of sites. */
export function summedMicros(state: WeekState, guide?: Float64Array): number {
  const store = stockMicros(state.week, state, guide);
  return state.sums.infinite > 0 ? Infinity : store + state.sums.rounds + state.sums.sites;
}

function stockMicros(week: Week, state: WeekState, guide?: Float64Array): number {
  stockCost(week.problem, week.stock, state.arrivals, state.stock, guide);
  return state.stock.shortage + state.stock.storeOverflow + state.stock.leftAtEnd;
}

/** Node of the last visit before a day (0 = none): highest set bit below it, plus one. */
export const nodeBefore = (days: number, day: number): number => 32 - Math.clz32(days & ((1 << day) - 1));

export function visitMassKg(state: WeekState, site: number, day: number): number {
  const table = state.week.tables[site]!;
  return table.massKg[nodeBefore(state.visitDays[site]!, day) * table.nodes + day + 1]!;
}

export function visitVarianceKg2(state: WeekState, site: number, day: number): number {
  const table = state.week.tables[site]!;
  return table.varianceKg2[nodeBefore(state.visitDays[site]!, day) * table.nodes + day + 1]!;
}

/** Notes that the site is visited on a day by a shift (-1: no longer), with all it changes but the rounds. */
export function setVisit(state: WeekState, site: number, day: number, shift: number): void {
  tallySite(state, site, -1);
  if (shift < 0) state.visitDays[site]! &= ~(1 << day);
  else state.visitDays[site]! |= 1 << day;
  state.shiftOf[site * state.week.days + day] = shift;
  tallySite(state, site, 1);
  touch(state.touched.sites, site);
  state.sums.sites -= state.siteMicros[site]!;
  state.siteMicros[site] = siteMicros(state, site);
  state.sums.sites += state.siteMicros[site]!;
  // The next visit is lighter or heavier from now on.
  const later = state.visitDays[site]! & ~((2 << day) - 1);
  if (later === 0) return;
  const next = state.shiftOf[site * state.week.days + 31 - Math.clz32(later & -later)]!;
  if (next < 0) return;
  touch(state.touched.rounds, next);
  state.loadsVersion[next] = ++state.week.versions.last;
}

/** Adds or takes back the arrivals of all visits of a site. */
function tallySite(state: WeekState, site: number, sign: 1 | -1): void {
  const { week, arrivals } = state;
  const { nodes, massKg, varianceKg2 } = week.tables[site]!;
  let a = 0;
  for (let rest = state.visitDays[site]!; rest !== 0; rest &= rest - 1) {
    const day = 31 - Math.clz32(rest & -rest);
    const at = a * nodes + day + 1;
    addArrival(arrivals, week.stock, week.usableShare, site, day, massKg[at]!, varianceKg2[at]!, sign);
    a = day + 1;
  }
}

/** Puts a site into a round before position `at`; `unload`: 0 none, 1 directly before it, 2 directly after it. */
export function insertStop(
  state: WeekState,
  shift: number,
  at: number,
  site: number,
  unload: 0 | 1 | 2,
): void {
  const { orders, counts, week } = state;
  const base = shift * MAX_STOPS;
  const extra = unload === 0 ? 1 : 2;
  orders.copyWithin(base + at + extra, base + at, base + counts[shift]!);
  orders[base + at + (unload === 1 ? 1 : 0)] = site;
  if (unload === 1) orders[base + at] = UNLOAD;
  if (unload === 2) orders[base + at + 1] = UNLOAD;
  counts[shift]! += extra;
  setVisit(state, site, week.shifts[shift]!.day, shift);
  retimeRound(state, shift);
}

/** Takes a site out of the round of a day, with an unloading that no longer parts two trips. */
export function removeStop(state: WeekState, site: number, day: number): void {
  const { orders, counts, week } = state;
  const shift = state.shiftOf[site * week.days + day]!;
  const base = shift * MAX_STOPS;
  let at = 0;
  while (orders[base + at] !== site) at++;
  cut(state, shift, at);
  const count = counts[shift]!;
  if (at < count && orders[base + at] === UNLOAD && (at === 0 || orders[base + at - 1] === UNLOAD))
    cut(state, shift, at);
  else if (at > 0 && at === count && orders[base + at - 1] === UNLOAD) cut(state, shift, at - 1);
  setVisit(state, site, day, -1);
  retimeRound(state, shift);
}

function cut(state: WeekState, shift: number, at: number): void {
  const base = shift * MAX_STOPS;
  state.orders.copyWithin(base + at, base + at + 1, base + state.counts[shift]!);
  state.counts[shift]!--;
}

export function retimeRound(state: WeekState, shift: number): void {
  const before = state.roundMicros[shift]!;
  if (before === Infinity) state.sums.infinite--;
  else state.sums.rounds -= before;
  state.roundMicros[shift] = state.timer.cost(
    state.week.shifts[shift]!,
    state.orders,
    shift * MAX_STOPS,
    state.counts[shift]!,
  );
  const now = state.roundMicros[shift]!;
  if (now === Infinity) state.sums.infinite++;
  else state.sums.rounds += now;
  touch(state.touched.rounds, shift);
  state.waitS[shift] = state.timer.waitS();
  state.version[shift] = state.counts[shift] === 0 ? 0 : ++state.week.versions.last;
  state.loadsVersion[shift] = state.version[shift]!;
}

/** Whether every trip of a round may be driven with the masses of its visits. */
export function roundFits(state: WeekState, shift: number): boolean {
  const { week, orders, counts } = state;
  const base = shift * MAX_STOPS;
  const day = week.shifts[shift]!.day;
  let stops = 0;
  let lastSite = 0;
  let mass = 0;
  let variance = 0;
  let litres = 0;
  let varianceL2 = 0;
  for (let k = 0; k <= counts[shift]!; k++) {
    const site = k < counts[shift]! ? orders[base + k]! : UNLOAD;
    if (site === UNLOAD) {
      if (
        !tripFits(
          week,
          shift,
          stops === 1 && week.tables[lastSite]!.fillsVan,
          mass,
          variance,
          litres,
          varianceL2,
        )
      )
        return false;
      stops = mass = variance = litres = varianceL2 = 0;
      continue;
    }
    const m = visitMassKg(state, site, day);
    const v = visitVarianceKg2(state, site, day);
    const l = week.problem.sites[site]!.model.litresPerKg;
    stops++;
    lastSite = site;
    mass += m;
    variance += v;
    litres += m * l;
    varianceL2 += v * l * l;
  }
  return true;
}
