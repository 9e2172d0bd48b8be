/** The calendar behind a private address: a donor's visits, a driver's rounds, a van's rounds. */
import { addDays, localOf } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { getDonor } from '../../store/donors.ts';
import { getDriver } from '../../store/drivers.ts';
import { toldPlansSince } from '../../store/told-plans.ts';
import { getVan } from '../../store/vans.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import type { CalendarOf } from '../../usecases/calendar-links.ts';
import { donorEvents } from './donor-calendar.ts';
import type { Calendar } from './icalendar.ts';
import { roundEvents } from './round-calendar.ts';

/** An hour: a change of plan is known to a calendar before the van has driven far. Common practice, no source. */
const REFRESH_S = 3600;
/** Shown for that long after the day, so that a calendar is not emptied behind its reader. */
const KEPT_DAYS = 14;
/**
 * Versions that began before are not looked at: a visit that is shown was first told at most its plan's horizon
 * before. So a visit's name and its count of revisions do not depend on when the feed is read.
 */
const FOLLOWED_DAYS = 60;

/** Nothing when the donor, driver or van is gone from the register. */
export function readCalendar(db: Db, { of, subjectId }: CalendarOf, nowAt: Instant): Calendar | undefined {
  const workshop = requireWorkshop(db);
  const today = localOf(workshop.zone, nowAt).day;
  const plans = toldPlansSince(db, addDays(today, -FOLLOWED_DAYS));
  const firstDay = addDays(today, -KEPT_DAYS);
  if (of === 'donor') {
    const donor = getDonor(db, subjectId);
    if (!donor) return undefined;
    const events = donorEvents(db, { donorId: subjectId, plans, firstDay, nowAt });
    return { name: `${workshop.name}: film collections`, refreshS: REFRESH_S, events };
  }
  const name = (of === 'driver' ? getDriver(db, subjectId) : getVan(db, subjectId))?.name;
  if (name === undefined) return undefined;
  const events = roundEvents(db, { of, subjectId, plans, firstDay });
  return { name: `${workshop.name}: rounds of ${name}`, refreshS: REFRESH_S, events };
}
