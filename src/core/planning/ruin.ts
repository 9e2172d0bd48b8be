/**
 * Taking visits out of a week: strings of neighbouring stops in the rounds of a region (Christiaens & Vanden Berghe 2020),
 * all visits of some sites, a trip; and what a van can no longer carry once a visit before has gone.
 */
import type { Random } from '../quantity/random.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import type { Week } from './week.ts';
import { nodeBefore, removeStop, roundFits, type WeekState } from './week-state.ts';

const MEAN_REMOVED = 8;
const MAX_STRING = 6;

type Ruiner = (state: WeekState) => number[];

/** Takes visits out and names the sites to bring back, each once. */
export function makeRuiner(week: Week, random: Random): Ruiner {
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
