/**
 * When a round does what: from an order of stops to times, breaks and money.
 *
 * A round leaves the workshop, makes its stops (with unloadings between trips where the order says so) and ends
 * with an unloading. The timetable ends as early as it can and, given that, leaves as late as it can (Savelsbergh
 * 1992, "The vehicle routing problem with time windows: minimizing route duration", forward slack). If that takes
 * longer than `maxWorkS`, a break is put after the stop where it costs least; where one break does not do, each
 * comes after the last stop that still may precede it. Waiting counts as work; a break is taken at the place of
 * the stop before it, after its work.
 *
 * `O(n)` without a break, `O(n^2)` with one; n is some twenty.
 */
import { MAX_STOPS, makeSteps, type TimerWeek } from './steps.ts';
import type { WeekShift } from './week.ts';

const MAX_BREAKS = 6;

export type RoundCost = {
  distanceMicros: number;
  timeMicros: number;
  overtimeMicros: number;
  unloadMicros: number;
};
export const roundTotal = (c: RoundCost): number =>
  c.distanceMicros + c.timeMicros + c.overtimeMicros + c.unloadMicros;

/** The last timetable made; overwritten by the next call. Index k is the k-th stop, the last is the final unload. */
export type Timetable = {
  count: number;
  startS: number;
  endS: number;
  distanceM: number;
  driveS: number;
  unloads: number;
  breaks: number;
  readonly breakAfter: Int32Array;
  readonly breakStartS: Float64Array;
  readonly arriveS: Float64Array;
  readonly beginS: Float64Array;
  readonly leaveS: Float64Array;
};

export type Timer = {
  /**
   * Micros of a round with this order, `orders[from .. from + count)`, or Infinity if it cannot be driven or is sure to
   * cost `below` or more.
   */
  cost(shift: WeekShift, orders: Int32Array, from: number, count: number, below?: number): number;
  /** The same by part, with all times, in `table`. */
  lay(shift: WeekShift, orders: Int32Array, from: number, count: number): RoundCost | undefined;
  /** Waiting in the round that was asked for last. */
  waitS(): number;
  readonly table: Timetable;
};

