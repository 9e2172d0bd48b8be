/** Small improvements until there are none: at both ends of a search. */
import type { Inserter } from './insertion.ts';
import { insertStopAt } from './recreate.ts';
import type { Reinserter } from './reinsert.ts';
import { improveOrder } from './stop-order.ts';
import {
  copyState,
  emptyState,
  forgetTouched,
  settleTrial,
  summedMicros,
  type WeekState,
} from './week-state.ts';

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
export function adoptLeftOut(state: WeekState, inserter: Inserter, micros: number): number {
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
