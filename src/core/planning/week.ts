/**
 * A planning problem laid out for the search: tables, windows and prices on flat arrays. Times are whole seconds
 * since the start of the first day. A "node" is a site on a day, `site * days + day`.
 */
import { normalCdf } from '../quantity/special.ts';
import type { TimeWindow } from '../quantity/units.ts';
import type { PlanningProblem, PlanningShift } from './problem.ts';
import { type StockModel, stockModel } from './stock.ts';
import { buildTables, type SiteTable } from './tables.ts';
import { visitCosts } from './terminal.ts';
import { MAX_HORIZON_DAYS } from './visit-days.ts';

/** Other sites that a site's ruin, company and rounds are looked for among. */
const NEIGHBOURS = 40;

/** Both ends included: work starts between `fromS` and `untilS`. */
export type StartSpan = { readonly fromS: number; readonly untilS: number };

export type WeekShift = {
  readonly index: number;
  readonly day: number;
  readonly startS: number;
  readonly endS: number;
  readonly lastS: number;
  readonly payloadKg: number;
  readonly loadSpaceL: number;
  readonly microsPerKm: number;
  readonly microsPerHour: number;
};

export type Week = {
  readonly problem: PlanningProblem;
  readonly originAt: number;
  readonly sites: number;
  readonly days: number;
  readonly tables: readonly SiteTable[];
  readonly stock: StockModel;
  readonly usableShare: number;
  /** Standard deviations that loads are held with. */
  readonly cautionZ: number;
  readonly shifts: readonly WeekShift[];
  /** Shifts of one kind (hours, van, prices) are as good as each other while they are empty; kinds beyond 31 share one. */
  readonly kindOfShift: Int32Array;
  /** Indices into `shifts`, per day. */
  readonly shiftsOfDay: readonly (readonly number[])[];
  readonly unloadSpans: readonly (readonly StartSpan[])[];
  /** Per node; empty where no van may call. */
  readonly spans: readonly (readonly StartSpan[])[];
  /** Per site and promise: bit set of the days on which a visit keeps it; 0 if nothing can keep it. */
  readonly keepDays: readonly (readonly number[])[];
  /** Per site and promise: whether this horizon holds its last chance. */
  readonly due: readonly (readonly boolean[])[];
  /** Per site: bit set of the days of `usual` pickups. */
  readonly usualMask: Int32Array;
  /** Per node: shift index a visit was published on, or -1; and what a change there costs. */
  readonly publishedShift: Int32Array;
  readonly changeMicros: Float64Array;
  /** Mean marginal cost of a visit: the scale of all temperatures. */
  readonly scaleMicros: number;
  /**
   * What the search pays for a broken promise: so much that one is broken only where it cannot be kept. The plan's
   * money has the workshop's own price.
   */
  readonly searchPromiseMicros: number;
  readonly place: Int32Array;
  readonly serviceS: Int32Array;
  readonly places: number;
  readonly legM: Int32Array;
  readonly legS: Int32Array;
  /** Other sites of each site, nearest first. */
  readonly near: readonly Int32Array[];
  /** The last number given to an order of a round, so that each is recognised (see insertion.ts). */
  readonly versions: { last: number };
};

/** Everything but what needs lone trips (see promises.ts). */
export type WeekBase = Omit<Week, 'spans' | 'keepDays' | 'due'>;

