/** Shifts for which a link may be made. */
import { shiftSpan } from '../../core/calendar/shift.ts';
import { addDays, localOf } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { getDriver } from '../../store/drivers.ts';
import { listShiftsBetween } from '../../store/shifts.ts';
import { getVan } from '../../store/vans.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { timeSpan } from '../shared/format.ts';
import { workshopView } from './read-pages.ts';
import type { ShiftLinkView } from './shift-link-pages.tsx';

const AHEAD_DAYS = 7;

export function readShiftLinks(db: Db, nowAt: Instant): ShiftLinkView {
  const { zone } = requireWorkshop(db);
  const today = localOf(zone, nowAt).day;
  // One that began yesterday evening may still go on.
  const shifts = listShiftsBetween(db, addDays(today, -1), addDays(today, AHEAD_DAYS));
  return {
    workshop: workshopView(db),
    shifts: shifts.flatMap((shift) => {
      const { fromAt, untilAt } = shiftSpan(zone, shift);
      if (untilAt <= nowAt) return [];
      return [
        {
          shiftId: shift.id,
          day: shift.day,
          hours: timeSpan(fromAt, untilAt, zone),
          driverName: getDriver(db, shift.driverId)?.name ?? '',
          vanName: getVan(db, shift.vanId)?.name ?? '',
        },
      ];
    }),
  };
}
