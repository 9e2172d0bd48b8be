/**
 * The independent checker: from (problem, plan) it recomputes every time, window, load, break, unloading and
 * promise, and all money, from raw data. It shares no code with the search: only the forecast's own functions,
 * special functions and the contracts. It throws nothing; an empty list means that the plan holds.
 *
 * Where a definition is needed in both places (what a week costs), it is written down here a second time on
 * purpose, straight from the README of this folder, without tables.
 */
import {
  accrualBetween,
  expectedOverflowKg,
  fillAt,
  type MassForecast,
  meanKg,
  overflowRisk,
  varianceKg2,
} from '../accumulation/forecast.ts';
import type { SiteModel } from '../accumulation/site-model.ts';
import { gammaCdf, lgamma, normalCdf } from '../quantity/special.ts';
import { legM, legS } from '../routing/travel-table.ts';
import { MONEY_PARTS, type Money, type MoneyPart, type Plan, type PlannedRound } from './plan.ts';
import type { PlanningProblem, PlanningShift, PlanningSite } from './problem.ts';

export type FaultCode =
  | 'shape'
  | 'unknown'
  | 'twice'
  | 'leg'
  | 'time'
  | 'window'
  | 'shift'
  | 'break'
  | 'load'
  | 'promise'
  | 'reason'
  | 'left-out'
  | 'money'
  | 'stock';

/** One thing that does not hold: where, what the plan says and what comes out of the data. */
export type Fault = {
  readonly code: FaultCode;
  readonly where: string;
  readonly says?: number | string;
  readonly is?: number | string;
};

type Visit = {
  readonly site: number;
  readonly day: number;
  readonly shift: number;
  readonly startAt: number;
};
type Faults = Fault[];

const DAY_S = 86_400;
/** Loads in a plan are rounded to a gram, and a trip has few stops. */
const LOAD_TOLERANCE = 0.001;

export function checkPlan(problem: PlanningProblem, plan: Plan): readonly Fault[] {
  const faults: Faults = [];
  try {
    check(problem, plan, faults);
  } catch (error) {
    faults.push({ code: 'shape', where: 'plan', is: error instanceof Error ? error.message : String(error) });
  }
  return faults;
}

function check(problem: PlanningProblem, plan: Plan, faults: Faults): void {
  if (plan.days.join() !== problem.days.join() || plan.firstDay !== problem.days[0])
    faults.push({ code: 'shape', where: 'days', says: plan.days.join(), is: problem.days.join() });
  const siteOf = new Map(problem.sites.map((site, i) => [site.siteId, i]));
  const shiftOf = new Map(problem.shifts.map((shift, s) => [shift.shiftId, s]));
  const visits: Visit[] = [];
  const usedShifts = new Set<string>();
  for (const round of plan.rounds) {
    const s = shiftOf.get(round.shiftId);
    if (s === undefined) {
      faults.push({ code: 'unknown', where: `round ${round.shiftId}` });
      continue;
    }
    if (usedShifts.has(round.shiftId)) faults.push({ code: 'twice', where: `round ${round.shiftId}` });
    usedShifts.add(round.shiftId);
    checkTimes(problem, round, problem.shifts[s]!, s, siteOf, visits, faults);
  }
  const models = problem.sites.map(({ model }): SiteModel => ({ ...model, exposure: { ...model.exposure } }));
  const collected = collect(problem, models, visits, faults);
  for (const round of plan.rounds) checkLoads(problem, round, siteOf, collected, faults);
  checkPromises(problem, plan, visits, faults);
  checkLeftOut(problem, plan, visits, faults);
  checkMoney(problem, plan, models, visits, collected, faults);
  checkReasons(plan, faults);
}

// ---- times -------------------------------------------------------------------------------------------------

