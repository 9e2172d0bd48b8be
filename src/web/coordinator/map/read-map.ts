/** The map of a day or of one round, from the plan and the register. */
import { openWindows } from '../../../core/calendar/opening.ts';
import { addDays, localOf } from '../../../core/calendar/zone.ts';
import type { Instant, LocalDay, Position, TimeWindow } from '../../../core/quantity/units.ts';
import type { Db } from '../../../store/db.ts';
import { listDrivers } from '../../../store/drivers.ts';
import { getPlan, type StoredPlan, type StoredRound, type StoredStop } from '../../../store/plans.ts';
import { getSite, listSites, type Site } from '../../../store/sites.ts';
import { listVans } from '../../../store/vans.ts';
import { requireWorkshop, type Workshop } from '../../../store/workshop.ts';
import { nextHorizon } from '../../../usecases/build-planning-problem.ts';
import { groundOf } from '../../../usecases/map-ground.ts';
import { planToShow } from '../../../usecases/plan-to-show.ts';
import { wayAlong } from '../../../usecases/travel-table.ts';
import type { DayMapView, MapRound, MapStop, MapView, PositionView } from './map-view.ts';

/** The plan with this id, or the one people look at; nothing for an id that does not exist. */
export function readDayMap(
  db: Db,
  nowAt: Instant,
  asked: { readonly day?: LocalDay | undefined; readonly planId?: string | undefined },
): DayMapView | undefined {
  const stored = asked.planId === undefined ? planToShow(db) : getPlan(db, asked.planId);
  if (asked.planId !== undefined && !stored) return undefined;
  const horizon = stored ?? nextHorizon(db, nowAt);
  const days = Array.from({ length: horizon.days }, (_, i) => addDays(horizon.firstDay, i)).map((day) => ({
    day,
    rounds: (stored?.rounds ?? []).filter((round) => round.day === day).length,
  }));
  const today = localOf(requireWorkshop(db).zone, nowAt).day;
  const day =
    asked.day ??
    days.find((one) => one.day >= today && one.rounds > 0)?.day ??
    days.find((one) => one.rounds > 0)?.day ??
    horizon.firstDay;
  return { ...readMap(db, nowAt, { day, stored, rounds: roundsOf(stored, day) }), days };
}

/** One round alone, with its letter among the rounds of its day. */
export function readRoundMap(db: Db, nowAt: Instant, stored: StoredPlan, round: StoredRound): MapView {
  return readMap(db, nowAt, { day: round.day, stored, rounds: roundsOf(stored, round.day), only: round.id });
}

/** A site among its neighbours, drawn around `proposed` or else around where it is; nothing for an unknown one. */
export function readPosition(
  db: Db,
  nowAt: Instant,
  siteId: string,
  proposed?: Position,
): PositionView | undefined {
  const site = getSite(db, siteId);
  if (!site) return undefined;
  const at = { lat: site.lat, lon: site.lon };
  const day = localOf(requireWorkshop(db).zone, nowAt).day;
  const map = readMap(db, nowAt, { day, stored: undefined, rounds: [] });
  return {
    workshop: map.workshop,
    siteId,
    name: site.name,
    address: site.address,
    at,
    map: {
      ...map,
      waiting: map.waiting.filter((other) => other.siteId !== siteId),
      around: proposed ?? at,
    },
  };
}

const roundsOf = (stored: StoredPlan | undefined, day: LocalDay): StoredRound[] =>
  (stored?.rounds ?? [])
    .filter((round) => round.day === day)
    .sort((a, b) => a.startAt - b.startAt || (a.id < b.id ? -1 : 1));

type Asked = {
  readonly day: LocalDay;
  readonly stored: StoredPlan | undefined;
  readonly rounds: readonly StoredRound[];
  readonly only?: string;
};