export function layOutWeek(problem: PlanningProblem): WeekBase {
  checkShape(problem);
  const days = problem.days.length;
  const sites = problem.sites.length;
  const originAt = problem.dayStartsAt[0]!;
  const nowS = problem.nowAt - originAt;
  const shifts = problem.shifts.map((shift, index) => weekShift(shift, index, originAt, nowS, problem));
  const shiftsOfDay: number[][] = problem.days.map(() => []);
  for (const shift of shifts) shiftsOfDay[shift.day]!.push(shift.index);
  const visitMicros = visitCosts(problem);
  let scale = 0;
  for (const micros of visitMicros) scale += micros / sites;
  return {
    problem,
    originAt,
    sites,
    days,
    tables: buildTables(problem),
    stock: stockModel(problem),
    usableShare: 1 - problem.prices.contaminationShare,
    cautionZ: normalQuantile(problem.loadQuantile),
    shifts,
    kindOfShift: kindsOf(shifts, problem),
    shiftsOfDay,
    unloadSpans: problem.unloadByDay.map((windows) => startSpans(windows, originAt)),
    usualMask: Int32Array.from(problem.sites, (site) =>
      site.usualDays.reduce((mask, day) => mask | (1 << day), 0),
    ),
    ...publishedChanges(problem),
    scaleMicros: Math.max(1, scale),
    searchPromiseMicros: problem.prices.brokenPromiseMicros + Math.round(1000 * Math.max(1, scale)),
    place: Int32Array.from(problem.sites, (site) => site.place),
    serviceS: Int32Array.from(problem.sites, (site) => site.serviceS),
    places: problem.travel.places,
    legM: problem.travel.legM,
    legS: problem.travel.legS,
    near: nearSites(problem),
    versions: { last: 0 },
  };
}

export function startSpans(windows: readonly TimeWindow[], originAt: number): StartSpan[] {
  return windows
    .map((w) => ({ fromS: Math.ceil(w.fromAt - originAt), untilS: Math.ceil(w.untilAt - originAt) - 1 }))
    .filter((span) => span.untilS >= span.fromS)
    .sort((a, b) => a.fromS - b.fromS);
}

/** Spans in both lists. */
export function commonSpans(a: readonly StartSpan[], b: readonly StartSpan[]): StartSpan[] {
  const common: StartSpan[] = [];
  for (const x of a)
    for (const y of b) {
      const fromS = Math.max(x.fromS, y.fromS);
      const untilS = Math.min(x.untilS, y.untilS);
      if (untilS >= fromS) common.push({ fromS, untilS });
    }
  return common.sort((x, y) => x.fromS - y.fromS);
}

function weekShift(
  shift: PlanningShift,
  index: number,
  originAt: number,
  nowS: number,
  problem: PlanningProblem,
): WeekShift {
  const endS = Math.floor(shift.endAt - originAt);
  return {
    index,
    day: shift.dayIndex,
    startS: Math.ceil(Math.max(shift.startAt - originAt, nowS)),
    endS,
    lastS: endS + problem.prices.maxOvertimeS,
    payloadKg: shift.payloadKg,
    loadSpaceL: shift.loadSpaceL,
    microsPerKm: shift.costMicrosPerKm,
    microsPerHour: shift.costMicrosPerHour,
  };
}

/**
 * A visit that was published and is dropped, moved or given to another van, or one added in the published days,
 * costs `changeMicros / (1 + day)`: the nearer, the dearer.
 */
function publishedChanges(problem: PlanningProblem): {
  publishedShift: Int32Array;
  changeMicros: Float64Array;
} {
  const days = problem.days.length;
  const publishedShift = new Int32Array(problem.sites.length * days).fill(-1);
  const changeMicros = new Float64Array(publishedShift.length);
  const siteOf = new Map(problem.sites.map((site, i) => [site.siteId, i]));
  const shiftOf = new Map(problem.shifts.map((shift, s) => [shift.shiftId, s]));
  let lastDay = -1;
  for (const visit of problem.published) {
    const site = siteOf.get(visit.siteId);
    if (site === undefined || visit.dayIndex < 0 || visit.dayIndex >= days) continue;
    lastDay = Math.max(lastDay, visit.dayIndex);
    // A shift that no longer exists (a van off the road) still leaves a visit that was published.
    publishedShift[site * days + visit.dayIndex] = shiftOf.get(visit.shiftId) ?? problem.shifts.length;
  }
  for (let i = 0; i < problem.sites.length; i++)
    for (let day = 0; day <= lastDay; day++)
      changeMicros[i * days + day] = Math.round(problem.prices.changeMicros / (1 + day));
  return { publishedShift, changeMicros };
}