function checkTimes(
  problem: PlanningProblem,
  round: PlannedRound,
  shift: PlanningShift,
  s: number,
  siteOf: ReadonlyMap<string, number>,
  visits: Visit[],
  faults: Faults,
): void {
  const where = `round ${round.shiftId}`;
  const day = shift.dayIndex;
  const { prices, breakRule, travel, workshopPlace } = problem;
  const wrong = (code: FaultCode, what: string, says: number | string, is: number | string): void => {
    faults.push({ code, where: `${where}: ${what}`, says, is });
  };
  if (round.day !== problem.days[day]) wrong('shape', 'day', round.day, problem.days[day]!);
  if (round.vanId !== shift.vanId) wrong('shape', 'van', round.vanId, shift.vanId);
  if (round.driverId !== shift.driverId) wrong('shape', 'driver', round.driverId, shift.driverId);
  if (round.shiftEndAt !== shift.endAt) wrong('shape', 'shift end', round.shiftEndAt, shift.endAt);
  if (round.payloadKg !== shift.payloadKg) wrong('shape', 'payload', round.payloadKg, shift.payloadKg);
  if (round.loadSpaceL !== shift.loadSpaceL) wrong('shape', 'load space', round.loadSpaceL, shift.loadSpaceL);
  const firstAt = Math.max(shift.startAt, problem.nowAt);
  if (round.startAt < firstAt) wrong('shift', 'leaves too early', round.startAt, firstAt);

  let t = round.startAt;
  let place = workshopPlace;
  let metres = 0;
  let seconds = 0;
  let restedAt = round.startAt;
  round.stops.forEach((stop, k) => {
    const what = `stop ${k}`;
    if (
      !Number.isInteger(stop.arriveAt) ||
      !Number.isInteger(stop.startAt) ||
      !Number.isInteger(stop.departAt)
    )
      wrong('time', `${what} whole seconds`, stop.startAt, Math.round(stop.startAt));
    if (stop.kind === 'break') {
      if (stop.legM !== 0 || stop.legS !== 0) wrong('leg', what, stop.legM, 0);
      if (stop.arriveAt !== t || stop.startAt !== t) wrong('time', `${what} break starts`, stop.startAt, t);
      if (stop.departAt - stop.startAt !== breakRule.breakS)
        wrong('break', `${what} length`, stop.departAt - stop.startAt, breakRule.breakS);
      if (stop.startAt - restedAt > breakRule.maxWorkS)
        wrong('break', `${what} work before`, stop.startAt - restedAt, breakRule.maxWorkS);
      restedAt = stop.departAt;
      t = stop.departAt;
      return;
    }
    const site = stop.kind === 'site' ? siteOf.get(stop.siteId ?? '') : undefined;
    if (stop.kind === 'site' && site === undefined) {
      faults.push({ code: 'unknown', where: `${where}: ${what} ${stop.siteId}` });
      return;
    }
    const to = site === undefined ? workshopPlace : problem.sites[site]!.place;
    const m = legM(travel, place, to);
    const drive = legS(travel, place, to);
    if (stop.legM !== m) wrong('leg', `${what} metres`, stop.legM, m);
    if (stop.legS !== drive) wrong('leg', `${what} seconds`, stop.legS, drive);
    if (stop.arriveAt !== t + drive) wrong('time', `${what} arrives`, stop.arriveAt, t + drive);
    if (stop.startAt < stop.arriveAt)
      wrong('time', `${what} starts before it arrives`, stop.startAt, stop.arriveAt);
    const workS = site === undefined ? prices.unloadS : problem.sites[site]!.serviceS;
    if (stop.departAt !== stop.startAt + workS)
      wrong('time', `${what} departs`, stop.departAt, stop.startAt + workS);
    const windows = site === undefined ? problem.unloadByDay[day]! : problem.sites[site]!.openByDay[day]!;
    if (!windows.some((w) => w.fromAt <= stop.startAt && stop.startAt < w.untilAt))
      wrong('window', `${what} ${stop.siteId ?? 'unload'}`, stop.startAt, JSON.stringify(windows));
    if (site !== undefined) {
      if (problem.sites[site]!.barredDays.includes(day)) wrong('window', `${what} barred`, stop.siteId!, day);
      if (visits.some((visit) => visit.site === site && visit.day === day))
        wrong('twice', what, stop.siteId!, round.day);
      visits.push({ site, day, shift: s, startAt: stop.startAt });
    }
    metres += m;
    seconds += drive;
    place = to;
    t = stop.departAt;
  });
  const kinds = round.stops.filter((stop) => stop.kind !== 'break').map((stop) => stop.kind);
  kinds.forEach((kind, k) => {
    if (kind === 'unload' && (k === 0 || kinds[k - 1] === 'unload')) wrong('load', 'unloads nothing', k, 0);
  });
  if (kinds.at(-1) !== 'unload')
    wrong('load', 'does not end with an unloading', kinds.at(-1) ?? 'nothing', 'unload');
  if (round.endAt !== t) wrong('time', 'ends', round.endAt, t);
  if (t > shift.endAt + prices.maxOvertimeS)
    wrong('shift', 'ends too late', t, shift.endAt + prices.maxOvertimeS);
  if (t - restedAt > breakRule.maxWorkS)
    wrong('break', 'work after the last break', t - restedAt, breakRule.maxWorkS);
  if (round.distanceM !== metres) wrong('leg', 'distance', round.distanceM, metres);
  if (round.driveS !== seconds) wrong('leg', 'driving', round.driveS, seconds);
}

