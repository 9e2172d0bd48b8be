/** A first whole week: each site in turn, then a van to each that is left out. */
import type { Random } from '../quantity/random.ts';
import type { Inserter } from './insertion.ts';
import { gather } from './recreate.ts';
import type { Reinserter } from './reinsert.ts';
import { bits } from './visit-days.ts';
import {
  copyState,
  emptyState,
  forgetTouched,
  settleTrial,
  summedMicros,
  type WeekState,
} from './week-state.ts';

/** Puts in every site that pays, those with promises first. */
export function build(state: WeekState, reinserter: Reinserter, guide: Float64Array): void {
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

/** Sends a van to each site that is left out, and keeps what that makes cheaper. */
export function openRounds(
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