function readMap(db: Db, nowAt: Instant, { day, stored, rounds, only }: Asked): MapView {
  const workshop = requireWorkshop(db);
  const sites = new Map(listSites(db).map((site) => [site.id, site]));
  const shown = rounds
    .map((round, i) => mapRound(db, { workshop, sites, round, letter: letterOf(i) }))
    .filter((round) => only === undefined || round.roundId === only);
  const visited = new Set(shown.flatMap(({ stops }) => stops.map(({ siteId }) => siteId)));
  const isActive = (site: Site): boolean =>
    (site.activeFromDay === null || site.activeFromDay <= day) &&
    (site.activeUntilDay === null || site.activeUntilDay >= day);
  return {
    workshop: {
      name: workshop.name,
      zone: workshop.zone,
      currency: workshop.currency,
      at: { lat: workshop.lat, lon: workshop.lon },
      address: workshop.address,
    },
    nowAt,
    day,
    ...(stored ? { planId: stored.id, planState: stored.state } : {}),
    rounds: shown,
    waiting: [...sites.values()]
      .filter((site) => !visited.has(site.id) && isActive(site))
      .map(({ id, name, lat, lon }) => ({ siteId: id, name, at: { lat, lon }, ...nextDay(stored, id, day) })),
    ground: groundOf(db),
  };
}

/** A to Z, then AA: more rounds a day than letters would need 26 vans. */
const letterOf = (i: number): string =>
  i < 26 ? String.fromCharCode(65 + i) : letterOf(Math.floor(i / 26) - 1) + letterOf(i % 26);

function nextDay(stored: StoredPlan | undefined, siteId: string, day: LocalDay): { nextDay?: LocalDay } {
  const next = (stored?.rounds ?? [])
    .filter((round) => round.day > day && round.stops.some((stop) => stop.siteId === siteId))
    .map((round) => round.day)
    .sort()[0];
  return next === undefined ? {} : { nextDay: next };
}

type OfRound = {
  readonly workshop: Workshop;
  readonly sites: ReadonlyMap<string, Site>;
  readonly round: StoredRound;
  readonly letter: string;
};

function mapRound(db: Db, { workshop, sites, round, letter }: OfRound): MapRound {
  const home: Position = { lat: workshop.lat, lon: workshop.lon };
  const places = [home];
  const stops: MapStop[] = [];
  for (const stop of round.stops) {
    const site = stop.siteId === undefined ? undefined : sites.get(stop.siteId);
    if (stop.kind === 'unload') places.push(home);
    if (stop.kind !== 'site' || !site) continue;
    places.push({ lat: site.lat, lon: site.lon });
    stops.push(mapStop(workshop.zone, round.day, stop, site, stops.length + 1));
  }
  // Most rounds end with an unloading at the workshop; one that does not drives home all the same.
  if (round.stops.at(-1)?.kind !== 'unload') places.push(home);
  return {
    roundId: round.id,
    letter,
    vanName: listVans(db).find((van) => van.id === round.vanId)?.name ?? 'Van',
    driverName: listDrivers(db).find((driver) => driver.id === round.driverId)?.name ?? '',
    startAt: round.startAt,
    endAt: round.endAt,
    distanceM: round.distanceM,
    unloadings: round.stops.filter((stop) => stop.kind === 'unload').length,
    legs: places.slice(1).map((to, i) => wayAlong(db, workshop, [places[i]!, to])),
    stops,
  };
}

function mapStop(zone: string, day: LocalDay, stop: StoredStop, site: Site, number: number): MapStop {
  const promised = promiseOf(stop);
  const isAlwaysOpen = site.hours.length === 0;
  return {
    siteId: site.id,
    name: site.name,
    at: { lat: site.lat, lon: site.lon },
    number,
    startAt: stop.startAt,
    departAt: stop.departAt,
    expectedKg: stop.expectedKg,
    lowKg: stop.lowKg,
    highKg: stop.highKg,
    expectedL: stop.expectedL,
    windows: promised ? [promised] : isAlwaysOpen ? [] : openWindows(site, zone, day),
    isPromise: promised !== undefined,
    ...(stop.reason ? { reason: stop.reason } : {}),
  };
}

function promiseOf({ reason }: StoredStop): TimeWindow | undefined {
  const { windowFromAt: fromAt, windowUntilAt: untilAt } = reason ?? {};
  return fromAt === undefined || untilAt === undefined ? undefined : { fromAt, untilAt };
}