// ---- masses and loads --------------------------------------------------------------------------------------

type Collected = Visit & { readonly kg: number; readonly kg2: number };

/** Multiples of 2^-20: the unit in which the model counts masses. */
const dyadic = (value: number): number => Math.round(value * 1048576) / 1048576;

function midday(problem: PlanningProblem, day: number): number {
  return Math.max(problem.nowAt, Math.round((problem.dayStartsAt[day]! + problem.dayStartsAt[day + 1]!) / 2));
}

const endOf = (problem: PlanningProblem): number =>
  Math.max(problem.nowAt, problem.dayStartsAt[problem.days.length]!);

/** Mass at `at`, last emptied on `lastDay` (-1: not since now). */
function massAt(problem: PlanningProblem, model: SiteModel, lastDay: number, at: number): MassForecast {
  return lastDay < 0 ? fillAt(model, at) : accrualBetween(model, midday(problem, lastDay), at);
}

/** Each visit's mass and variance, site by site in order of days, so that nothing is collected twice. */
function collect(
  problem: PlanningProblem,
  models: readonly SiteModel[],
  visits: readonly Visit[],
  faults: Faults,
): Collected[] {
  const all: Collected[] = [];
  problem.sites.forEach((site, i) => {
    const model = models[i]!;
    fillAt(model, endOf(problem));
    let lastDay = -1;
    for (const visit of visitsOf(visits, i)) {
      const f = massAt(problem, model, lastDay, midday(problem, visit.day));
      const heldKg = takenKg(problem, site);
      const kg = Math.max(0, meanKg(f) - expectedOverflowKg(f, heldKg));
      const kg2 = Math.max(0, Math.min(varianceKg2(f), kg * (heldKg - kg)));
      if (!Number.isFinite(kg) || !Number.isFinite(kg2))
        faults.push({ code: 'load', where: `site ${site.siteId} on day ${visit.day}`, is: kg });
      all.push({ ...visit, kg: dyadic(kg), kg2: dyadic(kg2) });
      lastDay = visit.day;
    }
  });
  return all;
}

/** What a visit takes at most. */
const takenKg = (problem: PlanningProblem, site: PlanningSite): number =>
  mayFillVan(problem, site) ? vanKg(problem, site) : brimKg(site);
const brimKg = (site: PlanningSite): number => site.model.capacityKg + (site.besideKg ?? 0);
const vanKg = ({ shifts }: PlanningProblem, { model }: PlanningSite): number =>
  Math.max(...shifts.map((shift) => Math.min(shift.payloadKg, shift.loadSpaceL / model.litresPerKg)));
/** A site that can hold more than any van may fill one, alone on a trip; the rest stays. Not where all is promised. */
const mayFillVan = (problem: PlanningProblem, site: PlanningSite): boolean =>
  site.promises.length === 0 && brimKg(site) > vanKg(problem, site);

const visitsOf = (visits: readonly Visit[], site: number): Visit[] =>
  visits.filter((visit) => visit.site === site).sort((a, b) => a.day - b.day);

function zOf(p: number): number {
  let low = -9;
  let high = 9;
  while (high - low > 1e-13) {
    const z = (low + high) / 2;
    if (normalCdf(z) < p) low = z;
    else high = z;
  }
  return low;
}

