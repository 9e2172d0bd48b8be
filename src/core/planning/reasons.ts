/**
 * Why a site is visited, and why another is not: each answer is a true evaluation. A stop's worth is what the plan
 * would cost more without it, all else fixed; a site left out is put into the place where it costs least.
 */
import type { Grade } from '../vocabulary.ts';
import { partMoney } from './evaluate.ts';
import type { Inserter, Place } from './insertion.ts';
import { type MoneySum, moneyDifference, ROUND_PARTS, totalMicros } from './money.ts';
import type { LeftOut, LeftOutCode, Money, StopReason, StopReasonCode } from './plan.ts';
import type { SitePromise } from './problem.ts';
import { MAX_STOPS } from './steps.ts';
import { noStockCost, stockCost } from './stock.ts';
import type { Week } from './week.ts';
import { insertStop, nodeBefore, removeStop, settleTrial, setVisit, type WeekState } from './week-state.ts';

/** P(overflow) from which a stop is explained by it: methods.md D. */
const OVERFLOW_RISK = 0.3;
/** A detour below this share of a trip of its own is "on the way": methods.md D. */
export const ON_THE_WAY_SHARE = 0.4;
/** A gain of at least this share of the detour makes a site "far" rather than "too empty". */
const FAR_SHARE = 0.3;

const CODE_OF_KIND = { rule: 'promised', booking: 'booked', pinned: 'pinned' } as const satisfies Record<
  SitePromise['kind'],
  StopReasonCode
>;

const routeMicros = (money: Money): number => ROUND_PARTS.reduce((sum, part) => sum + money[part], 0);

/** `scratch` is a copy of `state` with nothing touched, and is so again afterwards. */
export function stopReason(
  state: WeekState,
  scratch: WeekState,
  site: number,
  day: number,
  startAt: number,
): StopReason {
  const { week } = state;
  const { problem, tables, days } = week;
  const shift = state.shiftOf[site * days + day]!;
  const before = roundSize(state, shift);
  removeStop(scratch, site, day);
  if (scratch.roundMicros[shift] === Infinity) {
    // Legs rounded to seconds can make the way without a stop a second longer; then the van passes by all the same.
    settleTrial(state, scratch, false);
    setVisit(scratch, site, day, -1);
  }
  const withoutIt = moneyDifference(partMoney(scratch, shift, site), partMoney(state, shift, site));
  const after = roundSize(scratch, shift);

  const table = tables[site]!;
  // Without this stop the next planned visit comes first, or the end of the horizon.
  const later = state.visitDays[site]! & ~((2 << day) - 1);
  const until = later === 0 ? days : 31 - Math.clz32(later & -later);
  const a = nodeBefore(state.visitDays[site]!, day);
  const overflowRisk = table.risk[a * table.nodes + until + 1]!;
  const kept = problem.sites[site]!.promises.find((promise) =>
    promise.windows.some((window) => window.fromAt <= startAt && startAt < window.untilAt),
  );
  const window = kept?.windows.find((w) => w.fromAt <= startAt && startAt < w.untilAt);
  const code = kept ? CODE_OF_KIND[kept.kind] : reasonCode(week, withoutIt, overflowRisk, site, shift);
  const short = code === 'feeds-production' ? shortWithout(state, scratch) : undefined;
  settleTrial(state, scratch, false);
  return {
    code,
    overflowRisk: millionths(overflowRisk),
    riskUntilDay: problem.days[Math.min(until, days - 1)]!,
    extraM: before.distanceM - after.distanceM,
    extraS: before.durationS - after.durationS,
    withoutIt,
    worthMicros: totalMicros(withoutIt),
    ...(short ?? {}),
    ...(window ? { windowFromAt: window.fromAt, windowUntilAt: window.untilAt } : {}),
  };
}

function reasonCode(
  week: Week,
  withoutIt: Money,
  overflowRisk: number,
  site: number,
  shift: number,
): StopReasonCode {
  const overflow = withoutIt.overflow;
  const fill = withoutIt['left-at-end'];
  const { shortage, habit } = withoutIt;
  const detour = -routeMicros(withoutIt);
  if (shortage > 0 && shortage >= Math.max(overflow, fill, habit)) return 'feeds-production';
  if (overflowRisk >= OVERFLOW_RISK || (overflow > 0 && overflow >= Math.max(fill, habit))) return 'overflow';
  if (habit > 0 && habit >= fill) return 'habit';
  return detour < ON_THE_WAY_SHARE * loneTripMicros(week, site, shift) ? 'on-the-way' : 'fill';
}

