/** Puts together what the planner is given, from the register, the calendar, the estimates and the ledger. */
import type { SiteModel } from '../core/accumulation/site-model.ts';
import { openWindows, parseHours } from '../core/calendar/opening.ts';
import { occurrences } from '../core/calendar/pickup-rule.ts';
import { shiftSpan } from '../core/calendar/shift.ts';
import { addDays, dayStart, localOf } from '../core/calendar/zone.ts';
import { drawByDay } from '../core/feedstock/need.ts';
import { NO_WISHES, type Wishes, withPins } from '../core/planning/changes.ts';
import type { PlanningProblem, PlanningSite, SitePromise } from '../core/planning/problem.ts';
import { ROOM_FOR_MORE } from '../core/planning/quote-held.ts';
import type { Instant, Kg, LocalDay, TimeWindow } from '../core/quantity/units.ts';
import type { Grade } from '../core/vocabulary.ts';
import { type Booking, listBookingsAhead } from '../store/bookings.ts';
import type { Db } from '../store/db.ts';
import {
  getPlan,
  listPlans,
  publishedPlan,
  type StoredPlan,
  type StoredRound,
  type StoredStop,
  stopOutcomes,
} from '../store/plans.ts';
import { listProductionBetween } from '../store/production.ts';
import { listProducts } from '../store/products.ts';
import { listShiftsBetween } from '../store/shifts.ts';
import { listSites, type Site } from '../store/sites.ts';
import { currentStockKg } from '../store/stock.ts';
import { listVans } from '../store/vans.ts';
import { listGrades, requireWorkshop } from '../store/workshop.ts';
import { type Heard, hearSite } from './hear-silence.ts';
import { learnCalls } from './learn-calls.ts';
import { learnFills } from './learn-fills.ts';
import { planningShifts, publishedVisits } from './planning-shifts.ts';
import { runningRounds } from './running-rounds.ts';
import { travelTableFor } from './travel-table.ts';

export type Horizon = { readonly firstDay: LocalDay; readonly days: number };

/** Today while a shift of today is still to start; tomorrow otherwise. */
export function nextHorizon(db: Db, nowAt: Instant, days?: number): Horizon {
  const workshop = requireWorkshop(db);
  const today = localOf(workshop.zone, nowAt).day;
  const leavesToday = listShiftsBetween(db, today, today).some(
    (shift) => shiftSpan(workshop.zone, shift).fromAt >= nowAt,
  );
  return {
    firstDay: leavesToday ? today : addDays(today, 1),
    days: days ?? workshop.settings.horizonDays,
  };
}

/**
 * Does not depend on the second it is called in, only on what is stored and on which shifts have left, so that
 * the same facts give the same plan.
 */
export function buildPlanningProblem(
  db: Db,
  nowAt: Instant,
  horizon: Horizon,
  /** What donors and drivers were told; another plan than today's to ask what the planner was given then. */
  told: StoredPlan | null = publishedPlan(db) ?? null,
  /** What was fixed by hand: with what was told, unless said otherwise. */
  wishes: Wishes = told?.wishes ?? NO_WISHES,
): PlanningProblem {
  const workshop = requireWorkshop(db);
  const { zone, settings } = workshop;
  const days = Array.from({ length: horizon.days }, (_, i) => addDays(horizon.firstDay, i));
  const dayStartsAt = Array.from({ length: horizon.days + 1 }, (_, i) =>
    dayStart(zone, addDays(horizon.firstDay, i)),
  );
  const running = runningRounds(db, nowAt);
  const coming = stillToCome(db, running);
  const models = withStopsToCome(learnFills(db), coming);
  const sites = listSites(db).filter((site) => isActive(site, horizon.firstDay, days.at(-1)!));
  // From the horizon's first day, so that the second of asking does not matter.
  const calls = learnCalls(db, sites, settings.calls, dayStartsAt[0]!);
  const heardBy = { zone, today: localOf(zone, nowAt).day, firstDay: horizon.firstDay };
  const bookings = Map.groupBy(listBookingsAhead(db, ['waiting', 'confirmed'], nowAt), (b) => b.siteId);
  const unloadHours = parseHours(settings.unloadHours);
  const grades = listGrades(db);
  const production = listProductionBetween(db, horizon.firstDay, days.at(-1)!);
  const stock = currentStockKg(db);
  const shifts = planningShifts(db, zone, days, nowAt, { running, wishes });
  const problem: PlanningProblem = {
    zone,
    nowAt: Math.max(dayStartsAt[0]!, ...[...models.values()].map((model) => model.emptiedAt)),
    days,
    dayStartsAt,
    workshopPlace: 0,
    unloadByDay: days.map((day) =>
      openWindows({ hours: unloadHours.ok ? unloadHours.value : [], closures: [] }, zone, day),
    ),
    storeLimitKg: workshop.storeLimitKg,
    breakRule: settings.breakRule,
    prices: settings.prices,
    loadQuantile: settings.loadQuantile,
    sites: sites.map((site, i) => {
      const heard = hearSite(site, models.get(site.id)!, calls.get(site.id)!, heardBy);
      return planningSite(site, i + 1, heard, bookings.get(site.id) ?? [], { zone, days, dayStartsAt });
    }),
    shifts,
    travel: travelTableFor(db, workshop, [workshop, ...sites]),
    grades: grades.map((row) => row.grade),
    stockKg: grades.map(({ grade }) =>
      Math.max(
        0,
        (stock.get(grade) ?? 0) + comingKg(coming, models, grade, settings.prices.contaminationShare),
      ),
    ),
    drawKg: drawByDay(
      days,
      grades.map((row) => row.grade),
      listProducts(db),
      production.filter((run) => run.doneAt === null),
    ),
    buyPriceMicrosPerKg: grades.map((row) => row.buyPriceMicrosPerKg),
    published: publishedVisits(told, days, shifts),
  };
  return withPins(problem, wishes.pins);
}