function checkLoads(
  problem: PlanningProblem,
  round: PlannedRound,
  siteOf: ReadonlyMap<string, number>,
  collected: readonly Collected[],
  faults: Faults,
): void {
  const z = zOf(problem.loadQuantile);
  const day = problem.days.indexOf(round.day);
  const most = { loadKg: 0, loadL: 0, cautiousLoadKg: 0, cautiousLoadL: 0 };
  let lastSite: PlanningSite | undefined;
  let trip: { stops: number; kg: number; kg2: number; litres: number; litres2: number } = {
    stops: 0,
    kg: 0,
    kg2: 0,
    litres: 0,
    litres2: 0,
  };
  const wrong = (what: string, says: number, is: number): void => {
    faults.push({ code: 'load', where: `round ${round.shiftId}: ${what}`, says, is });
  };
  for (const stop of round.stops) {
    if (stop.kind === 'break') continue;
    if (stop.kind === 'site') {
      const site = siteOf.get(stop.siteId ?? '');
      const visit = collected.find((c) => c.site === site && c.day === day);
      if (!visit) continue;
      const litresPerKg = problem.sites[visit.site]!.model.litresPerKg;
      if (Math.abs(stop.expectedKg - visit.kg) > LOAD_TOLERANCE)
        wrong(`${stop.siteId} kg`, stop.expectedKg, visit.kg);
      if (Math.abs(stop.expectedL - visit.kg * litresPerKg) > LOAD_TOLERANCE)
        wrong(`${stop.siteId} litres`, stop.expectedL, visit.kg * litresPerKg);
      if (!(stop.lowKg >= 0 && stop.lowKg <= stop.highKg))
        wrong(`${stop.siteId} interval`, stop.lowKg, stop.highKg);
      lastSite = problem.sites[visit.site]!;
      trip = {
        stops: trip.stops + 1,
        kg: trip.kg + visit.kg,
        kg2: trip.kg2 + visit.kg2,
        litres: trip.litres + visit.kg * litresPerKg,
        litres2: trip.litres2 + visit.kg2 * litresPerKg ** 2,
      };
      continue;
    }
    const cautiousKg = trip.kg + z * Math.sqrt(trip.kg2 + (problem.prices.commonSd * trip.kg) ** 2);
    const cautiousL =
      trip.litres + z * Math.sqrt(trip.litres2 + (problem.prices.commonSd * trip.litres) ** 2);
    const [heldKg, heldL] =
      trip.stops === 1 && mayFillVan(problem, lastSite!) ? [trip.kg, trip.litres] : [cautiousKg, cautiousL];
    if (heldKg > round.payloadKg + LOAD_TOLERANCE) wrong('payload', heldKg, round.payloadKg);
    if (heldL > round.loadSpaceL + LOAD_TOLERANCE) wrong('load space', heldL, round.loadSpaceL);
    most.loadKg = Math.max(most.loadKg, trip.kg);
    most.loadL = Math.max(most.loadL, trip.litres);
    most.cautiousLoadKg = Math.max(most.cautiousLoadKg, cautiousKg);
    most.cautiousLoadL = Math.max(most.cautiousLoadL, cautiousL);
    trip = { stops: 0, kg: 0, kg2: 0, litres: 0, litres2: 0 };
  }
  for (const what of ['loadKg', 'loadL', 'cautiousLoadKg', 'cautiousLoadL'] as const)
    if (Math.abs(round[what] - most[what]) > LOAD_TOLERANCE) wrong(what, round[what], most[what]);
  if (!(round.fullEarlyRisk >= 0 && round.fullEarlyRisk <= 1)) wrong('fullEarlyRisk', round.fullEarlyRisk, 0);
  const here = new Set(round.stops.map((stop) => stop.siteId));
  for (const siteId of round.skipFirst) if (!here.has(siteId)) wrong(`skipFirst ${siteId}`, 0, 1);
}

// ---- promises, left out ------------------------------------------------------------------------------------

/** Promises whose last chance lies in this horizon, and whether a visit starts inside one of their windows. */
function duePromises(
  problem: PlanningProblem,
  visits: readonly Visit[],
): { site: PlanningSite; kind: string; lastUntilAt: number; firstFromAt: number; isKept: boolean }[] {
  const horizonEnd = problem.dayStartsAt[problem.days.length]!;
  return problem.sites.flatMap((site, i) =>
    site.promises
      .filter((promise) => !promise.windows.some((w) => w.untilAt > horizonEnd))
      .map(({ kind, windows }) => ({
        site,
        kind,
        firstFromAt: windows[0]?.fromAt ?? problem.nowAt,
        lastUntilAt: Math.max(Number.NEGATIVE_INFINITY, ...windows.map((w) => w.untilAt)),
        isKept: visits.some(
          (visit) =>
            visit.site === i && windows.some((w) => w.fromAt <= visit.startAt && visit.startAt < w.untilAt),
        ),
      })),
  );
}

