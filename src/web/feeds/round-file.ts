/** One round for other programs: where it goes, in order, and the line it drives. */
import { localOf } from '../../core/calendar/zone.ts';
import { greatCircleM } from '../../core/quantity/geodesy.ts';
import type { Instant, Kg, Litres, LocalDay, Metres, Position } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { getDriver } from '../../store/drivers.ts';
import { getPlanSummary, getRound } from '../../store/plans.ts';
import { getSite } from '../../store/sites.ts';
import { getVan } from '../../store/vans.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { wayAlong } from '../../usecases/travel-table.ts';
import { dateTime, dayLong, kgRange, litres, time } from '../shared/format.ts';

export type RoundFile = {
  readonly roundId: string;
  readonly name: string;
  readonly day: LocalDay;
  readonly description: string;
  readonly createdAt: Instant;
  readonly distanceM: Metres;
  readonly points: readonly RoundPoint[];
  /** From the workshop and back to it, leg by leg. */
  readonly way: readonly Position[];
};

export type RoundPoint = {
  readonly kind: 'start' | 'site' | 'unload' | 'end';
  readonly name: string;
  readonly address: string;
  readonly position: Position;
  readonly arriveAt: Instant;
  readonly departAt: Instant;
  readonly expectedKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  readonly expectedL: Litres;
  /** In words, for a person: when, how much. */
  readonly words: string;
};

/** With `driverId`, only a round of this driver, and none of a draft. */
export function readRoundFile(db: Db, roundId: string, driverId?: string): RoundFile | undefined {
  const round = getRound(db, roundId);
  const plan = round && getPlanSummary(db, round.planId);
  if (!round || !plan) return undefined;
  if (driverId !== undefined && (round.driverId !== driverId || plan.state === 'draft')) return undefined;
  const workshop = requireWorkshop(db);
  const { zone } = workshop;
  const home = {
    name: workshop.name,
    address: workshop.address,
    position: { lat: workshop.lat, lon: workshop.lon },
    expectedKg: 0,
    lowKg: 0,
    highKg: 0,
    expectedL: 0,
  };
  const { startAt, endAt } = round;
  const points: RoundPoint[] = [
    { ...home, kind: 'start', arriveAt: startAt, departAt: startAt, words: `Leave ${time(startAt, zone)}` },
  ];
  for (const stop of round.stops) {
    const { arriveAt, departAt } = stop;
    const words = `${time(stop.startAt, zone)} to ${time(departAt, zone)}`;
    if (stop.kind === 'unload')
      points.push({ ...home, kind: 'unload', arriveAt, departAt, words: `Unload ${words}` });
    const site = stop.siteId === undefined ? undefined : getSite(db, stop.siteId);
    if (!site) continue;
    points.push({
      kind: 'site',
      name: site.name,
      address: site.address,
      position: { lat: site.lat, lon: site.lon },
      arriveAt,
      departAt,
      expectedKg: stop.expectedKg,
      lowKg: stop.lowKg,
      highKg: stop.highKg,
      expectedL: stop.expectedL,
      words: `${words}, ${kgRange(stop.lowKg, stop.highKg)}, about ${litres(stop.expectedL)}`,
    });
  }
  points.push({ ...home, kind: 'end', arriveAt: endAt, departAt: endAt, words: `Back ${time(endAt, zone)}` });
  const van = getVan(db, round.vanId)?.name ?? 'Van';
  const driver = getDriver(db, round.driverId)?.name ?? '';
  const places = points.map(({ position }) => position);
  return {
    roundId,
    name: `${van}, ${dayLong(round.day)}`,
    day: localOf(zone, startAt).day,
    description: `${driver} leaves ${dateTime(startAt, zone)}. The line is a guess of the way; signs and closures come first.`,
    createdAt: plan.createdAt,
    distanceM: round.distanceM,
    points,
    way: wayAlong(db, workshop, places).filter(isStep),
  };
}

/** A line that stands still says nothing, and some programs stumble over it. */
const isStep = (position: Position, i: number, way: readonly Position[]): boolean =>
  i === 0 || greatCircleM(way[i - 1]!, position) > 0;
