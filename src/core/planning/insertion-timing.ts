/**
 * What a round costs with one more stop (and perhaps one more unloading): the timer's own answer to the micro, from the
 * round's functions of time instead of the whole round (clockwork.ts). A break is tried after every stop that it may
 * follow; where one break does not do, the timer is asked.
 */
import {
  type Clockwork,
  earliestIn,
  latestFor,
  latestIn,
  noClockwork,
  valueAt,
  windUp,
} from './clockwork.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import type { StartSpan } from './week.ts';
import type { WeekState } from './week-state.ts';

/** 0: no new unloading; 1: one before the stop; 2: one after it. */
export type Unloading = 0 | 1 | 2;

export type InsertionTiming = {
  /** The round's clockwork, wound up for its present order. */
  clockOf(state: WeekState, shift: number): Clockwork;
  /**
   * Micros that the round costs more with `site` before position `at`; Infinity where it cannot be driven so, or where
   * it is sure to be `below` or more.
   */
  extraMicros(
    state: WeekState,
    shift: number,
    site: number,
    at: number,
    unload: Unloading,
    below?: number,
  ): number;
};

/** What is put in, in order: two at most. */
type Extra = { legS: number; serviceS: number; windows: readonly StartSpan[] };

export function makeInsertionTiming(): InsertionTiming {
  const clocks: Clockwork[] = [];
  const trial = new Int32Array(MAX_STOPS + 2);
  const extras: [Extra, Extra] = [noExtra(), noExtra()];
  let extraCount = 0;
  /** From the last extra to the stop after it. */
  let onLegS = 0;

  const clockOf = (state: WeekState, shift: number): Clockwork => {
    let clock = clocks[shift];
    if (!clock) clocks[shift] = clock = noClockwork();
    if (clock.version === state.version[shift]!) return clock;
    windUp(clock, state.week, shift, state.orders, shift * MAX_STOPS, state.counts[shift]!);
    clock.version = state.version[shift]!;
    return clock;
  };

  /** Through extras `first` to `last` (all): when the last is left if the stop before the first is left at `t`. */
  const through = (t: number, first = 0, last = extraCount - 1): number => {
    for (let n = first; n <= last; n++) {
      const extra = extras[n as 0 | 1];
      t = earliestIn(extra.windows, t + extra.legS) + extra.serviceS;
    }
    return t;
  };
  /** Back through extras `last` to `first`: the latest leaving of the stop before them, if the last is left at `t`. */
  const back = (t: number, last: number, first = 0): number => {
    for (let n = last; n >= first; n--) {
      const extra = extras[n as 0 | 1];
      t = latestIn(extra.windows, t - extra.serviceS) - extra.legS;
    }
    return t;
  };
  /** Latest start of the round for a latest leaving of stop `k` (-1: the workshop). */
  const startFor = (clock: Clockwork, k: number, t: number): number =>
    k < 0 ? t : latestFor(clock.before, k, t);

  /** Driving and work from the stop before to arriving at the stop after, and metres beyond the round's. */
  let extrasS = 0;
  let metres = 0;

  const layExtras = (
    state: WeekState,
    clock: Clockwork,
    shift: number,
    site: number,
    at: number,
    unload: Unloading,
  ): void => {
    const { orders, counts, week } = state;
    const { legM, legS, places, problem, place } = week;
    const { day } = week.shifts[shift]!;
    const base = shift * MAX_STOPS;
    const placeAt = (k: number): number => {
      const stop = k < 0 || k >= counts[shift]! ? UNLOAD : orders[base + k]!;
      return stop === UNLOAD ? problem.workshopPlace : place[stop]!;
    };
    let from = placeAt(at - 1);
    extrasS = 0;
    metres = -clock.legM[at]!;
    extraCount = unload === 0 ? 1 : 2;
    for (let n = 0; n < extraCount; n++) {
      const isUnload = unload !== 0 && n === unload - 1;
      const here = isUnload ? problem.workshopPlace : place[site]!;
      const leg = from * places + here;
      const extra = extras[n as 0 | 1];
      extra.legS = legS[leg]!;
      extra.serviceS = isUnload ? problem.prices.unloadS : week.serviceS[site]!;
      extra.windows = isUnload ? week.unloadSpans[day]! : week.spans[site * week.days + day]!;
      extrasS += extra.legS + extra.serviceS;
      metres += legM[leg]!;
      from = here;
    }
    const leg = from * places + placeAt(at);
    onLegS = legS[leg]!;
    extrasS += onLegS;
    metres += legM[leg]!;
  };

  // The break that is being looked for, and what the best so far gives.
  let workS = 0;
  let best = Infinity;
  let bestLastsS = 0;
  let bestEnd = 0;
  let hourMicros = 0;
  let overMicros = 0;
  let shiftEndS = 0;
  let shiftLastS = 0;
  let maxWorkS = 0;
  let breakS = 0;

  /** Whether a round that ends at `end` could be better than the best so far: work and break it has at least. */
  const isWorth = (end: number): boolean =>
    end <= shiftLastS && (workS + breakS) * hourMicros + Math.max(0, end - shiftEndS) * overMicros < best;

  /** The round leaves at `begin`, rests from `restS` and ends at `end`. */
  const weigh = (begin: number, restS: number, end: number): void => {
    if (restS - begin > maxWorkS || end - (restS + breakS) > maxWorkS) return;
    const micros = (end - begin) * hourMicros + Math.max(0, end - shiftEndS) * overMicros;
    if (micros >= best) return;
    best = micros;
    bestLastsS = end - begin;
    bestEnd = end;
  };
  const mayRest = (doneS: number): boolean => doneS <= maxWorkS && workS - doneS <= maxWorkS;

  const restBefore = (clock: Clockwork, at: number): void => {
    const { legS, serviceS, windows, earlyLeaveS, doneS, after } = clock;
    for (let k = 0; k < at; k++) {
      if (!mayRest(doneS[k]!)) continue;
      let t = earlyLeaveS[k]! + breakS;
      for (let j = k + 1; j < at; j++) t = earliestIn(windows[j]!, t + legS[j]!) + serviceS[j]!;
      const end = valueAt(after, at, through(t) + onLegS);
      if (!isWorth(end)) continue;
      t = back(latestFor(after, at, end) - onLegS, extraCount - 1);
      for (let j = at - 1; j > k; j--) t = latestIn(windows[j]!, t - serviceS[j]!) - legS[j]!;
      const begin = startFor(clock, k, t - breakS);
      weigh(begin, valueAt(clock.before, k, begin), end);
    }
  };

  const leavingBefore = (clock: Clockwork, at: number, begin: number): number =>
    at === 0 ? begin : valueAt(clock.before, at - 1, begin);

  const restBetween = (clock: Clockwork, at: number, firstS: number): void => {
    let doneS = at === 0 ? 0 : clock.doneS[at - 1]!;
    for (let n = 0; n < extraCount; n++) {
      doneS += extras[n as 0 | 1].legS + extras[n as 0 | 1].serviceS;
      if (!mayRest(doneS)) continue;
      const early = through(at === 0 ? firstS : clock.earlyLeaveS[at - 1]!, 0, n);
      const end = valueAt(clock.after, at, through(early + breakS, n + 1) + onLegS);
      if (!isWorth(end)) continue;
      const late = back(latestFor(clock.after, at, end) - onLegS, extraCount - 1, n + 1);
      const begin = startFor(clock, at - 1, back(late - breakS, n));
      weigh(begin, through(leavingBefore(clock, at, begin), 0, n), end);
    }
  };

  const restAfter = (clock: Clockwork, at: number, leaveS: number): void => {
    const { legS, serviceS, windows, after } = clock;
    let doneS = (at === 0 ? 0 : clock.doneS[at - 1]!) + extrasS - onLegS;
    let t = leaveS;
    for (let k = at; k < clock.stops - 1; k++) {
      const leg = k === at ? onLegS : legS[k]!;
      doneS += leg + serviceS[k]!;
      if (doneS > maxWorkS) return;
      t = earliestIn(windows[k]!, t + leg) + serviceS[k]!;
      if (workS - doneS > maxWorkS) continue;
      const end = valueAt(after, k + 1, t + breakS + legS[k + 1]!);
      if (!isWorth(end)) continue;
      let u = latestFor(after, k + 1, end) - legS[k + 1]! - breakS;
      for (let j = k; j >= at; j--)
        u = latestIn(windows[j]!, u - serviceS[j]!) - (j === at ? onLegS : legS[j]!);
      const begin = startFor(clock, at - 1, back(u, extraCount - 1));
      u = through(leavingBefore(clock, at, begin));
      for (let j = at; j <= k; j++)
        u = earliestIn(windows[j]!, u + (j === at ? onLegS : legS[j]!)) + serviceS[j]!;
      weigh(begin, u, end);
    }
  };

  const extraMicros: InsertionTiming['extraMicros'] = (state, shift, site, at, unload, below = Infinity) => {
    const { week, counts } = state;
    if (counts[shift]! + (unload === 0 ? 1 : 2) >= MAX_STOPS) return Infinity;
    const clock = clockOf(state, shift);
    if (!clock.isKnown) return byTimer(state, shift, site, at, unload);
    layExtras(state, clock, shift, site, at, unload);
    const { startS: firstS, endS, lastS, microsPerKm, microsPerHour } = week.shifts[shift]!;
    const { breakRule, prices } = week.problem;
    const fixedMicros =
      Math.round(((clock.distanceM + metres) * microsPerKm) / 1000) +
      (clock.unloads + (unload === 0 ? 0 : 1)) * prices.unloadMicros -
      state.roundMicros[shift]!;
    const priced = (lastsS: number, end: number): number =>
      fixedMicros +
      Math.round((lastsS * microsPerHour) / 3600) +
      Math.round((Math.max(0, end - endS) * prices.overtimeMicrosPerHour) / 3600);

    const leaveS = through(at === 0 ? firstS : clock.earlyLeaveS[at - 1]!);
    const end = valueAt(clock.after, at, leaveS + onLegS);
    if (end === Infinity) return Infinity;
    const start = startFor(clock, at - 1, back(latestFor(clock.after, at, end) - onLegS, extraCount - 1));
    if (end - start <= breakRule.maxWorkS) return priced(end - start, end);

    // With one break: after each stop in turn, whichever costs least.
    ({ maxWorkS, breakS } = breakRule);
    workS = clock.workS + extrasS - clock.legS[at]!;
    // A break delays the end, and leaves no time for less work than there is.
    if (firstS + workS + breakS > lastS || priced(workS + breakS, end) >= below) return Infinity;
    best = Infinity;
    hourMicros = microsPerHour / 3600;
    overMicros = prices.overtimeMicrosPerHour / 3600;
    shiftEndS = endS;
    shiftLastS = lastS;
    restBefore(clock, at);
    if (isWorth(end)) restBetween(clock, at, firstS);
    if (isWorth(end)) restAfter(clock, at, leaveS);
    if (best < Infinity) return priced(bestLastsS, bestEnd);
    return firstS + workS + 2 * breakS > lastS ? Infinity : byTimer(state, shift, site, at, unload);
  };

  const byTimer = (state: WeekState, shift: number, site: number, at: number, unload: Unloading): number => {
    const { orders, counts, week, timer } = state;
    const base = shift * MAX_STOPS;
    let n = 0;
    for (let k = 0; k < at; k++) trial[n++] = orders[base + k]!;
    if (unload === 1) trial[n++] = UNLOAD;
    trial[n++] = site;
    if (unload === 2) trial[n++] = UNLOAD;
    for (let k = at; k < counts[shift]!; k++) trial[n++] = orders[base + k]!;
    return timer.cost(week.shifts[shift]!, trial, 0, n) - state.roundMicros[shift]!;
  };

  return { clockOf, extraMicros };
}

const noExtra = (): Extra => ({ legS: 0, serviceS: 0, windows: [] });