function checkPromises(problem: PlanningProblem, plan: Plan, visits: readonly Visit[], faults: Faults): void {
  const named = plan.unkept.map((u) => `${u.siteId} ${u.kind} from ${u.windowFromAt}`);
  for (const { site, kind, firstFromAt, isKept } of duePromises(problem, visits)) {
    const what = `${site.siteId} ${kind} from ${firstFromAt}`;
    const at = named.indexOf(what);
    if (at >= 0) named.splice(at, 1);
    if (isKept === at >= 0)
      faults.push({
        code: 'promise',
        where: what,
        says: at >= 0 ? 'unkept' : 'kept',
        is: isKept ? 'kept' : 'unkept',
      });
  }
  for (const what of named) faults.push({ code: 'promise', where: what, says: 'unkept', is: 'not promised' });
}

function checkLeftOut(problem: PlanningProblem, plan: Plan, visits: readonly Visit[], faults: Faults): void {
  const named = new Set(plan.leftOut.map((left) => left.siteId));
  problem.sites.forEach((site, i) => {
    const isVisited = visits.some((visit) => visit.site === i);
    if (isVisited === named.has(site.siteId))
      faults.push({
        code: 'left-out',
        where: site.siteId,
        says: String(named.has(site.siteId)),
        is: String(!isVisited),
      });
  });
  for (const left of plan.leftOut)
    if (left.withIt && sumOf(left.withIt) !== left.addsMicros)
      faults.push({
        code: 'left-out',
        where: left.siteId,
        says: left.addsMicros ?? 0,
        is: sumOf(left.withIt),
      });
}

function checkReasons(plan: Plan, faults: Faults): void {
  for (const round of plan.rounds)
    for (const stop of round.stops) {
      if (stop.kind !== 'site') continue;
      const reason = stop.reason;
      if (!reason) faults.push({ code: 'reason', where: `${stop.siteId} on ${round.day}`, is: 'missing' });
      else if (sumOf(reason.withoutIt) !== reason.worthMicros)
        faults.push({
          code: 'reason',
          where: `${stop.siteId} on ${round.day}`,
          says: reason.worthMicros,
          is: sumOf(reason.withoutIt),
        });
    }
}

// ---- money -------------------------------------------------------------------------------------------------

const sumOf = (money: Money): number => MONEY_PARTS.reduce((sum, part) => sum + money[part], 0);
const nothing = (): Record<MoneyPart, number> =>
  Object.fromEntries(MONEY_PARTS.map((part) => [part, 0])) as Record<MoneyPart, number>;

function checkMoney(
  problem: PlanningProblem,
  plan: Plan,
  models: readonly SiteModel[],
  visits: readonly Visit[],
  collected: readonly Collected[],
  faults: Faults,
): void {
  const byDay = problem.days.map(nothing);
  const lastDay = byDay.length - 1;
  for (const round of plan.rounds) {
    const is = roundMoney(problem, round);
    compareMoney(round.money, is, `round ${round.shiftId}`, faults);
    const day = problem.days.indexOf(round.day);
    for (const part of MONEY_PARTS) byDay[day]![part] += is[part];
  }
  const visitMicros = visitPrices(problem);
  const kiloMicros = kiloPrices(problem);
  problem.sites.forEach((_, i) => {
    const mine = visitsOf(visits, i);
    siteOverflow(problem, models[i]!, i, mine, visitMicros[i]!, kiloMicros[i]!, byDay);
  });
  addHabitsAndChanges(problem, visits, byDay);
  for (const { isKept, lastUntilAt } of duePromises(problem, visits)) {
    if (isKept) continue;
    const after = problem.days.findIndex((_, d) => lastUntilAt <= problem.dayStartsAt[d + 1]!);
    byDay[after < 0 ? lastDay : after]!.lateness += problem.prices.brokenPromiseMicros;
  }
  addStock(problem, collected, byDay);

  const total = nothing();
  byDay.forEach((money, day) => {
    const said = plan.moneyByDay[day];
    if (!said) faults.push({ code: 'money', where: `day ${day}`, is: 'missing' });
    else compareMoney(said, money, `day ${day}`, faults);
    for (const part of MONEY_PARTS) total[part] += money[part];
  });
  compareMoney(plan.money, total, 'plan', faults);
  if (plan.costMicros !== sumOf(total))
    faults.push({ code: 'money', where: 'cost', says: plan.costMicros, is: sumOf(total) });
}

