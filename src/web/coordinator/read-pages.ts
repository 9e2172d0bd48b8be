/** The coordinator's views, read from the store and arranged by the pure builders beside this file. */
import { explainFill } from '../../core/accumulation/explain.ts';
import { quantileKg } from '../../core/accumulation/mass-forecast.ts';
import { formatHours } from '../../core/calendar/opening.ts';
import { occurrences } from '../../core/calendar/pickup-rule.ts';
import { addDays, localOf } from '../../core/calendar/zone.ts';
import type { Change } from '../../core/planning/changes.ts';
import type { Plan } from '../../core/planning/plan.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { Grade } from '../../core/vocabulary.ts';
import { listAccess } from '../../store/access-tokens.ts';
import { listBookingsOfSite } from '../../store/bookings.ts';
import type { Db } from '../../store/db.ts';
import { listDonors } from '../../store/donors.ts';
import { listDrivers } from '../../store/drivers.ts';
import { getPlan, getRound, publishedPlan, type StoredPlan, type StoredRound } from '../../store/plans.ts';
import { listProductionBetween } from '../../store/production.ts';
import { listProducts } from '../../store/products.ts';
import { listShiftsBetween } from '../../store/shifts.ts';
import { getSite, listSites, type Site, searchSites } from '../../store/sites.ts';
import { listMovements } from '../../store/stock.ts';
import { listVans } from '../../store/vans.ts';
import { listConfirmations } from '../../store/weigh-in-confirmations.ts';
import { listWeighInsOfSite } from '../../store/weigh-ins.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { buildPlanningProblem, nextHorizon, problemOfPlan } from '../../usecases/build-planning-problem.ts';
import { calendarOf } from '../../usecases/calendar-links.ts';
import { objectiveChanges, readObjective } from '../../usecases/change-objective.ts';
import { learnCalls } from '../../usecases/learn-calls.ts';
import { learnFills, pastForecasts } from '../../usecases/learn-fills.ts';
import { expectedOf } from '../../usecases/list-doubts.ts';
import { planToShow } from '../../usecases/plan-to-show.ts';
import { hashOfInput } from '../../usecases/plan-week.ts';
import { readProductionOutlook } from '../../usecases/production-outlook.ts';
import { changeWords } from '../shared/change-words.ts';
import { readNames } from '../shared/names.ts';
import { SITE_KIND_WORDS } from '../shared/words.ts';
import { byRisk, forecastOf, kgPerWeek, riskInAWeek, siteRow } from './build-site.ts';
import { buildWeekSheet } from './build-week-sheet.ts';
import type { ByHandView } from './change-by-hand.tsx';
import type { LinksView } from './links-view.ts';
import { readRoundMap } from './map/read-map.ts';
import type { ProductionView } from './production-view.ts';
import { confirmedView, readDoubts } from './read-weigh-ins.ts';
import type { RoundView } from './round-view.ts';
import type { SettingsView } from './settings-view.ts';
import type { SiteRow, SitesView, SiteView } from './site-view.ts';
import type { PlanHead, RoundFoot, WeekSheetView, WorkshopView } from './week-sheet-view.ts';

const NEXT_DATES = 10;
const DATES_AHEAD_DAYS = 400;
const MOVEMENTS_BACK_DAYS = 60;

export function readWeekSheet(db: Db, nowAt: Instant, planId?: string): WeekSheetView | undefined {
  const stored = planId === undefined ? planToShow(db) : getPlan(db, planId);
  if (planId !== undefined && !stored) return undefined;
  const horizon = stored ? { firstDay: stored.firstDay, days: stored.days } : nextHorizon(db, nowAt);
  const problem = stored ? problemOfPlan(db, nowAt, stored) : buildPlanningProblem(db, nowAt, horizon);
  const published = publishedPlan(db);
  const sites = listSites(db);
  const lastDay = problem.days.at(-1)!;
  return buildWeekSheet({
    doubts: readDoubts(db),
    workshop: workshopView(db),
    nowAt,
    problem,
    ...(stored ? { plan: stored.plan, head: planHead(db, stored, hashOfInput(problem)) } : {}),
    ...(published ? { publishedPlanId: published.id } : {}),
    rounds: stored ? stored.rounds.map((round) => roundFoot(db, round)) : [],
    sites: Object.fromEntries(sites.map((site) => [site.id, { name: site.name, place: placeOf(site) }])),
    register: {
      sites: sites.length,
      shifts: listShiftsBetween(db, horizon.firstDay, lastDay).length,
      productionDays: listProductionBetween(db, horizon.firstDay, lastDay).length,
    },
  });
}

