/**
 * An order of stops as steps of a drive: legs, work and windows in arrays, the final unloading included; overwritten by
 * the next order read. With it, when work at a step can start at the earliest and at the latest.
 */
import type { StartSpan, Week, WeekShift } from './week.ts';

/** In an order of stops: empty the van at the workshop, then go on. */
export const UNLOAD = -1;
export const MAX_STOPS = 250;
const NEVER: StartSpan = { fromS: Infinity, untilS: -Infinity };

export type TimerWeek = Pick<
  Week,
  'problem' | 'days' | 'place' | 'serviceS' | 'places' | 'legM' | 'legS' | 'unloadSpans'
> & { readonly spans: readonly (readonly StartSpan[])[] };

export type Steps = {
  /** The final unloading included. */
  count: number;
  distanceM: number;
  driveS: number;
  /** Driving and work. */
  workS: number;
  unloads: number;
  readonly legS: Float64Array;
  readonly serviceS: Float64Array;
  /** Reads `orders[from .. from + count)` of a shift. */
  read(shift: WeekShift, orders: Int32Array, from: number, count: number): void;
  /** Earliest start of work at step `j` for one who is there at `t`; Infinity after its last window. */
  earliest(j: number, t: number): number;
  /** Latest start of work at step `j` that is not after `t`; the caller knows that there is one. */
  latest(j: number, t: number): number;
};

export function makeSteps(week: TimerWeek): Steps {
  const { problem, days, place, serviceS, places, legM, legS, unloadSpans, spans } = week;
  const { workshopPlace, prices } = problem;
  const size = MAX_STOPS + 2;
  const legTo = new Float64Array(size);
  const service = new Float64Array(size);
  const windows: (readonly StartSpan[])[] = new Array(size).fill([]);
  // First and last window of each step, flat: mostly they are one, and the answer.
  const firstFromS = new Float64Array(size);
  const firstUntilS = new Float64Array(size);
  const finalFromS = new Float64Array(size);
  const finalUntilS = new Float64Array(size);

  const read = (shift: WeekShift, orders: Int32Array, from: number, count: number): void => {
    let at = workshopPlace;
    let distanceM = 0;
    let driveS = 0;
    let workS = 0;
    let unloads = 1;
    for (let k = 0; k <= count; k++) {
      const site = k < count ? orders[from + k]! : UNLOAD;
      const to = site < 0 ? workshopPlace : place[site]!;
      const leg = at * places + to;
      distanceM += legM[leg]!;
      driveS += legS[leg]!;
      legTo[k] = legS[leg]!;
      if (site < 0) {
        service[k] = prices.unloadS;
        windows[k] = unloadSpans[shift.day]!;
        if (k < count) unloads++;
      } else {
        service[k] = serviceS[site]!;
        windows[k] = spans[site * days + shift.day]!;
      }
      workS += service[k]!;
      const list = windows[k]!;
      const first = list[0] ?? NEVER;
      const final = list[list.length - 1] ?? NEVER;
      firstFromS[k] = first.fromS;
      firstUntilS[k] = first.untilS;
      finalFromS[k] = final.fromS;
      finalUntilS[k] = final.untilS;
      at = to;
    }
    steps.count = count + 1;
    steps.distanceM = distanceM;
    steps.driveS = driveS;
    steps.workS = driveS + workS;
    steps.unloads = unloads;
  };

  const earliest = (j: number, t: number): number => {
    if (t <= firstUntilS[j]!) return Math.max(t, firstFromS[j]!);
    const list = windows[j]!;
    for (let w = 1; w < list.length; w++) {
      const span = list[w]!;
      if (t <= span.untilS) return Math.max(t, span.fromS);
    }
    return Infinity;
  };

  const latest = (j: number, t: number): number => {
    if (t >= finalFromS[j]!) return Math.min(t, finalUntilS[j]!);
    const list = windows[j]!;
    for (let w = list.length - 2; w >= 0; w--) {
      const span = list[w]!;
      if (t >= span.fromS) return Math.min(t, span.untilS);
    }
    return -Infinity;
  };

  const steps: Steps = {
    count: 0,
    distanceM: 0,
    driveS: 0,
    workS: 0,
    unloads: 0,
    legS: legTo,
    serviceS: service,
    read,
    earliest,
    latest,
  };
  return steps;
}
