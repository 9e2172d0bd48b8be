/**
 * What putting a stop into a round costs at least: its detour in metres, and in seconds what its work exceeds the
 * round's waiting. Places are timed in this order, and those that cannot be reached in time not at all.
 */
import { type Clockwork, earliestIn } from './clockwork.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import type { RoundLoads, TripLoad } from './trip-loads.ts';
import type { WeekState } from './week-state.ts';

/** Rounding of parts may hide this much of a bound. */
const ROUNDING_MICROS = 4;

/** Lower bounds of all places before stop k, into `bound`; the trip that each belongs to into `tripOf`. */
export function layBounds(
  state: WeekState,
  clock: Clockwork,
  shift: number,
  site: number,
  bound: Float64Array,
  tripOf: Int32Array,
): void {
  const { orders, counts, week } = state;
  const { legM, legS, places, problem, place } = week;
  const { day, startS, microsPerKm, microsPerHour } = week.shifts[shift]!;
  const count = counts[shift]!;
  const base = shift * MAX_STOPS;
  const here = place[site]!;
  const spans = week.spans[site * week.days + day]!;
  const workS = week.serviceS[site]!;
  const waitS = state.waitS[shift]!;
  let leaveS = startS;
  let from = problem.workshopPlace;
  let trip = 0;
  for (let k = 0; k <= count; k++) {
    const next = k < count ? orders[base + k]! : UNLOAD;
    const to = next === UNLOAD ? problem.workshopPlace : place[next]!;
    tripOf[k] = trip;
    if (next === UNLOAD) trip++;
    const out = from * places + here;
    const on = here * places + to;
    const beginS = earliestIn(spans, leaveS + legS[out]!);
    if (beginS + workS + legS[on]! > clock.lateStartS[k]!) bound[k] = Infinity;
    else {
      const isNew = count === 0;
      const metres = legM[out]! + legM[on]! - (isNew ? 0 : clock.legM[k]!);
      const seconds = legS[out]! + legS[on]! + workS - (isNew ? 0 : clock.legS[k]!);
      bound[k] = boundMicros(metres, seconds - waitS, microsPerKm, microsPerHour);
    }
    from = to;
    leaveS = clock.earlyLeaveS[k]!;
  }
}

const boundMicros = (metres: number, seconds: number, microsPerKm: number, microsPerHour: number): number =>
  (metres * microsPerKm) / 1000 + (Math.max(0, seconds) * microsPerHour) / 3600 - ROUNDING_MICROS;

/** A place with a new unloading beside the stop. */
export type Split = {
  readonly shift: number;
  readonly at: number;
  readonly unload: 1 | 2;
  readonly bound: number;
  /** What would travel with the stop. */
  readonly load: TripLoad;
  /** NaN until it is first wanted. */
  micros: number;
};

/** All ways to unload beside the stop in one round, where there is time for another trip. */
export function laySplits(
  state: WeekState,
  clock: Clockwork,
  shift: number,
  site: number,
  { heads, tails }: RoundLoads,
  into: Split[],
): void {
  const { orders, counts, week } = state;
  const { legM, legS, places, problem, place } = week;
  const { startS, lastS, microsPerKm, microsPerHour } = week.shifts[shift]!;
  const count = counts[shift]!;
  const workS = week.serviceS[site]! + problem.prices.unloadS;
  if (count === 0 || clock.workS + workS > lastS - startS) return;
  const base = shift * MAX_STOPS;
  const workshop = problem.workshopPlace;
  const here = place[site]!;
  const spareS = state.waitS[shift]! - workS;
  const bound = (from: number, first: number, second: number, to: number, k: number): number => {
    const a = from * places + first;
    const b = first * places + second;
    const c = second * places + to;
    return boundMicros(
      legM[a]! + legM[b]! + legM[c]! - clock.legM[k]!,
      legS[a]! + legS[b]! + legS[c]! - clock.legS[k]! - spareS,
      microsPerKm,
      microsPerHour,
    );
  };
  let from = workshop;
  for (let k = 0; k <= count; k++) {
    const next = k < count ? orders[base + k]! : UNLOAD;
    const to = next === UNLOAD ? workshop : place[next]!;
    if (k > 0 && orders[base + k - 1] !== UNLOAD)
      into.push({
        shift,
        at: k,
        unload: 1,
        bound: bound(from, workshop, here, to, k),
        load: tails[k]!,
        micros: Number.NaN,
      });
    if (next !== UNLOAD)
      into.push({
        shift,
        at: k,
        unload: 2,
        bound: bound(from, here, workshop, to, k),
        load: heads[k]!,
        micros: Number.NaN,
      });
    from = to;
  }
}
