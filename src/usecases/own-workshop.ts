/** What the register and the history say of the workshop's size, as simulated years want it. */
import { meanRateKg } from '../core/accumulation/rate.ts';
import { addDays, localOf } from '../core/calendar/zone.ts';
import { drawByDay } from '../core/feedstock/need.ts';
import { greatCircleM } from '../core/quantity/geodesy.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, LocalDay, Metres } from '../core/quantity/units.ts';
import { legM, legS } from '../core/routing/travel-table.ts';
import type { OwnWorkshop } from '../core/simulation/own-workshop.ts';
import { USUAL_PLANNER } from '../core/simulation/planner-policy.ts';
import { POLICY_NAMES } from '../core/simulation/policies.ts';
import type { YearsWanted } from '../core/simulation/run-years.ts';
import { USUAL_WORLD } from '../core/simulation/world.ts';
import type { Db } from '../store/db.ts';
import { listDrivers } from '../store/drivers.ts';
import { listProductionBetween } from '../store/production.ts';
import { listProducts } from '../store/products.ts';
import { listShiftsBetween, type Shift } from '../store/shifts.ts';
import { listSites, type Site } from '../store/sites.ts';
import { listVans } from '../store/vans.ts';
import { listGrades, requireWorkshop, type Workshop } from '../store/workshop.ts';
import type { WorthSize } from '../store/worth-runs.ts';
import { learnFills } from './learn-fills.ts';
import { travelTableFor } from './travel-table.ts';

/** Shifts and runs are looked at four weeks back and four ahead: a size is no matter of one week. */
const SPAN_DAYS = 28;
/** A weekday counts when it has at least this share of the shifts of the busiest one. */
const DAY_COUNTS = 0.3;
/** The drawn sites are open from 7 to 19: the drawn shift starts at 8 and ends in time. */
const SHIFT_FROM = 8;
const LONGEST_SHIFT_H = 11;
const MOST_PRODUCTION_SHARE = 2;
const FEWEST_SITES = 3;

export type SizeRefusal = { readonly kind: 'no-sites' | 'no-shifts' };

export type WorthWanted = YearsWanted & { readonly size: WorthSize };

/** The workshop as it is now, for so many drawn worlds. Worlds are the same in every run: seeds from 1. */
export function worthWanted(
  db: Db,
  nowAt: Instant,
  { worlds, weeks }: { readonly worlds: number; readonly weeks: number },
): Result<WorthWanted, SizeRefusal> {
  const workshop = requireWorkshop(db);
  const today = localOf(workshop.zone, nowAt).day;
  const sites = listSites(db).filter((site) => isActiveOn(site, today));
  if (sites.length < FEWEST_SITES) return refuse({ kind: 'no-sites' });
  const from = addDays(today, -SPAN_DAYS);
  const until = addDays(today, SPAN_DAYS - 1);
  const shifts = listShiftsBetween(db, from, until);
  if (shifts.length === 0) return refuse({ kind: 'no-shifts' });

  const { shiftDays, shiftsPerWeek, vansPerDay } = rhythmOf(shifts);
  const models = learnFills(db);
  const kgPerWeek = sites.reduce((sum, site) => sum + meanRateKg(models.get(site.id)!.rate), 0);
  const needKgPerWeek = weeklyNeedKg(db, from, until);
  const { settings } = workshop;
  const { calls } = settings;
  const meanOutM = sites.reduce((sum, site) => sum + greatCircleM(workshop, site), 0) / sites.length;
  // Each van has its part of the town.
  const donors = Math.max(FEWEST_SITES, Math.round(sites.length / vansPerDay));
  const usableKg = kgPerWeek * (1 - settings.prices.contaminationShare);
  const own: OwnWorkshop = {
    van: meanVan(db, shifts),
    shiftHours: { from: SHIFT_FROM, until: SHIFT_FROM + Math.min(LONGEST_SHIFT_H, meanHours(shifts)) },
    shiftDays,
    breakRule: settings.breakRule,
    meanServiceS: sites.reduce((sum, site) => sum + site.serviceS, 0) / sites.length,
    kgPerSiteWeek: kgPerWeek / sites.length,
    litresPerKg: 1000 / workshop.filmKgPerM3,
    productionShare: usableKg > 0 ? Math.min(MOST_PRODUCTION_SHARE, needKgPerWeek / usableKg) : 0,
    storeLimitKg: (workshop.storeLimitKg * donors) / sites.length,
    ...buyPrices(db),
    ...legsOf(db, workshop, sites, meanOutM),
    donorsCall: calls.reliability > 0,
  };
  const { calls: usualCalls, missedCallShare, ...usual } = USUAL_PLANNER;
  return ok({
    seeds: Array.from({ length: worlds }, (_, i) => i + 1),
    policies: POLICY_NAMES,
    world: {
      ...USUAL_WORLD,
      donors,
      weeks,
      prices: settings.prices,
      loadSpaceL: own.van.loadSpaceL,
      // A uniform disc has its sites two thirds of its radius out, on average.
      radiusM: 1.5 * meanOutM,
      own,
    },
    planner: {
      ...usual,
      horizonDays: settings.horizonDays,
      loadQuantile: settings.loadQuantile,
      // In a drawn town all donors call; a few months of that, and their silence counts in real plans as well.
      ...(calls.reliability > 0 && usualCalls
        ? { calls: { ...calls, reliability: usualCalls.reliability }, missedCallShare }
        : {}),
    },
    size: { sites: sites.length, vansPerDay, shiftsPerWeek, kgPerWeek, needKgPerWeek },
  });
}