function compareMoney(said: Money, is: Money, where: string, faults: Faults): void {
  for (const part of MONEY_PARTS)
    if (said[part] !== is[part])
      faults.push({ code: 'money', where: `${where}: ${part}`, says: said[part], is: is[part] });
}

function roundMoney(problem: PlanningProblem, round: PlannedRound): Record<MoneyPart, number> {
  const shift = problem.shifts.find((s) => s.shiftId === round.shiftId)!;
  const metres = round.stops.reduce((sum, stop) => sum + stop.legM, 0);
  const money = nothing();
  money.distance = Math.round((metres * shift.costMicrosPerKm) / 1000);
  money.time = Math.round(((round.endAt - round.startAt) * shift.costMicrosPerHour) / 3600);
  money.overtime = Math.round(
    (Math.max(0, round.endAt - Math.floor(shift.endAt)) * problem.prices.overtimeMicrosPerHour) / 3600,
  );
  money.unloading = round.stops.filter((stop) => stop.kind === 'unload').length * problem.prices.unloadMicros;
  return money;
}

/** Overflow day by day between visits, and the relative value of the fill at the end. */
function siteOverflow(
  problem: PlanningProblem,
  model: SiteModel,
  index: number,
  visits: readonly Visit[],
  visitMicros: number,
  kiloMicros: number,
  byDay: Record<MoneyPart, number>[],
): void {
  const { prices } = problem;
  const { model: checked, besideKg = 0, calls } = problem.sites[index]!;
  const capacityKg = checked.capacityKg;
  const heldKg = capacityKg + besideKg;
  const days = problem.days.length;
  const hasCalled = checked.atLeast !== undefined && checked.atLeast.at >= checked.emptiedAt;
  /** Risk, excess and the price of calls of a forecast, for a site last emptied on `since` (-1: before now). */
  const danger = (f: MassForecast, since: number): Danger => {
    const isAwaited = calls !== undefined && (since >= 0 || !hasCalled);
    const left = isAwaited ? 1 - calls.reliability : 1;
    return {
      risk: left * overflowRisk(f, capacityKg),
      excessKg: left * expectedOverflowKg(f, heldKg),
      called:
        isAwaited && calls.reliability * calls.premiumMicros > 0
          ? calls.reliability * calls.premiumMicros * overflowRisk(f, calls.fromShare * capacityKg)
          : 0,
    };
  };
  let lastDay = -1;
  let riskDays = 0;
  let before = 0;
  for (let day = 0; day < days; day++) {
    const now = danger(massAt(problem, model, lastDay, midday(problem, day)), lastDay);
    riskDays += now.risk;
    const cost = Math.round(overflowPrice(prices, now.risk, riskDays, now.excessKg, now.called));
    byDay[day]!.overflow += cost - before;
    before = cost;
    if (!visits.some((visit) => visit.day === day)) continue;
    lastDay = day;
    riskDays = 0;
    before = 0;
  }
  const endAt = endOf(problem);
  const atEnd = massAt(problem, model, lastDay, endAt);
  const end = danger(atEnd, lastDay);
  byDay[days - 1]!.overflow +=
    Math.round(overflowPrice(prices, end.risk, riskDays, end.excessKg, end.called)) - before;

  // g: the best long-run cost per day. Cycles of one day to six weeks.
  let perDay = Number.POSITIVE_INFINITY;
  let cycleRiskDays = 0;
  for (let cycle = 1; cycle <= 42; cycle++) {
    const c = danger(accrualBetween(model, endAt, endAt + cycle * DAY_S), 0);
    cycleRiskDays += c.risk;
    const cost = visitMicros + overflowPrice(prices, c.risk, cycleRiskDays, c.excessKg, c.called);
    perDay = Math.min(perDay, cost / cycle);
    if (prices.overflowMicrosPerDay > 0 && prices.overflowMicrosPerDay * c.risk >= perDay) break;
  }
  // W - O: wait as long as it pays.
  let value = visitMicros;
  let waitRiskDays = 0;
  let { risk } = end;
  for (let wait = 1; wait <= 42; wait++) {
    if (prices.overflowMicrosPerDay > 0 && prices.overflowMicrosPerDay * risk >= perDay) break;
    const w = danger(massAt(problem, model, lastDay, endAt + wait * DAY_S), lastDay);
    risk = w.risk;
    waitRiskDays += risk;
    const more = overflowPrice(
      prices,
      risk - end.risk,
      waitRiskDays,
      w.excessKg - end.excessKg,
      w.called - end.called,
    );
    value = Math.min(value, visitMicros + more - perDay * wait);
  }
  const kg = Math.max(0, meanKg(atEnd) - expectedOverflowKg(atEnd, takenKg(problem, problem.sites[index]!)));
  byDay[days - 1]!['left-at-end'] += Math.round(value + kiloMicros * kg);
}

