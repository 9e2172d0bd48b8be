/** What the forms of "something happened" offer to choose from. */
import { addDays, clock, localOf } from '../../core/calendar/zone.ts';
import type { Instant, Seconds } from '../../core/quantity/units.ts';
import { EVENT_KINDS, MISSED_REASONS } from '../../core/vocabulary.ts';
import { listBookingsOfSite } from '../../store/bookings.ts';
import type { Db } from '../../store/db.ts';
import { publishedPlan, type StoredRound, stopOutcomes } from '../../store/plans.ts';
import { listProducts } from '../../store/products.ts';
import { listShifts } from '../../store/shifts.ts';
import { listSites } from '../../store/sites.ts';
import { listSurges } from '../../store/surges.ts';
import { listVans } from '../../store/vans.ts';
import { listGrades, requireWorkshop } from '../../store/workshop.ts';
import type { HappeningKind } from '../../usecases/happened/kinds.ts';
import { runningRounds } from '../../usecases/running-rounds.ts';
import type { Option } from '../shared/controls.tsx';
import { dateTime, dayShort, time } from '../shared/format.ts';
import { type Names, readNames } from '../shared/names.ts';
import { EVENT_WORDS, gradeName, MISSED_WORDS } from '../shared/words.ts';
import type { HappenedView } from './happened-page.tsx';

/** An event that ended longer ago is over for good. */
const EVENT_OVER_S: Seconds = 60 * 86_400;

const named = (rows: readonly { readonly id: string; readonly name: string }[]): Option[] =>
  rows
    .map(({ id, name }) => ({ value: id, label: name }))
    .sort((a, b) => a.label.localeCompare(b.label, 'en'));

export function readHappened(db: Db, nowAt: Instant, kind: HappeningKind): HappenedView {
  const { name, zone } = requireWorkshop(db);
  const names = readNames(db);
  const today = localOf(zone, nowAt).day;
  const rounds = roundsNow(db, nowAt, today);
  return {
    workshop: { name, zone },
    nowAt,
    options: {
      site: named(listSites(db)),
      van: named(
        listVans(db).filter(({ offRoadFromAt }) =>
          kind === 'van-back' ? offRoadFromAt !== null : kind !== 'van-off-road' || offRoadFromAt === null,
        ),
      ),
      product: named(listProducts(db)),
      grade: listGrades(db).map(({ grade }) => ({ value: grade, label: gradeName(grade) })),
      'event-kind': EVENT_KINDS.map((one) => ({ value: one, label: EVENT_WORDS[one] })),
      'missed-reason': MISSED_REASONS.map((one) => ({ value: one, label: MISSED_WORDS[one] })),
      shift: listShifts(db)
        .filter(({ day, cancelledAt }) => day >= today && (cancelledAt !== null) === (kind === 'driver-back'))
        .map((shift) => ({
          value: shift.id,
          label: `${dayShort(shift.day)}, ${names.of('driver', shift.driverId)}, ${names.of('van', shift.vanId)}, ${clock(shift.startsMinute)}–${clock(shift.endsMinute)}`,
        })),
      surge: listSurges(db)
        .filter((surge) => surge.cancelledAt === null && surge.endsAt > nowAt - EVENT_OVER_S)
        .filter((surge) => !listBookingsOfSite(db, surge.siteId).some((one) => one.surgeId === surge.id))
        .map((surge) => ({
          value: surge.id,
          label: `${names.of('site', surge.siteId)}: ${surge.name || EVENT_WORDS[surge.eventKind]}, ends ${dateTime(surge.endsAt, zone)}`,
        })),
      round: rounds.map((round) => ({ value: round.id, label: roundLabel(round, names) })),
      stop: stopOptions(db, rounds, names),
    },
  };
}

/** On the road, planned for today, and yesterday's that somebody may still have to close. */
function roundsNow(db: Db, nowAt: Instant, today: string): StoredRound[] {
  const running = [...runningRounds(db, nowAt).values()];
  const ids = new Set(running.map((round) => round.shiftId));
  const planned = (publishedPlan(db)?.rounds ?? []).filter(
    (round) => round.day >= addDays(today, -1) && round.day <= today && !ids.has(round.shiftId),
  );
  return [...running, ...planned].sort((a, b) => a.startAt - b.startAt);
}

const roundLabel = ({ day, driverId, vanId }: StoredRound, names: Names): string =>
  `${dayShort(day)}, ${names.of('driver', driverId)}, ${names.of('van', vanId)}`;

/** Neither collected nor missed yet. */
function stopOptions(db: Db, rounds: readonly StoredRound[], names: Names): Option[] {
  const stops = rounds.flatMap((round) => round.stops.map((stop) => ({ round, stop })));
  const done = stopOutcomes(
    db,
    stops.map(({ stop }) => stop.id),
  );
  return stops
    .filter(({ stop }) => stop.siteId !== undefined && !done.has(stop.id))
    .map(({ round, stop }) => ({
      value: stop.id,
      label: `${names.of('site', stop.siteId!)}, ${dayShort(round.day)} ${time(stop.startAt, names.zone)} (${names.of('driver', round.driverId)})`,
    }));
}