const isActiveOn = (site: Site, day: LocalDay): boolean =>
  (site.activeFromDay === null || site.activeFromDay <= day) &&
  (site.activeUntilDay === null || site.activeUntilDay >= day);

/** On which weekdays vans are on the road, how many shifts a week that makes, and how many vans on such a day. */
function rhythmOf(shifts: readonly Shift[]) {
  const days = [...new Set(shifts.map((shift) => shift.day))].sort();
  const weeks = Math.max(1, (Temporal.PlainDate.from(days[0]!).until(days.at(-1)!).days + 1) / 7);
  const byWeekday = new Array<number>(7).fill(0);
  for (const { day } of shifts) byWeekday[Temporal.PlainDate.from(day).dayOfWeek - 1]!++;
  const busiest = Math.max(...byWeekday);
  const shiftDays = byWeekday.map((count) => count >= DAY_COUNTS * busiest);
  return {
    shiftDays,
    shiftsPerWeek: shifts.length / weeks,
    vansPerDay: shifts.length / days.length,
  };
}

const meanHours = (shifts: readonly Shift[]): number =>
  shifts.reduce((sum, shift) => sum + (shift.endsMinute - shift.startsMinute) / 60, 0) / shifts.length;

/** The mean over the shifts: a van that drives twice as often counts twice. */
function meanVan(db: Db, shifts: readonly Shift[]): OwnWorkshop['van'] {
  const vans = new Map(listVans(db).map((van) => [van.id, van]));
  const drivers = new Map(listDrivers(db).map((driver) => [driver.id, driver]));
  const mean = (of: (shift: Shift) => number): number =>
    shifts.reduce((sum, shift) => sum + of(shift), 0) / shifts.length;
  return {
    payloadKg: mean(({ vanId }) => vans.get(vanId)!.payloadKg),
    loadSpaceL: mean(({ vanId }) => vans.get(vanId)!.loadSpaceL),
    costMicrosPerKm: Math.round(mean(({ vanId }) => vans.get(vanId)!.costMicrosPerKm)),
    costMicrosPerHour: Math.round(mean(({ driverId }) => drivers.get(driverId)!.costMicrosPerHour)),
  };
}

/** Over the weeks that have any production in the span. */
function weeklyNeedKg(db: Db, from: LocalDay, until: LocalDay): number {
  const runs = listProductionBetween(db, from, until).filter((run) => run.units > 0);
  if (runs.length === 0) return 0;
  const days = [...new Set(runs.map((run) => run.day))].sort();
  const grades = listGrades(db).map((row) => row.grade);
  const drawnKg = drawByDay(days, grades, listProducts(db), runs)
    .flat()
    .reduce((sum, kg) => sum + kg, 0);
  const weeks = Math.max(1, (Temporal.PlainDate.from(days[0]!).until(days.at(-1)!).days + 1) / 7);
  return drawnKg / weeks;
}

function buyPrices(db: Db): Pick<OwnWorkshop, 'buyPriceMicrosPerKg' | 'usualBuyPriceMicrosPerKg'> {
  const rows = listGrades(db);
  const sum = rows.reduce((total, row) => total + row.buyPriceMicrosPerKg, 0);
  return {
    buyPriceMicrosPerKg: Object.fromEntries(rows.map((row) => [row.grade, row.buyPriceMicrosPerKg])),
    usualBuyPriceMicrosPerKg: rows.length > 0 ? Math.round(sum / rows.length) : 0,
  };
}

/** How much longer the legs are than straight lines, and how fast they are driven, from the legs that plans use. */
function legsOf(db: Db, workshop: Workshop, sites: readonly Site[], meanOutM: Metres) {
  const table = travelTableFor(db, workshop, [workshop, ...sites]);
  const legs = sites.map((_, i) => ({ m: legM(table, 0, i + 1), s: legS(table, 0, i + 1) }));
  const metres = legs.reduce((sum, leg) => sum + leg.m, 0);
  const seconds = legs.reduce((sum, leg) => sum + leg.s, 0);
  return {
    detourFactor: meanOutM > 0 ? Math.max(1, metres / (meanOutM * sites.length)) : 1,
    speedKmh: seconds > 0 ? (3.6 * metres) / seconds : workshop.settings.travel.speedKmh,
  };
}
