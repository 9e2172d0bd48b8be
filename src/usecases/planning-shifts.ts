/** The shifts that rounds can be planned in, and what was told of them. */
import { shiftSpan } from '../core/calendar/shift.ts';
import type { Wishes } from '../core/planning/changes.ts';
import type { PlanningShift, PublishedVisit } from '../core/planning/problem.ts';
import type { Instant, LocalDay } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { listDrivers } from '../store/drivers.ts';
import type { StoredPlan, StoredRound } from '../store/plans.ts';
import { listShiftsBetween } from '../store/shifts.ts';
import { listVans } from '../store/vans.ts';

/** Not those that have left, nor those of a van that is off the road. */
export function planningShifts(
  db: Db,
  zone: string,
  days: readonly LocalDay[],
  nowAt: Instant,
  { running, wishes }: { readonly running: ReadonlyMap<string, StoredRound>; readonly wishes: Wishes },
): PlanningShift[] {
  const vans = new Map(listVans(db).map((van) => [van.id, van]));
  const wished = new Map(wishes.drivers.map((wish) => [wish.shiftId, wish]));
  const drivers = new Map(listDrivers(db).map((driver) => [driver.id, driver]));
  return listShiftsBetween(db, days[0]!, days.at(-1)!).flatMap((shift) => {
    const van = vans.get(shift.vanId)!;
    const span = shiftSpan(zone, shift);
    const isGone = span.fromAt < nowAt || running.has(shift.id);
    const isOffRoad = van.offRoadFromAt !== null && van.offRoadFromAt <= span.fromAt;
    if (isGone || isOffRoad) return [];
    const wish = wished.get(shift.id);
    const driverId = wish?.insteadOfId === shift.driverId ? wish.driverId : shift.driverId;
    return {
      shiftId: shift.id,
      vanId: van.id,
      driverId,
      dayIndex: days.indexOf(shift.day),
      startAt: span.fromAt,
      endAt: span.untilAt,
      payloadKg: van.payloadKg,
      loadSpaceL: van.loadSpaceL,
      costMicrosPerKm: van.costMicrosPerKm,
      costMicrosPerHour: drivers.get(driverId)!.costMicrosPerHour,
    };
  });
}

/** What donors and drivers were told, as far as it can still be kept. */
export function publishedVisits(
  told: StoredPlan | null,
  days: readonly LocalDay[],
  shifts: readonly PlanningShift[],
): PublishedVisit[] {
  const open = new Set(shifts.map((shift) => shift.shiftId));
  return (told?.rounds ?? [])
    .filter((round) => open.has(round.shiftId))
    .flatMap((round) =>
      round.stops.flatMap((stop) =>
        stop.siteId === undefined
          ? []
          : {
              siteId: stop.siteId,
              dayIndex: days.indexOf(round.day),
              shiftId: round.shiftId,
              startAt: stop.startAt,
            },
      ),
    );
}
