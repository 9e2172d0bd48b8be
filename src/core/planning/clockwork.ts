/**
 * A round's times as functions, so that one more stop is timed without going through the whole round: stop by stop,
 * when it is left at the earliest for a given start, and when the round ends for a given arrival. With windows both are
 * `max(t + work, b)` in pieces, `t` up to some limit in each; where every stop has one window there is one piece (the
 * segments of Savelsbergh 1992 and Vidal et al. 2013). Waiting and several windows a stop are all in them. The inverse,
 * "how late may it be for this end", is read off the same pieces.
 */
import { MAX_STOPS, UNLOAD } from './steps.ts';
import type { StartSpan, Week } from './week.ts';

/** Pieces a function may have; a round with more (many stops of many windows) is left to the timer. */
const MAX_PIECES = 8;

/** One function of time for each stop: `workS` of the stop, then pieces `(untilS, leastS)`. */
type Pieces = {
  readonly count: Int32Array;
  readonly workS: Float64Array;
  readonly untilS: Float64Array;
  readonly leastS: Float64Array;
};

export type Clockwork = {
  version: number;
  /** The final unload is the last stop, number `stops - 1`. */
  stops: number;
  /** Whether the functions below are there. */
  isKnown: boolean;
  distanceM: number;
  workS: number;
  unloads: number;
  readonly legS: Float64Array;
  readonly legM: Float64Array;
  readonly serviceS: Float64Array;
  readonly windows: (readonly StartSpan[])[];
  /** Driving and work up to and with stop k. */
  readonly doneS: Float64Array;
  /** Earliest leaving of stop k and latest start of work there, breaks aside. */
  readonly earlyLeaveS: Float64Array;
  readonly lateStartS: Float64Array;
  /** From the round's start to leaving stop k; from arriving at stop k to the round's end. */
  readonly before: Pieces;
  readonly after: Pieces;
};

const noPieces = (): Pieces => ({
  count: new Int32Array(MAX_STOPS + 2),
  workS: new Float64Array(MAX_STOPS + 2),
  untilS: new Float64Array((MAX_STOPS + 2) * MAX_PIECES),
  leastS: new Float64Array((MAX_STOPS + 2) * MAX_PIECES),
});

export const noClockwork = (): Clockwork => ({
  version: -1,
  stops: 0,
  isKnown: false,
  distanceM: 0,
  workS: 0,
  unloads: 0,
  legS: new Float64Array(MAX_STOPS + 2),
  legM: new Float64Array(MAX_STOPS + 2),
  serviceS: new Float64Array(MAX_STOPS + 2),
  windows: new Array<readonly StartSpan[]>(MAX_STOPS + 2).fill([]),
  doneS: new Float64Array(MAX_STOPS + 2),
  earlyLeaveS: new Float64Array(MAX_STOPS + 2),
  lateStartS: new Float64Array(MAX_STOPS + 2),
  before: noPieces(),
  after: noPieces(),
});

/** Winds `clock` up for `orders[from .. from + count)` of a shift. */
export function windUp(
  clock: Clockwork,
  week: Week,
  shift: number,
  orders: Int32Array,
  from: number,
  count: number,
): void {
  const { problem, legM, legS, places, place, days, serviceS, spans, unloadSpans } = week;
  const { day, startS, lastS } = week.shifts[shift]!;
  clock.stops = count + 1;
  clock.distanceM = 0;
  clock.unloads = 0;
  let at = problem.workshopPlace;
  let done = 0;
  let t = startS;
  for (let k = 0; k <= count; k++) {
    const site = k < count ? orders[from + k]! : UNLOAD;
    const to = site === UNLOAD ? problem.workshopPlace : place[site]!;
    const leg = at * places + to;
    if (site === UNLOAD) clock.unloads++;
    const service = site === UNLOAD ? problem.prices.unloadS : serviceS[site]!;
    const windows = site === UNLOAD ? unloadSpans[day]! : spans[site * days + day]!;
    clock.legS[k] = legS[leg]!;
    clock.legM[k] = legM[leg]!;
    clock.serviceS[k] = service;
    clock.windows[k] = windows;
    clock.distanceM += legM[leg]!;
    done += legS[leg]! + service;
    clock.doneS[k] = done;
    t = earliestIn(windows, t + legS[leg]!) + service;
    clock.earlyLeaveS[k] = t;
    at = to;
  }
  clock.workS = done;
  t = lastS;
  for (let k = count; k >= 0; k--) {
    clock.lateStartS[k] = latestIn(clock.windows[k]!, t - clock.serviceS[k]!);
    t = clock.lateStartS[k]! - clock.legS[k]!;
  }
  clock.isKnown = runForward(clock) && runBackward(clock, lastS);
}

