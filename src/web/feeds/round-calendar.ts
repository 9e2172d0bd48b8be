/** Rounds as calendar entries: one a shift, from leaving to being back, with its stops in the text. */
import { followVisits, type ToldVisit } from '../../core/calendar/told-visits.ts';
import { instantOf } from '../../core/calendar/zone.ts';
import type { LocalDay } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { listDrivers } from '../../store/drivers.ts';
import { listSites } from '../../store/sites.ts';
import type { ToldPlan, ToldStop } from '../../store/told-plans.ts';
import { listVans } from '../../store/vans.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { time } from '../shared/format.ts';
import type { CalendarEvent } from './icalendar.ts';

type Asked = {
  readonly of: 'driver' | 'van';
  readonly subjectId: string;
  readonly plans: readonly ToldPlan[];
  readonly firstDay: LocalDay;
};

type ToldRound = ToldVisit & { readonly stops: readonly ToldStop[] };

export function roundEvents(db: Db, { of, subjectId, plans, firstDay }: Asked): CalendarEvent[] {
  const { zone, name, address, lat, lon } = requireWorkshop(db);
  const isAsked = (stop: ToldStop): boolean => (of === 'van' ? stop.vanId : stop.driverId) === subjectId;
  const rounds = new Map<string, ToldRound>();
  const versions = plans.map(({ publishedAt, stops }) => {
    const asked = Map.groupBy(stops.filter(isAsked), (stop) => stop.roundId);
    const visits = [...asked.values()].map((ofRound) => toldRound(zone, ofRound));
    for (const visit of visits) rounds.set(visit.id, visit);
    return { publishedAt, visits };
  });
  const words = readWords(db);
  return followVisits(versions)
    .filter(({ day }) => day >= firstDay)
    .map((entry): CalendarEvent => {
      const { stops } = rounds.get(entry.id)!;
      const sites = stops.filter(({ kind }) => kind === 'site').length;
      const with_ = of === 'driver' ? words.van(stops[0]!.vanId) : words.driver(stops[0]!.driverId);
      return {
        uid: `round-${entry.name}@feedround`,
        sequence: entry.sequence,
        changedAt: entry.changedAt,
        fromAt: entry.fromAt,
        untilAt: entry.untilAt,
        status: entry.isCancelled ? 'CANCELLED' : 'CONFIRMED',
        summary: `Round, ${with_}: ${sites === 1 ? '1 stop' : `${sites} stops`}`,
        description: stops.map((stop) => `${time(stop.startAt, zone)} ${words.stop(stop)}`).join('\n'),
        location: [name, address].filter(Boolean).join(', '),
        position: { lat, lon },
      };
    });
}

function toldRound(zone: string, stops: readonly ToldStop[]): ToldRound {
  const { roundId, shiftId, day, shiftStartsMinute, roundStartsAt, roundEndsAt, vanId, driverId } = stops[0]!;
  return {
    id: roundId,
    subject: shiftId,
    shiftId,
    leavesAt: instantOf(zone, day, shiftStartsMinute),
    day,
    fromAt: roundStartsAt,
    untilAt: roundEndsAt,
    text: JSON.stringify([vanId, driverId, stops.map((stop) => [stop.kind, stop.siteId, stop.startAt])]),
    stops,
  };
}

function readWords(db: Db) {
  const sites = new Map(listSites(db).map((site) => [site.id, site]));
  const vans = new Map(listVans(db).map((van) => [van.id, van.name]));
  const drivers = new Map(listDrivers(db).map((driver) => [driver.id, driver.name]));
  return {
    van: (id: string): string => vans.get(id) ?? 'a van',
    driver: (id: string): string => drivers.get(id) ?? 'a driver',
    stop({ kind, siteId }: ToldStop): string {
      if (kind === 'unload') return 'Unload at the workshop';
      if (kind === 'break') return 'Break';
      const site = sites.get(siteId ?? '');
      return site ? [site.name, site.address].filter(Boolean).join(', ') : 'A site that left the register';
    },
  };
}