/** What the planner would be given for a plan's own days and wishes on the facts of now. */
export const problemOfPlan = (db: Db, nowAt: Instant, stored: StoredPlan): PlanningProblem =>
  buildPlanningProblem(
    db,
    nowAt,
    { firstDay: stored.firstDay, days: stored.days },
    toldWhenMade(db, stored),
    stored.wishes,
  );

/** The published plan that a plan was made against: publishing it is no change of the facts it rests on. */
function toldWhenMade(db: Db, { id, createdAt }: StoredPlan): StoredPlan | null {
  const before = [...listPlans(db, 'published'), ...listPlans(db, 'superseded')].find(
    (plan) =>
      plan.id !== id &&
      plan.publishedAt !== null &&
      plan.publishedAt <= createdAt &&
      (plan.supersededAt === null || plan.supersededAt >= createdAt),
  );
  return before ? (getPlan(db, before.id) ?? null) : null;
}

/**
 * Stops of rounds on the road of which nothing was handed in yet: they will be, so nobody else need go there. Not
 * those a van that broke down was to make.
 */
function stillToCome(db: Db, running: ReadonlyMap<string, StoredRound>): StoredStop[] {
  const offRoad = new Map(listVans(db).map((van) => [van.id, van.offRoadFromAt ?? Infinity]));
  const stops = [...running.values()].flatMap((round) =>
    round.stops.filter((stop) => stop.kind === 'site' && stop.startAt < offRoad.get(round.vanId)!),
  );
  const done = stopOutcomes(
    db,
    stops.map((stop) => stop.id),
  );
  return stops.filter((stop) => !done.has(stop.id));
}

function withStopsToCome(
  models: ReadonlyMap<string, SiteModel>,
  coming: readonly StoredStop[],
): ReadonlyMap<string, SiteModel> {
  const next = new Map(models);
  for (const { siteId = '', startAt } of coming) {
    const model = next.get(siteId);
    if (!model || model.emptiedAt >= startAt) continue;
    const { atLeast: _, ...rest } = model;
    const surges = model.surges.filter((surge) => surge.endsAt > startAt);
    next.set(siteId, { ...rest, surges, emptiedAt: startAt, leftKg: 0 });
  }
  return next;
}

/** What those stops will bring to the store. */
const comingKg = (
  coming: readonly StoredStop[],
  models: ReadonlyMap<string, SiteModel>,
  grade: Grade,
  contaminationShare: number,
): Kg =>
  coming.reduce(
    (sum, { siteId = '', expectedKg }) =>
      sum + expectedKg * (1 - contaminationShare) * (models.get(siteId)?.gradeShares[grade] ?? 0),
    0,
  );

type Surroundings = {
  readonly zone: string;
  readonly days: readonly LocalDay[];
  readonly dayStartsAt: readonly Instant[];
};

const isActive = (site: Site, firstDay: LocalDay, lastDay: LocalDay): boolean =>
  (site.activeFromDay === null || site.activeFromDay <= lastDay) &&
  (site.activeUntilDay === null || site.activeUntilDay >= firstDay);

function planningSite(
  site: Site,
  place: number,
  { model, calls }: Heard,
  bookings: readonly Booking[],
  { zone, days, dayStartsAt }: Surroundings,
): PlanningSite {
  const openByDay = days.map((day) =>
    (site.activeFromDay !== null && day < site.activeFromDay) ||
    (site.activeUntilDay !== null && day > site.activeUntilDay)
      ? []
      : openWindows(site, zone, day),
  );
  const dates = site.rules.flatMap((rule) =>
    occurrences(rule, zone, days[0]!, days.at(-1)!)
      // Emptied since the day began: this date is done.
      .filter(({ day }) => model.emptiedAt < dayStart(zone, day))
      .map((date) => ({ ...date, commitment: rule.commitment })),
  );
  const rulePromises = dates
    .filter((date) => date.commitment === 'must')
    .map(({ fromAt, untilAt }): SitePromise => ({ kind: 'rule', windows: [{ fromAt, untilAt }] }));
  const bookingPromises = bookings
    // A window that reaches beyond the horizon can still be kept later.
    .filter((booking) => booking.untilAt <= dayStartsAt.at(-1)! && model.emptiedAt < booking.fromAt)
    .map((booking): SitePromise => ({ kind: 'booking', windows: daysOf(booking, dayStartsAt) }))
    .filter((promise) => promise.windows.length > 0);
  return {
    siteId: site.id,
    place,
    serviceS: site.serviceS,
    model,
    besideKg: sacksBesideKg(model),
    ...(calls === undefined ? {} : { calls }),
    openByDay,
    promises: [...rulePromises, ...bookingPromises],
    usualDays: dates.filter((date) => date.commitment === 'usual').map((date) => days.indexOf(date.day)),
    barredDays: [],
  };
}

/** What an event leaves comes in sacks that stand beside the container, with room for half as much again. */
const sacksBesideKg = (model: SiteModel): Kg =>
  ROOM_FOR_MORE * model.surges.reduce<number>((sum, surge) => sum + surge.expectedKg, 0);

/** The part of a window that falls on each day of the horizon. */
function daysOf({ fromAt, untilAt }: TimeWindow, dayStartsAt: readonly Instant[]): TimeWindow[] {
  return dayStartsAt.slice(0, -1).flatMap((startAt, i) => {
    const window = { fromAt: Math.max(fromAt, startAt), untilAt: Math.min(untilAt, dayStartsAt[i + 1]!) };
    return window.fromAt < window.untilAt ? [window] : [];
  });
}