function kindsOf(shifts: readonly WeekShift[], { dayStartsAt }: PlanningProblem): Int32Array {
  const kinds = new Map<string, number>();
  return Int32Array.from(shifts, (shift) => {
    const { day, startS, endS, payloadKg, loadSpaceL, microsPerKm, microsPerHour } = shift;
    const dayS = dayStartsAt[day]! - dayStartsAt[0]!;
    const kind = [startS - dayS, endS - dayS, payloadKg, loadSpaceL, microsPerKm, microsPerHour].join();
    if (!kinds.has(kind)) kinds.set(kind, Math.min(31, kinds.size));
    return kinds.get(kind)!;
  });
}

/** The 40 nearest; among equals the earlier in order. Quadratic, with a constant of nanoseconds. */
function nearSites({ travel, sites }: PlanningProblem): Int32Array[] {
  const place = Int32Array.from(sites, (site) => site.place);
  const nearest = new Int32Array(NEIGHBOURS);
  const metres = new Int32Array(NEIGHBOURS);
  return sites.map((site, i) => {
    const row = site.place * travel.places;
    let count = 0;
    for (let j = 0; j < sites.length; j++) {
      if (j === i) continue;
      const m = travel.legM[row + place[j]!]!;
      if (count === NEIGHBOURS && m >= metres[count - 1]!) continue;
      let at = count < NEIGHBOURS ? count++ : count - 1;
      for (; at > 0 && metres[at - 1]! > m; at--) {
        metres[at] = metres[at - 1]!;
        nearest[at] = nearest[at - 1]!;
      }
      metres[at] = m;
      nearest[at] = j;
    }
    return nearest.slice(0, count);
  });
}

/** z with P(Z <= z) = p, by bisection: asked once a plan. */
export function normalQuantile(p: number): number {
  let low = -9;
  let high = 9;
  for (let i = 0; i < 80; i++) {
    const mid = (low + high) / 2;
    if (normalCdf(mid) < p) low = mid;
    else high = mid;
  }
  return (low + high) / 2;
}

function checkShape(problem: PlanningProblem): void {
  const days = problem.days.length;
  const grades = problem.grades.length;
  const wrong = (what: string): never => {
    throw new RangeError(`planning problem: ${what}`);
  };
  if (days < 1 || days > MAX_HORIZON_DAYS) wrong(`${days} days, 1 to ${MAX_HORIZON_DAYS} can be planned`);
  if (problem.dayStartsAt.length !== days + 1)
    wrong(`${problem.dayStartsAt.length} day starts for ${days} days; one more than days is needed`);
  if (problem.unloadByDay.length !== days || problem.drawKg.length !== days)
    wrong(
      `unloadByDay (${problem.unloadByDay.length}) and drawKg (${problem.drawKg.length}) need ${days} days`,
    );
  if (problem.stockKg.length !== grades || problem.buyPriceMicrosPerKg.length !== grades)
    wrong(`stockKg and buyPriceMicrosPerKg need one number for each of ${grades} grades`);
  if (!(problem.loadQuantile >= 0.2 && problem.loadQuantile < 1))
    wrong(`loadQuantile is ${problem.loadQuantile}; it must lie from 0.2 up to, not at, 1`);
  for (const site of problem.sites) {
    if (site.openByDay.length !== days)
      wrong(`site ${site.siteId} has opening windows for ${site.openByDay.length} of ${days} days`);
    if (!(site.place >= 0 && site.place < problem.travel.places))
      wrong(`site ${site.siteId} is at place ${site.place} of ${problem.travel.places}`);
    if (!(site.model.capacityKg > 0))
      wrong(`site ${site.siteId} has a capacity of ${site.model.capacityKg} kg`);
  }
  for (const shift of problem.shifts)
    if (!(shift.dayIndex >= 0 && shift.dayIndex < days))
      wrong(`shift ${shift.shiftId} is on day ${shift.dayIndex} of ${days}`);
}