type Danger = { readonly risk: number; readonly excessKg: number; readonly called: number };

const overflowPrice = (
  prices: PlanningProblem['prices'],
  risk: number,
  riskDays: number,
  excessKg: number,
  calledMicros: number,
): number =>
  prices.overflowMicros * risk +
  prices.overflowMicrosPerDay * riskDays +
  prices.overflowMicrosPerKg * excessKg +
  calledMicros;

/** Service, half the legs to the first and third neighbour, 15 % of the leg from the workshop; mean prices. */
function visitPrices(problem: PlanningProblem): number[] {
  const { shifts, sites, workshopPlace } = problem;
  if (shifts.length === 0) return sites.map(() => 0);
  const { perHour, price } = legPrices(problem);
  return sites.map((site, i) => {
    const service = (site.serviceS * perHour) / 3600;
    const out = price(workshopPlace, site.place);
    const neighbours = sites
      .filter((_, j) => j !== i)
      .map((other) => price(site.place, other.place))
      .sort((a, b) => a - b);
    if (neighbours.length === 0) return service + out + price(site.place, workshopPlace);
    const third = neighbours[Math.min(2, neighbours.length - 1)]!;
    return service + 0.5 * (neighbours[0]! + third) + 0.15 * out;
  });
}

/** A kilogram's part of a full van's way there, back and unloading; nothing for a site alone in town. */
function kiloPrices(problem: PlanningProblem): number[] {
  const { shifts, sites, workshopPlace, prices } = problem;
  if (shifts.length === 0 || sites.length < 2) return sites.map(() => 0);
  const { perHour, price } = legPrices(problem);
  return sites.map((site) => {
    const unload = prices.unloadMicros + (prices.unloadS * perHour) / 3600;
    const load = price(workshopPlace, site.place) + price(site.place, workshopPlace) + unload;
    const kg = vanKg(problem, site);
    return kg > 0 ? load / kg : 0;
  });
}

function legPrices({ shifts, travel }: PlanningProblem) {
  const perKm = shifts.reduce((sum, shift) => sum + shift.costMicrosPerKm / shifts.length, 0);
  const perHour = shifts.reduce((sum, shift) => sum + shift.costMicrosPerHour / shifts.length, 0);
  const price = (from: number, to: number): number =>
    (legM(travel, from, to) * perKm) / 1000 + (legS(travel, from, to) * perHour) / 3600;
  return { perHour, price };
}

function addHabitsAndChanges(
  problem: PlanningProblem,
  visits: readonly Visit[],
  byDay: Record<MoneyPart, number>[],
): void {
  const { prices, published } = problem;
  problem.sites.forEach((site, i) => {
    for (const day of new Set(site.usualDays))
      if (!visits.some((visit) => visit.site === i && visit.day === day))
        byDay[day]!.habit += prices.brokenHabitMicros;
  });
  const known = published.filter(
    (p) =>
      p.dayIndex >= 0 && p.dayIndex < byDay.length && problem.sites.some((site) => site.siteId === p.siteId),
  );
  const lastDay = known.reduce((last, p) => Math.max(last, p.dayIndex), -1);
  for (let day = 0; day <= lastDay; day++) {
    const micros = Math.round(prices.changeMicros / (1 + day));
    problem.sites.forEach((site, i) => {
      const was = known.filter((p) => p.siteId === site.siteId && p.dayIndex === day).at(-1)?.shiftId;
      const visit = visits.find((v) => v.site === i && v.day === day);
      const is = visit && problem.shifts[visit.shift]!.shiftId;
      if (was !== is) byDay[day]!.change += micros;
    });
  }
}