export function loneTripMicros(week: Week, site: number, shift: number): number {
  const { legM, legS, places, problem, place, serviceS } = week;
  const { microsPerKm, microsPerHour } = week.shifts[shift]!;
  const out = problem.workshopPlace * places + place[site]!;
  const back = place[site]! * places + problem.workshopPlace;
  const s = legS[out]! + serviceS[site]! + legS[back]! + problem.prices.unloadS;
  return (
    ((legM[out]! + legM[back]!) * microsPerKm) / 1000 +
    (s * microsPerHour) / 3600 +
    problem.prices.unloadMicros
  );
}

/** The grade whose shortage grows most, and the first day on which it is short without the stop. */
function shortWithout(state: WeekState, without: WeekState): { grade: Grade; shortDay: string } | undefined {
  const { week } = state;
  const { problem, stock } = week;
  let worst: { grade: Grade; shortDay: string } | undefined;
  let most = 0;
  for (const grade of stock.drawn) {
    // The store's cost with every other grade for nothing.
    const alone = {
      ...problem,
      buyPriceMicrosPerKg: problem.buyPriceMicrosPerKg.map((price, k) => (k === grade ? price : 0)),
    };
    const withIt = stockCost(alone, stock, state.arrivals, noStockCost(week.days));
    const lacking = stockCost(alone, stock, without.arrivals, noStockCost(week.days));
    const more = lacking.shortage - withIt.shortage;
    if (more <= most) continue;
    most = more;
    const day = withIt.shortageByDay.findIndex((micros, h) => lacking.shortageByDay[h]! > micros);
    worst = { grade: problem.grades[grade]!, shortDay: problem.days[Math.max(0, day)]! };
  }
  return worst;
}

/** `scratch` as in `stopReason`. */
export function leftOutReason(
  state: WeekState,
  scratch: WeekState,
  inserter: Inserter,
  site: number,
): LeftOut {
  const { week } = state;
  const { problem, tables, days } = week;
  const table = tables[site]!;
  const end = table.nodes - 1;
  const shared = {
    siteId: problem.sites[site]!.siteId,
    overflowRisk: millionths(table.risk[end]!),
    expectedKgAtEnd: Math.round(table.massKg[end]! * 1000) / 1000,
  };
  if (week.shifts.length === 0) return { ...shared, code: 'no-shift' };

  let isOpen = false;
  let hasTime = false;
  let best: { day: number; withIt: MoneySum; micros: number } | undefined;
  for (let day = 0; day < days; day++) {
    if (week.spans[site * days + day]!.length === 0 || week.shiftsOfDay[day]!.length === 0) continue;
    isOpen = true;
    const places = inserter.scanDay(state, site, day);
    if (places.plain.some((place) => place.micros < Infinity)) hasTime = true;
    const place = inserter.cheapestPlace(
      state,
      places,
      site,
      table.massKg[day + 1]!,
      table.varianceKg2[day + 1]!,
    );
    if (!place || place.micros === Infinity) continue;
    const withIt = moneyWith(state, scratch, site, place);
    const micros = totalMicros(withIt);
    if (!best || micros < best.micros) best = { day, withIt, micros };
  }
  if (!best) return { ...shared, code: !isOpen ? 'closed' : hasTime ? 'van-full' : 'shift-full' };
  return {
    ...shared,
    code: leftOutCode(best.withIt),
    bestDay: problem.days[best.day]!,
    withIt: best.withIt,
    addsMicros: best.micros,
  };
}

function moneyWith(state: WeekState, scratch: WeekState, site: number, place: Place): MoneySum {
  insertStop(scratch, place.shift, place.at, site, place.unload);
  const withIt = moneyDifference(partMoney(scratch, place.shift, site), partMoney(state, place.shift, site));
  settleTrial(state, scratch, false);
  return withIt;
}

function leftOutCode(withIt: Money): LeftOutCode {
  const detour = routeMicros(withIt);
  const store = withIt['store-overflow'];
  if (store > 0 && store >= detour) return 'store-full';
  const gain = -(totalMicros(withIt) - detour - store);
  return gain >= FAR_SHARE * detour ? 'far' : 'too-empty';
}

function roundSize(state: WeekState, shift: number): { distanceM: number; durationS: number } {
  const { timer, week, orders, counts } = state;
  const cost = timer.lay(week.shifts[shift]!, orders, shift * MAX_STOPS, counts[shift]!);
  if (!cost) return { distanceM: 0, durationS: 0 };
  return { distanceM: timer.table.distanceM, durationS: timer.table.endS - timer.table.startS };
}

const millionths = (p: number): number => Math.round(p * 1e6) / 1e6;
