/** Reads the views of vans, drivers and shifts. */
import { shiftSpan } from '../../core/calendar/shift.ts';
import { addDays, daysFrom, isDay, isoWeekday, localOf } from '../../core/calendar/zone.ts';
import type { Instant, LocalDay } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { getDriver, listDrivers } from '../../store/drivers.ts';
import { publishedPlan, type StoredRound } from '../../store/plans.ts';
import { getShift, listShifts, type Shift } from '../../store/shifts.ts';
import { getVan, listVans, type Van } from '../../store/vans.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { runningRounds } from '../../usecases/running-rounds.ts';
import type { DriverView, FleetView, Frame, ShiftChip, ShiftView, VanView } from './fleet-view.ts';

const WEEKS_SHOWN = 2;

export const readFrame = (db: Db): Frame => {
  const { name, zone, currency } = requireWorkshop(db);
  return { name, zone, currency };
};
export const mondayOf = (day: LocalDay): LocalDay => addDays(day, 1 - isoWeekday(day));

/** @param from any day of the first week to show; today's week where it is no day */
export function readFleet(db: Db, nowAt: Instant, from: string | undefined): FleetView {
  const workshop = readFrame(db);
  const today = localOf(workshop.zone, nowAt).day;
  const monday = mondayOf(from !== undefined && isDay(from) ? from : today);
  const weeks = Array.from({ length: WEEKS_SHOWN }, (_, week) => addDays(monday, 7 * week));
  const shown = new Set(daysFrom(monday, 7 * WEEKS_SHOWN));
  const shifts = listShifts(db).filter((shift) => shown.has(shift.day));
  const names = new Map(listDrivers(db).map(({ id, name }) => [id, name]));
  const stops = stopsByShift(publishedPlan(db)?.rounds ?? []);
  return {
    workshop,
    today,
    weeks,
    vans: listVans(db).map((van) => ({
      vanId: van.id,
      name: van.name,
      payloadKg: van.payloadKg,
      loadSpaceL: van.loadSpaceL,
      checkDueDay: van.checkDueDay ?? undefined,
      offRoadFromAt: van.offRoadFromAt ?? undefined,
      offRoadFromDay: offRoadFromDay(van, workshop.zone),
      shifts: byDay(
        shifts.filter((shift) => shift.vanId === van.id),
        names,
        stops,
      ),
    })),
    drivers: listDrivers(db).map(({ id, name, email }) => {
      const own = shifts.filter((shift) => shift.driverId === id);
      const kept = own.filter((shift) => shift.cancelledAt === null);
      return {
        driverId: id,
        name,
        email,
        weekS: weeks.map((week) =>
          kept
            .filter(({ day }) => mondayOf(day) === week)
            .reduce((sum, shift) => sum + lengthS(workshop.zone, shift), 0),
        ),
        awayDays: own.filter((shift) => shift.cancelledAt !== null).map(({ day }) => day),
      };
    }),
  };
}

const lengthS = (zone: string, shift: Shift): number => {
  const { fromAt, untilAt } = shiftSpan(zone, shift);
  return untilAt - fromAt;
};

const stopsByShift = (rounds: readonly StoredRound[]): ReadonlyMap<string, number> =>
  new Map(
    rounds.map(({ shiftId, stops }) => [shiftId, stops.filter((stop) => stop.siteId !== undefined).length]),
  );

/** From the middle of a day on it may still have driven that morning. */
function offRoadFromDay({ offRoadFromAt }: Van, zone: string): LocalDay | undefined {
  if (offRoadFromAt === null) return undefined;
  const { day, minute } = localOf(zone, offRoadFromAt);
  return minute === 0 ? day : addDays(day, 1);
}

function byDay(
  shifts: readonly Shift[],
  names: ReadonlyMap<string, string>,
  stops: ReadonlyMap<string, number>,
): ReadonlyMap<LocalDay, readonly ShiftChip[]> {
  const chips = new Map<LocalDay, ShiftChip[]>();
  for (const { id, day, driverId, startsMinute, endsMinute, cancelledAt } of shifts) {
    const chip = {
      shiftId: id,
      driverName: names.get(driverId) ?? driverId,
      startsMinute,
      endsMinute,
      isAway: cancelledAt !== null,
      stops: stops.get(id),
    };
    chips.set(day, [...(chips.get(day) ?? []), chip]);
  }
  return chips;
}

export function readShift(db: Db, nowAt: Instant, shiftId: string): ShiftView | undefined {
  const shift = getShift(db, shiftId);
  if (!shift) return undefined;
  const workshop = readFrame(db);
  const { day, vanId, driverId, startsMinute, endsMinute, cancelledAt } = shift;
  const round = publishedPlan(db)?.rounds.find((one) => one.shiftId === shiftId);
  return {
    workshop,
    shiftId,
    day,
    vanId,
    driverId,
    startsMinute,
    endsMinute,
    vanName: getVan(db, vanId)?.name ?? vanId,
    driverName: getDriver(db, driverId)?.name ?? driverId,
    isAway: cancelledAt !== null,
    isOver: shiftSpan(workshop.zone, shift).untilAt <= nowAt,
    isOnTheRoad: runningRounds(db, nowAt).has(shiftId),
    round: round && {
      id: round.id,
      stops: round.stops.filter((stop) => stop.siteId !== undefined).length,
    },
    vans: listVans(db).map(({ id, name }) => ({ id, name })),
    drivers: listDrivers(db).map(({ id, name }) => ({ id, name })),
  };
}

export function readVan(db: Db, vanId: string): VanView | undefined {
  const van = getVan(db, vanId);
  if (!van) return undefined;
  const { name, payloadKg, loadSpaceL, costMicrosPerKm, checkDueDay, offRoadFromAt } = van;
  return {
    workshop: readFrame(db),
    vanId,
    name,
    payloadKg,
    loadSpaceL,
    costMicrosPerKm,
    checkDueDay: checkDueDay ?? undefined,
    offRoadFromAt: offRoadFromAt ?? undefined,
  };
}

export function readDriver(db: Db, driverId: string): DriverView | undefined {
  const driver = getDriver(db, driverId);
  if (!driver) return undefined;
  const { name, email, costMicrosPerHour } = driver;
  return { workshop: readFrame(db), driverId, name, email, costMicrosPerHour };
}