export function makeTimer(week: TimerWeek): Timer {
  const { prices, breakRule } = week.problem;
  const { maxWorkS, breakS } = breakRule;
  const steps = makeSteps(week);
  const { legS, serviceS, earliest, latest } = steps;
  const size = MAX_STOPS + 2;
  const early = new Float64Array(size); // earliest leaving time after stop k, without a break
  const breakAfter = new Int32Array(MAX_BREAKS);
  const table: Timetable = {
    count: 0,
    startS: 0,
    endS: 0,
    distanceM: 0,
    driveS: 0,
    unloads: 0,
    breaks: 0,
    breakAfter,
    breakStartS: new Float64Array(MAX_BREAKS),
    arriveS: new Float64Array(size),
    beginS: new Float64Array(size),
    leaveS: new Float64Array(size),
  };
  let stops = 0; // final unload included
  let workS = 0;
  let lastS = 0;
  let firstS = 0;

  /** Earliest end if stop `k`'s predecessor is left at `t`; Infinity if a window is missed. */
  const endFrom = (k: number, t: number, breakAt: number): number => {
    for (let j = k; j < stops; j++) {
      const begin = earliest(j, t + legS[j]!);
      if (begin === Infinity) return Infinity;
      t = begin + serviceS[j]!;
      if (j === breakAt) t += breakS;
    }
    return t;
  };

  /** Latest start of the round that still ends at `endS`, with breaks after the stops in `breakAfter`. */
  const latestStart = (endS: number, breaks: number): number => {
    let t = endS;
    let b = breaks - 1;
    for (let j = stops - 1; j >= 0; j--) {
      if (b >= 0 && breakAfter[b] === j) {
        t -= breakS;
        b--;
      }
      t = latest(j, t - serviceS[j]!) - legS[j]!;
    }
    return t;
  };

  /** Sets the breaks and gives [start, end]; start is Infinity if the round cannot be driven. */
  let bestStart = 0;
  let bestEnd = 0;
  let bestBreaks = 0;
  const settle = (hourMicros: number, overMicros: number, endS: number): boolean => {
    let t = firstS;
    for (let j = 0; j < stops; j++) {
      const begin = earliest(j, t + legS[j]!);
      if (begin === Infinity) return false;
      t = begin + serviceS[j]!;
      early[j] = t;
    }
    if (t > lastS) return false;
    bestEnd = t;
    bestBreaks = 0;
    bestStart = latestStart(t, 0);
    if (bestEnd - bestStart <= maxWorkS) return true;

    let best = Infinity;
    let bestAfter = -1;
    let doneS = 0;
    for (let k = 0; k < stops - 1; k++) {
      doneS += legS[k]! + serviceS[k]!;
      // Work alone, without waiting, already says which places are too late or too soon.
      if (doneS > maxWorkS) break;
      if (workS - doneS > maxWorkS) continue;
      const end = endFrom(k + 1, early[k]! + breakS, -1);
      if (end > lastS) continue;
      // No start is later than work and break allow.
      const leastMicros = (workS + breakS) * hourMicros + Math.max(0, end - endS) * overMicros;
      if (leastMicros >= best) continue;
      breakAfter[0] = k;
      const start = latestStart(end, 1);
      if (!restsInTime(start, 1)) continue;
      const micros = (end - start) * hourMicros + Math.max(0, end - endS) * overMicros;
      if (micros < best) {
        best = micros;
        bestAfter = k;
        bestStart = start;
        bestEnd = end;
      }
    }
    if (bestAfter >= 0) {
      breakAfter[0] = bestAfter;
      bestBreaks = 1;
      return true;
    }
    return severalBreaks();
  };

  /** Walks the round from `start` and checks that no stretch of work is longer than allowed. */
  const restsInTime = (start: number, breaks: number): boolean => {
    let t = start;
    let since = start;
    let b = 0;
    for (let j = 0; j < stops; j++) {
      t = earliest(j, t + legS[j]!) + serviceS[j]!;
      if (b < breaks && breakAfter[b] === j) {
        if (t - since > maxWorkS) return false;
        t += breakS;
        since = t;
        b++;
      }
    }
    return t - since <= maxWorkS;
  };

  /** Each break after the last stop that may still precede it; two passes, as the start moves. */
  const severalBreaks = (): boolean => {
    let start = bestStart;
    for (let pass = 0; pass < 3; pass++) {
      let t = start;
      let since = start;
      let breaks = 0;
      for (let j = 0; j < stops; j++) {
        let begin = earliest(j, t + legS[j]!);
        if (begin + serviceS[j]! - since > maxWorkS && j > 0 && t > since) {
          if (breaks === MAX_BREAKS) return false;
          breakAfter[breaks++] = j - 1;
          t += breakS;
          since = t;
          begin = earliest(j, t + legS[j]!);
        }
        if (begin === Infinity) break;
        t = begin + serviceS[j]!;
      }
      const end = breaks === 0 ? Infinity : endWithBreaks(firstS, breaks);
      if (end > lastS) {
        if (start === firstS) return false;
        start = firstS;
        continue;
      }
      bestStart = latestStart(end, breaks);
      bestEnd = end;
      bestBreaks = breaks;
      if (restsInTime(bestStart, breaks)) return true;
      if (start === firstS) return false;
      start = firstS;
    }
    return false;
  };

  const endWithBreaks = (start: number, breaks: number): number => {
    let t = start;
    let b = 0;
    for (let j = 0; j < stops; j++) {
      t = earliest(j, t + legS[j]!) + serviceS[j]!;
      if (b < breaks && breakAfter[b] === j) {
        t += breakS;
        b++;
      }
    }
    return t;
  };

  const priced = (shift: WeekShift, lastsS: number, endS: number): number =>
    Math.round((steps.distanceM * shift.microsPerKm) / 1000) +
    Math.round((lastsS * shift.microsPerHour) / 3600) +
    Math.round((Math.max(0, endS - shift.endS) * prices.overtimeMicrosPerHour) / 3600) +
    steps.unloads * prices.unloadMicros;

  const cost: Timer['cost'] = (shift, orders, from, count, below = Infinity) => {
    if (count === 0) return 0;
    if (count > MAX_STOPS) return Infinity;
    steps.read(shift, orders, from, count);
    stops = steps.count;
    workS = steps.workS;
    lastS = shift.lastS;
    firstS = shift.startS;
    const leastS = workS + (workS > maxWorkS ? breakS : 0);
    if (priced(shift, leastS, shift.startS + leastS) >= below) return Infinity;
    if (!settle(shift.microsPerHour / 3600, prices.overtimeMicrosPerHour / 3600, shift.endS)) return Infinity;
    return priced(shift, bestEnd - bestStart, bestEnd);
  };

  const lay = (shift: WeekShift, orders: Int32Array, from: number, count: number): RoundCost | undefined => {
    if (cost(shift, orders, from, count) === Infinity || count === 0) return undefined;
    table.count = stops;
    table.startS = bestStart;
    table.endS = bestEnd;
    table.distanceM = steps.distanceM;
    table.driveS = steps.driveS;
    table.unloads = steps.unloads;
    table.breaks = bestBreaks;
    let t = bestStart;
    let b = 0;
    for (let j = 0; j < stops; j++) {
      table.arriveS[j] = t + legS[j]!;
      table.beginS[j] = earliest(j, t + legS[j]!);
      t = table.beginS[j]! + serviceS[j]!;
      table.leaveS[j] = t;
      if (b < bestBreaks && breakAfter[b] === j) {
        table.breakStartS[b] = t;
        t += breakS;
        b++;
      }
    }
    return {
      distanceMicros: Math.round((steps.distanceM * shift.microsPerKm) / 1000),
      timeMicros: Math.round(((bestEnd - bestStart) * shift.microsPerHour) / 3600),
      overtimeMicros: Math.round((Math.max(0, bestEnd - shift.endS) * prices.overtimeMicrosPerHour) / 3600),
      unloadMicros: steps.unloads * prices.unloadMicros,
    };
  };

  const waitS = (): number => Math.max(0, bestEnd - bestStart - workS - bestBreaks * breakS);

  return { cost, lay, waitS, table };
}