const planHead = (db: Db, stored: StoredPlan, hashNow: string): PlanHead => ({
  id: stored.id,
  state: stored.state,
  createdAt: stored.createdAt,
  ...(stored.publishedAt === null ? {} : { publishedAt: stored.publishedAt }),
  seed: stored.seed,
  iterations: stored.iterations,
  costMicros: stored.costMicros,
  money: stored.plan.money,
  moneyByDay: stored.plan.moneyByDay,
  factsChanged: stored.inputHash !== hashNow,
  ...(stored.changes ? { byHand: byHandOf(db, stored.baseId, stored.changes) } : {}),
});

function byHandOf(db: Db, baseId: string | null, changes: readonly Change[]): ByHandView {
  const names = readNames(db);
  return { baseId, sentences: changes.map((change) => changeWords(change, names)) };
}

function roundFoot(db: Db, round: StoredRound): RoundFoot {
  return {
    id: round.id,
    vanName: listVans(db).find((van) => van.id === round.vanId)?.name ?? '',
    driverName: listDrivers(db).find((driver) => driver.id === round.driverId)?.name ?? '',
    round,
  };
}

const placeOf = (site: Site): string =>
  [SITE_KIND_WORDS[site.kind], site.district].filter((word) => word !== '').join(', ');

function workshopView(db: Db): WorkshopView {
  const { name, zone, currency } = requireWorkshop(db);
  return { name, zone, currency };
}

export function readRound(db: Db, nowAt: Instant, roundId: string): RoundView | undefined {
  const round = getRound(db, roundId);
  const stored = round && getPlan(db, round.planId);
  if (!round || !stored) return undefined;
  const sites = listSites(db);
  return {
    workshop: workshopView(db),
    nowAt,
    planId: stored.id,
    roundId,
    planState: stored.state,
    foot: roundFoot(db, round),
    map: readRoundMap(db, nowAt, stored, round),
    siteNames: Object.fromEntries(sites.map((site) => [site.id, site.name])),
    siteAddresses: Object.fromEntries(sites.map((site) => [site.id, site.address])),
    leftOut: stored.plan.leftOut.filter((out) => out.bestDay === round.day),
  };
}

export function readSites(db: Db, nowAt: Instant, search: string): SitesView {
  const models = learnFills(db);
  const next = nextVisits(publishedPlan(db)?.plan, nowAt);
  const today = localOf(requireWorkshop(db).zone, nowAt).day;
  const isActive = (site: Site): boolean => site.activeUntilDay === null || site.activeUntilDay >= today;
  const all = listSites(db).filter(isActive);
  const found = search.trim() === '' ? all : searchSites(db, search).filter(isActive);
  const rows = found.map(({ id, name, kind, district }): SiteRow => {
    const nextVisitAt = next.get(id);
    const facts = { name, kind, district, ...(nextVisitAt === undefined ? {} : { nextVisitAt }) };
    return siteRow(models.get(id)!, facts, nowAt);
  });
  rows.sort(byRisk);
  return { workshop: workshopView(db), nowAt, search, doubts: readDoubts(db), registered: all.length, rows };
}

function nextVisits(plan: Plan | undefined, nowAt: Instant): Map<string, Instant> {
  const next = new Map<string, Instant>();
  for (const round of plan?.rounds ?? [])
    for (const { siteId, startAt } of round.stops)
      if (siteId !== undefined && startAt >= nowAt && !next.has(siteId)) next.set(siteId, startAt);
  return next;
}