/** Shortage, store overflow and stock at the end, grade by grade, from gamma distributions with two moments. */
function addStock(
  problem: PlanningProblem,
  collected: readonly Collected[],
  byDay: Record<MoneyPart, number>[],
): void {
  const { prices, grades, sites } = problem;
  const days = byDay.length;
  const usable = 1 - prices.contaminationShare;
  const boughtByDay = problem.days.map(() => 0);
  grades.forEach((grade, k) => {
    const drawn = problem.drawKg.reduce((sum, row) => sum + row[k]!, 0);
    if (!problem.drawKg.some((row) => row[k]! > 0)) return;
    const price = problem.buyPriceMicrosPerKg[k]!;
    let mean = 0;
    let variance = 0;
    let drawnSoFar = 0;
    let bought = 0;
    for (let day = 0; day < days; day++) {
      for (const visit of collected) {
        if (visit.day !== day) continue;
        const { gradeShares, gradeConcentration } = sites[visit.site]!.model;
        const q = gradeShares[grade] ?? 0;
        if (q === 0) continue;
        const u = (q * (1 - q)) / (gradeConcentration + 1);
        mean += dyadic(usable * visit.kg * q);
        variance += dyadic(usable * usable * (visit.kg2 * (q * q + u) + visit.kg * visit.kg * u));
      }
      drawnSoFar += problem.drawKg[day]![k]!;
      const short = lacking(drawnSoFar - problem.stockKg[k]!, mean, spreadOf(problem, mean, variance));
      if (short > bought) {
        byDay[day]!.shortage += Math.round(price * short) - Math.round(price * bought);
        bought = short;
      }
      boughtByDay[day]! += bought;
    }
    const need = drawnSoFar - problem.stockKg[k]! - bought;
    const cap = (prices.endCoverDays * drawn) / days;
    const spread = spreadOf(problem, mean, variance);
    const above = mean - need + lacking(need, mean, spread);
    const beyond = mean - need - cap + lacking(need + cap, mean, spread);
    byDay[days - 1]!['left-at-end'] -= Math.round(prices.endValueShare * price * (above - beyond));
  });

  const stockKg = problem.stockKg.reduce<number>((sum, kg) => sum + kg, 0);
  let mean = 0;
  let variance = 0;
  let drawn = 0;
  for (let day = 0; day < days; day++) {
    for (const visit of collected) {
      if (visit.day !== day) continue;
      mean += dyadic(usable * visit.kg);
      variance += dyadic(usable * usable * visit.kg2);
    }
    for (const kg of problem.drawKg[day]!) drawn += kg;
    const room = problem.storeLimitKg + (drawn - stockKg) - boughtByDay[day]!;
    const excess = Math.max(0, mean - room + lacking(room, mean, spreadOf(problem, mean, variance)));
    byDay[day]!['store-overflow'] += Math.round(prices.storeOverflowMicrosPerKgDay * excess);
  }
}

const spreadOf = (problem: PlanningProblem, mean: number, variance: number): number =>
  variance + problem.prices.commonSd * problem.prices.commonSd * mean * mean;

/** E(need - X)+ for X gamma with this mean and variance. */
function lacking(need: number, mean: number, variance: number): number {
  if (need <= 0) return 0;
  if (mean <= 0) return need;
  if (variance * 1e8 < mean * mean) return Math.max(0, need - mean);
  const shape = (mean * mean) / variance;
  const x = (need * mean) / variance;
  const p = gammaCdf(x, shape, 1);
  const next = Math.max(0, p - Math.exp(shape * Math.log(x) - x - lgamma(shape + 1)));
  return Math.max(0, need - mean, need * p - mean * next);
}
