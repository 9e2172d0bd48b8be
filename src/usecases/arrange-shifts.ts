/** Who drives which van when: shifts are arranged for one day or many, and changed. */
import { shiftSpan } from '../core/calendar/shift.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { LocalDay } from '../core/quantity/units.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { getDriver } from '../store/drivers.ts';
import { appendEntry } from '../store/journal.ts';
import { cancelShift, getShift, listShiftsBetween, type Shift, saveShift } from '../store/shifts.ts';
import { getVan } from '../store/vans.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { Context } from './context.ts';
import { runningRounds } from './running-rounds.ts';

/** Minutes on the clock of the shift's day, 0 to 1440; what goes over midnight is two shifts. */
export type ShiftFacts = {
  readonly vanId: string;
  readonly driverId: string;
  readonly startsMinute: number;
  readonly endsMinute: number;
};

export type ArrangeRefusal =
  | {
      readonly kind:
        | 'van-not-found'
        | 'driver-not-found'
        | 'shift-not-found'
        | 'ends-before-it-starts'
        | 'no-days'
        | 'round-on-the-road';
    }
  | { readonly kind: 'day-over'; readonly day: LocalDay }
  /** The van or the driver has another shift then. */
  | { readonly kind: 'shift-in-the-way'; readonly who: 'van' | 'driver'; readonly other: Shift };

/** All of the days or none. The same `factId` again changes nothing and answers the same. */
export function arrangeShifts(
  { store, now }: Context,
  request: ShiftFacts & {
    readonly factId: string;
    readonly days: readonly LocalDay[];
    readonly actor: string;
  },
): Result<{ readonly shiftIds: readonly string[] }, ArrangeRefusal> {
  const { factId, days, actor, ...facts } = request;
  const idOn = (day: LocalDay) => `${factId}-${day.replaceAll('-', '')}`;
  return inTransaction(store, (tx) => {
    if (days.length === 0) return refuse({ kind: 'no-days' });
    const shiftIds = days.map(idOn);
    if (shiftIds.every((id) => getShift(tx, id) !== undefined)) return ok({ shiftIds });
    const made: Shift[] = [];
    for (const day of days) {
      const shift = newShift(tx, idOn(day), day, facts, now());
      if (!shift.ok) return shift;
      made.push(shift.value);
    }
    for (const shift of made) {
      saveShift(tx, shift);
      appendEntry(tx, {
        at: now(),
        kind: 'shift-arranged',
        subject: `driver:${shift.driverId}`,
        actor,
        facts: toldOf(shift),
      });
    }
    return ok({ shiftIds });
  });
}

/**
 * Other hours stay the same shift. Another van or driver is another shift in its place, so that what was published for
 * the old one is seen to have lost its van and is mended. The same again changes nothing.
 */
export function changeShift(
  { store, now, newId }: Context,
  request: ShiftFacts & { readonly shiftId: string; readonly actor: string },
): Result<{ readonly shiftId: string }, ArrangeRefusal> {
  const { shiftId, actor, ...facts } = request;
  return inTransaction(store, (tx) => {
    const before = getShift(tx, shiftId);
    if (!before || before.cancelledAt !== null) return refuse({ kind: 'shift-not-found' });
    const at = now();
    if ([...runningRounds(tx, at).values()].some((round) => round.shiftId === shiftId))
      return refuse({ kind: 'round-on-the-road' });
    if (shiftSpan(requireWorkshop(tx).zone, before).untilAt <= at)
      return refuse({ kind: 'day-over', day: before.day });
    const isSamePair = before.vanId === facts.vanId && before.driverId === facts.driverId;
    const isSameHours = before.startsMinute === facts.startsMinute && before.endsMinute === facts.endsMinute;
    if (isSamePair && isSameHours) return ok({ shiftId });
    const next = newShift(tx, isSamePair ? shiftId : newId(), before.day, facts, at, shiftId);
    if (!next.ok) return next;
    if (!isSamePair) cancelShift(tx, shiftId, at);
    saveShift(tx, isSamePair ? { ...next.value, key: before.key } : next.value);
    appendEntry(tx, {
      at,
      kind: 'shift-changed',
      subject: `driver:${facts.driverId}`,
      actor,
      facts: { ...toldOf(next.value), insteadOfId: shiftId },
    });
    return ok({ shiftId: next.value.id });
  });
}

const toldOf = ({ id, vanId, day, startsMinute, endsMinute }: Shift) => ({
  shiftId: id,
  vanId,
  day,
  startsMinute,
  endsMinute,
});

/** @param insteadOfId the shift that it takes the place of, which is not in its way */
function newShift(
  tx: Tx,
  id: string,
  day: LocalDay,
  facts: ShiftFacts,
  nowAt: number,
  insteadOfId?: string,
): Result<Shift, ArrangeRefusal> {
  const van = getVan(tx, facts.vanId);
  if (!van) return refuse({ kind: 'van-not-found' });
  const driver = getDriver(tx, facts.driverId);
  if (!driver) return refuse({ kind: 'driver-not-found' });
  if (facts.startsMinute >= facts.endsMinute) return refuse({ kind: 'ends-before-it-starts' });
  const shift: Shift = {
    ...facts,
    id,
    key: id,
    vanKey: van.key,
    driverKey: driver.key,
    day,
    cancelledAt: null,
  };
  if (shiftSpan(requireWorkshop(tx).zone, shift).untilAt <= nowAt) return refuse({ kind: 'day-over', day });
  const other = listShiftsBetween(tx, day, day).find(
    (one) =>
      one.id !== insteadOfId &&
      (one.vanId === shift.vanId || one.driverId === shift.driverId) &&
      one.startsMinute < shift.endsMinute &&
      shift.startsMinute < one.endsMinute,
  );
  if (other)
    return refuse({
      kind: 'shift-in-the-way',
      who: other.driverId === shift.driverId ? 'driver' : 'van',
      other,
    });
  return ok(shift);
}
