/** How full the van is along its round: what was recorded where it was, what is expected where it was not. */
import type { Kg, Litres } from '../../core/quantity/units.ts';
import type { RoundView, SiteStopView } from './run-view.ts';

export type VanLoad = { readonly kg: Kg; readonly litres: Litres };

export type LoadAlong = {
  /** What is in the van by the records: since the last unloading before the latest recorded stop. */
  readonly now: VanLoad;
  /** By stop, in order: what the van holds when it leaves there. */
  readonly after: readonly VanLoad[];
  /** The first stop still to come after which the payload or the load space is passed, if there is one. */
  readonly passedAt?: { readonly stopId: string; readonly limit: 'payload' | 'load-space' };
};

const EMPTY: VanLoad = { kg: 0, litres: 0 };

const plus = (load: VanLoad, kg: Kg, litresPerKg: number): VanLoad => ({
  kg: load.kg + kg,
  litres: load.litres + kg * litresPerKg,
});

export function loadAlong(round: RoundView): LoadAlong {
  const after: VanLoad[] = [];
  let load = EMPTY;
  let recorded = EMPTY;
  let now = EMPTY;
  let passedAt: LoadAlong['passedAt'];
  for (const stop of round.stops) {
    if (stop.kind === 'unload') load = recorded = EMPTY;
    if (stop.kind === 'site') {
      const kg = loadedKg(stop);
      load = plus(load, kg, stop.litresPerKg);
      // A stop passed by for now is not in the van yet.
      if (stop.outcome) now = recorded = plus(recorded, kg, stop.litresPerKg);
      else if (!passedAt && load.kg > round.payloadKg) passedAt = { stopId: stop.stopId, limit: 'payload' };
      else if (!passedAt && load.litres > round.loadSpaceL)
        passedAt = { stopId: stop.stopId, limit: 'load-space' };
    }
    after.push(load);
  }
  return { now, after, ...(passedAt && { passedAt }) };
}

/**
 * Kilograms that this stop put, or will put, into the van. What was thrown out at the stop still counts: it was
 * on the scale, and whether it came along is not known. "Found full" alone counts as the high end.
 */
export function loadedKg(stop: SiteStopView): Kg {
  const { outcome } = stop;
  if (!outcome) return stop.expectedKg;
  if (outcome.kind === 'missed') return 0;
  if (outcome.netKg !== undefined) return outcome.netKg;
  if (outcome.bags !== undefined) return outcome.bags * stop.bagKg;
  return stop.highKg;
}

export type LoadWarning = 'over-payload' | 'over-load-space' | 'nearly-full';
/** Common practice, no source: the last tenth of the space goes quickly, so say it before. */
const NEARLY = 0.9;

/** What to say about a load now, the gravest first. */
export function warningsOf(load: VanLoad, payloadKg: Kg, loadSpaceL: Litres): readonly LoadWarning[] {
  const over: LoadWarning[] = [];
  if (load.kg > payloadKg) over.push('over-payload');
  if (load.litres > loadSpaceL) over.push('over-load-space');
  if (over.length > 0) return over;
  return load.kg > NEARLY * payloadKg || load.litres > NEARLY * loadSpaceL ? ['nearly-full'] : [];
}

/** The stops between two unloadings among which the next one lies; the last trip once all are done. */
export function currentTrip(round: RoundView): readonly SiteStopView[] {
  const trips: SiteStopView[][] = [[]];
  for (const stop of round.stops) {
    if (stop.kind === 'unload') trips.push([]);
    else if (stop.kind === 'site') trips.at(-1)?.push(stop);
  }
  const filled = trips.filter((trip) => trip.length > 0);
  return filled.find((trip) => trip.some((stop) => !stop.outcome)) ?? filled.at(-1) ?? [];
}