function runForward(clock: Clockwork): boolean {
  const { count, workS, untilS, leastS } = clock.before;
  for (let k = 0; k < clock.stops; k++) {
    const leg = clock.legS[k]!;
    const service = clock.serviceS[k]!;
    const driven = k === 0 ? leg : workS[k - 1]! + leg;
    const pieces = k === 0 ? 1 : count[k - 1]!;
    let n = 0;
    let last = -Infinity;
    for (let i = 0; i < pieces; i++) {
      const from = (k - 1) * MAX_PIECES + i;
      const until = k === 0 ? Infinity : untilS[from]!;
      const least = k === 0 ? -Infinity : leastS[from]! + leg;
      for (const window of clock.windows[k]!) {
        if (least > window.untilS) continue;
        const to = Math.min(until, window.untilS - driven);
        if (to <= last) continue;
        if (n === MAX_PIECES) return false;
        untilS[k * MAX_PIECES + n] = last = to;
        leastS[k * MAX_PIECES + n++] = Math.max(least, window.fromS) + service;
      }
    }
    count[k] = n;
    workS[k] = driven + service;
  }
  return true;
}

function runBackward(clock: Clockwork, lastS: number): boolean {
  const { count, workS, untilS, leastS } = clock.after;
  for (let k = clock.stops - 1; k >= 0; k--) {
    const service = clock.serviceS[k]!;
    const isLast = k === clock.stops - 1;
    // From leaving this stop to arriving at the next.
    const leg = isLast ? 0 : clock.legS[k + 1]!;
    const left = isLast ? service : workS[k + 1]! + leg + service;
    const pieces = isLast ? 1 : count[k + 1]!;
    let n = 0;
    let last = -Infinity;
    for (const window of clock.windows[k]!) {
      for (let i = 0; i < pieces; i++) {
        const from = (k + 1) * MAX_PIECES + i;
        const until = (isLast ? lastS : untilS[from]! - leg) - service;
        if (until < window.fromS) continue;
        const to = Math.min(until, window.untilS);
        if (to <= last) continue;
        if (n === MAX_PIECES) return false;
        untilS[k * MAX_PIECES + n] = last = to;
        leastS[k * MAX_PIECES + n++] = Math.max(isLast ? -Infinity : leastS[from]!, window.fromS + left);
      }
    }
    count[k] = n;
    workS[k] = left;
  }
  return true;
}

/** Value at `t`: Infinity beyond the last piece. */
export function valueAt(pieces: Pieces, k: number, t: number): number {
  const base = k * MAX_PIECES;
  const end = base + pieces.count[k]!;
  for (let i = base; i < end; i++)
    if (t <= pieces.untilS[i]!) return Math.max(t + pieces.workS[k]!, pieces.leastS[i]!);
  return Infinity;
}

/** The latest time whose value is not above `value`; the caller knows that there is one. */
export function latestFor(pieces: Pieces, k: number, value: number): number {
  const base = k * MAX_PIECES;
  for (let i = base + pieces.count[k]! - 1; i >= base; i--) {
    if (pieces.leastS[i]! > value) continue;
    const t = Math.min(value - pieces.workS[k]!, pieces.untilS[i]!);
    if (i === base || t > pieces.untilS[i - 1]!) return t;
  }
  return -Infinity;
}

/** Earliest start of work for one who is there at `t`; Infinity after the last window. */
export function earliestIn(spans: readonly StartSpan[], t: number): number {
  for (let w = 0; w < spans.length; w++) if (t <= spans[w]!.untilS) return Math.max(t, spans[w]!.fromS);
  return Infinity;
}

/** Latest start of work that is not after `t`; -Infinity before the first window. */
export function latestIn(spans: readonly StartSpan[], t: number): number {
  for (let w = spans.length - 1; w >= 0; w--) if (t >= spans[w]!.fromS) return Math.min(t, spans[w]!.untilS);
  return -Infinity;
}
