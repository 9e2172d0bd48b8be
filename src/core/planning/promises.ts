/**
 * Which promises can be kept at all, on which days, and if not, why and what would mend it. On a day that a
 * promise names, a visit starts inside the promised window. What remains possible here can still be lost to the
 * competition of other promises; the search decides that, and breaks one only where it cannot be kept.
 */
import type { UnkeptPromise } from './plan.ts';
import type { SitePromise } from './problem.ts';
import { makeTimer } from './timetable.ts';
import { commonSpans, type StartSpan, startSpans, type Week, type WeekBase } from './week.ts';

export type PromiseFate = Pick<UnkeptPromise, 'why' | 'mend'>;

/** Completes the week with the windows of every site and day and the days that keep each promise. */
export function withPromises(base: WeekBase): {
  readonly week: Week;
  /** Per site and promise: why nothing can keep it; undefined where something can. */
  readonly hopeless: readonly (readonly (PromiseFate | undefined)[])[];
} {
  const { problem, days, sites, originAt } = base;
  const spans: (readonly StartSpan[])[] = new Array(sites * days).fill([]);
  problem.sites.forEach((site, i) => {
    for (let day = 0; day < days; day++)
      if (!site.barredDays.includes(day)) spans[i * days + day] = startSpans(site.openByDay[day]!, originAt);
  });
  const lone = loneTrips(base, spans);
  const horizonEnd = problem.dayStartsAt[days]!;
  const keepDays: number[][] = [];
  const due: boolean[][] = [];
  const hopeless: (PromiseFate | undefined)[][] = [];

  problem.sites.forEach((site, i) => {
    const keep: number[] = [];
    const isDue: boolean[] = [];
    const fates: (PromiseFate | undefined)[] = [];
    for (const promise of site.promises) {
      // A window beyond the horizon leaves it to a later plan.
      const hasLastChance = promise.windows.every((window) => window.untilAt <= horizonEnd);
      const before = spans.slice(i * days, (i + 1) * days);
      const { mask, fate } = hasLastChance
        ? place(base, lone, spans, promise, i)
        : { mask: 0, fate: undefined };
      isDue.push(hasLastChance);
      keep.push(mask);
      fates.push(fate);
      if (mask === 0) for (let day = 0; day < days; day++) spans[i * days + day] = before[day]!;
    }
    keepDays.push(keep);
    due.push(isDue);
    hopeless.push(fates);
  });
  return { week: { ...base, spans, keepDays, due }, hopeless };
}

type LoneTrips = {
  /** Whether a round with this stop alone can be driven in the shift. */
  inTime(shift: number, site: number): boolean;
  /** Whether some load that could wait there on that day fits the van: 'yes', or what is too much. */
  fits(shift: number, site: number): 'yes' | 'too-heavy' | 'too-bulky';
};

/** How far a promise gets on its best day. */
const STAGES: readonly PromiseFate[] = [
  { why: 'window-outside-shift', mend: 'wider-window' }, // names no day of the horizon
  { why: 'closed', mend: 'wider-window' },
  { why: 'no-shift', mend: 'add-shift' },
  { why: 'window-outside-shift', mend: 'longer-shift' },
  { why: 'too-far', mend: 'longer-shift' },
  { why: 'too-heavy', mend: 'bigger-van' },
  { why: 'no-time', mend: 'move-another' }, // only another promise of the same site stands in its way
];

/** Narrows the spans of the days that can keep the promise, and says which they are, or why none is. */
function place(
  base: WeekBase,
  lone: LoneTrips,
  spans: (readonly StartSpan[])[],
  promise: SitePromise,
  site: number,
): { mask: number; fate: PromiseFate | undefined } {
  const { days, originAt, shifts, shiftsOfDay, problem } = base;
  const { barredDays, openByDay } = problem.sites[site]!;
  const promised = startSpans(promise.windows, originAt);
  let mask = 0;
  let stage = 0;
  let tooMuch: 'too-heavy' | 'too-bulky' = 'too-heavy';
  for (let day = 0; day < days; day++) {
    const fromS = problem.dayStartsAt[day]! - originAt;
    const untilS = problem.dayStartsAt[day + 1]! - originAt - 1;
    const named = commonSpans(promised, [{ fromS, untilS }]);
    if (named.length === 0) continue;
    stage = Math.max(stage, 1);
    const open = barredDays.includes(day) ? [] : commonSpans(startSpans(openByDay[day]!, originAt), named);
    if (open.length === 0) continue;
    stage = Math.max(stage, 2);
    if (shiftsOfDay[day]!.length === 0) continue;
    stage = Math.max(stage, 3);
    const isOnTheRoad = ({ startS, lastS }: { startS: number; lastS: number }): boolean =>
      open.some((span) => span.fromS <= lastS && span.untilS >= startS);
    if (!shiftsOfDay[day]!.some((s) => isOnTheRoad(shifts[s]!))) continue;
    stage = Math.max(stage, 4);

    const node = site * days + day;
    const free = spans[node]!;
    spans[node] = open;
    const fits = shiftsOfDay[day]!.filter((s) => lone.inTime(s, site)).map((s) => lone.fits(s, site));
    if (fits.length > 0) stage = Math.max(stage, 5);
    if (fits.length > 0 && !fits.includes('yes'))
      tooMuch = fits.includes('too-heavy') ? 'too-heavy' : 'too-bulky';
    if (fits.includes('yes')) stage = Math.max(stage, 6);

    // With an earlier promise of the same site on this day, the visit has to suit both.
    spans[node] = commonSpans(free, open);
    const isKept =
      spans[node]!.length > 0 &&
      shiftsOfDay[day]!.some((s) => lone.inTime(s, site) && lone.fits(s, site) === 'yes');
    if (isKept) mask |= 1 << day;
    else spans[node] = free;
  }
  if (mask !== 0) return { mask, fate: undefined };
  const fate = STAGES[stage]!;
  return { mask, fate: fate.why === 'too-heavy' ? { ...fate, why: tooMuch } : fate };
}

function loneTrips(base: WeekBase, spans: readonly (readonly StartSpan[])[]): LoneTrips {
  const timer = makeTimer({ ...base, spans });
  const order = new Int32Array(1);
  const { tables, shifts, cautionZ, problem } = base;
  const common = problem.prices.commonSd * problem.prices.commonSd;
  return {
    inTime: (shift, site) => {
      order[0] = site;
      return timer.cost(shifts[shift]!, order, 0, 1) < Infinity;
    },
    fits: (shift, site) => {
      const { day, payloadKg, loadSpaceL } = shifts[shift]!;
      const { nodes, massKg, varianceKg2 } = tables[site]!;
      const litresPerKg = problem.sites[site]!.model.litresPerKg;
      let least = Infinity;
      for (let a = 0; a <= day; a++) {
        const mass = massKg[a * nodes + day + 1]!;
        const spread = varianceKg2[a * nodes + day + 1]! + common * mass * mass;
        least = Math.min(least, mass + cautionZ * Math.sqrt(spread));
      }
      if (least > payloadKg) return 'too-heavy';
      return least * litresPerKg > loadSpaceL ? 'too-bulky' : 'yes';
    },
  };
}