export function readSite(db: Db, nowAt: Instant, siteId: string): SiteView | undefined {
  const site = getSite(db, siteId);
  if (!site) return undefined;
  const workshop = requireWorkshop(db);
  const today = localOf(workshop.zone, nowAt).day;
  const model = learnFills(db).get(siteId)!;
  const published = publishedPlan(db);
  const visit = published?.rounds
    .flatMap((round) => round.stops.map((stop) => ({ stop, roundId: round.id })))
    .find(({ stop }) => stop.siteId === siteId && stop.startAt >= nowAt);
  const confirmations = listConfirmations(db);
  const doubts = readDoubts(db).filter((doubt) => doubt.siteId === siteId);
  const doubt = new Map(doubts.map((one) => [one.weighInId, one.weight]));
  const steps = new Map(pastForecasts(db, siteId).map((step) => [step.evidenceId, step]));
  return {
    workshop: workshopView(db),
    nowAt,
    siteId,
    name: site.name,
    kind: site.kind,
    donorId: site.donorId,
    donorName: site.donorName,
    address: site.address,
    district: site.district,
    lat: site.lat,
    lon: site.lon,
    accessNotes: site.accessNotes,
    handlingNotes: site.handlingNotes,
    serviceS: site.serviceS,
    capacityKg: model.capacityKg,
    capacityL: model.capacityL,
    containers: site.containers,
    hoursText: formatHours(site.hours),
    closures: site.closures,
    calls: learnCalls(db, [site], workshop.settings.calls, nowAt).get(siteId)!,
    contacts: site.contacts,
    rules: site.rules.map((rule) => ({
      rule,
      next: occurrences(rule, workshop.zone, today, addDays(today, DATES_AHEAD_DAYS)).slice(0, NEXT_DATES),
    })),
    bookings: listBookingsOfSite(db, siteId),
    gradeShares: Object.entries(model.gradeShares)
      .map(([grade, share]) => ({ grade: grade as Grade, share }))
      .sort((a, b) => b.share - a.share),
    basis: model.basis,
    explanation: explainFill(model, nowAt),
    doubts,
    kgPerWeek: kgPerWeek(model),
    bagKg: model.bagKg,
    forecast: forecastOf(model, nowAt),
    ...riskInAWeek(model, nowAt),
    weighIns: listWeighInsOfSite(db, siteId).map((w) => {
      const weight = doubt.get(w.id);
      const step = steps.get(w.id);
      const confirmation = confirmations.get(w.id);
      return {
        weighInId: w.id,
        at: w.at,
        ...(w.netKg === null ? {} : { netKg: w.netKg }),
        ...(w.bags === null ? {} : { bags: w.bags }),
        foundFull: w.foundFull,
        rejectedKg: w.rejectedKg,
        method: w.method,
        note: w.note,
        ...(step === undefined
          ? {}
          : { expected: { ...expectedOf(step), medianKg: quantileKg(step.forecast, 0.5) } }),
        ...(confirmation ? { confirmed: confirmedView(db, confirmation) } : {}),
        ...(weight === undefined ? {} : { weight }),
      };
    }),
    ...(visit ? { nextVisit: { at: visit.stop.startAt, roundId: visit.roundId } } : {}),
  };
}

export function readProduction(db: Db, nowAt: Instant): ProductionView {
  const sheet = readWeekSheet(db, nowAt)!;
  const products = new Map(listProducts(db).map((product) => [product.id, product]));
  const first = sheet.days[0]!.day;
  const last = sheet.days.at(-1)!.day;
  const { zone } = sheet.workshop;
  const today = localOf(zone, nowAt).day;
  const outlook = readProductionOutlook(db, nowAt);
  return {
    workshop: sheet.workshop,
    nowAt,
    ...(outlook ? { outlook } : {}),
    days: sheet.days,
    storeLimitKg: sheet.storeLimitKg,
    stock: sheet.stock,
    grades: sheet.grades,
    runs: listProductionBetween(db, first, last).map((run) => {
      const product = products.get(run.productId)!;
      return {
        day: run.day,
        product: product.name,
        units: run.units,
        needKg: run.units * product.filmKgPerUnit,
        isDone: run.doneAt !== null,
      };
    }),
    movements: listMovements(db, addDays(today, -MOVEMENTS_BACK_DAYS), today).slice(0, 200),
  };
}

export const readSettings = (db: Db): SettingsView => ({
  workshop: workshopView(db),
  objective: readObjective(db),
  changes: objectiveChanges(db),
});

export function readLinks(db: Db, nowAt: Instant): LinksView {
  return {
    workshop: workshopView(db),
    nowAt,
    links: listAccess(db)
      .filter(({ purpose }) => purpose !== 'session')
      .toReversed()
      .map(({ hash, role, subjectId, purpose, label, createdAt, expiresAt, revokedAt }) => ({
        hash,
        role: purpose === 'calendar' ? calendarOf({ role, subjectId }).of : role,
        opens: purpose === 'calendar' ? ('calendar' as const) : ('pages' as const),
        label,
        createdAt,
        expiresAt,
        ...(revokedAt === null ? {} : { revokedAt }),
      })),
    drivers: listDrivers(db).map(({ id, name }) => ({ id, name })),
    vans: listVans(db).map(({ id, name }) => ({ id, name })),
    donors: listDonors(db).map(({ id, name }) => ({ id, name })),
  };
}
