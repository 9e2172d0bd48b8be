/** Drivers who change places with a plan do so in the register when it is published. */
import type { Wishes } from '../core/planning/changes.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { getShift, listShiftsBetween, type Shift, saveShift } from '../store/shifts.ts';

/**
 * Shifts that were given to somebody else since, or whose new driver has another one at that time by now; nothing is
 * written where there are any.
 */
export function giveShifts(tx: Tx, at: Instant, wishes: Wishes, actor: string): readonly string[] {
  const given = new Map<string, Shift>();
  const taken: string[] = [];
  for (const { shiftId, driverId, insteadOfId } of wishes.drivers) {
    const shift = getShift(tx, shiftId);
    if (!shift || shift.cancelledAt !== null || shift.driverId === driverId) continue;
    if (shift.driverId === insteadOfId) given.set(shiftId, { ...shift, driverId });
    else taken.push(shiftId);
  }
  const clashes = [...given.values()].filter((shift) =>
    listShiftsBetween(tx, shift.day, shift.day)
      .map((other) => given.get(other.id) ?? other)
      .some((other) => isInTheWay(other, shift)),
  );
  if (taken.length + clashes.length > 0) return [...taken, ...clashes.map(({ id }) => id)];
  for (const shift of given.values()) {
    const { driverId: fromDriverId } = getShift(tx, shift.id)!;
    saveShift(tx, shift);
    appendEntry(tx, {
      at,
      kind: 'driver-changed',
      subject: `driver:${shift.driverId}`,
      actor,
      facts: { shiftId: shift.id, day: shift.day, fromDriverId },
    });
  }
  return [];
}

const isInTheWay = (other: Shift, shift: Shift): boolean =>
  other.id !== shift.id &&
  other.driverId === shift.driverId &&
  other.startsMinute < shift.endsMinute &&
  shift.startsMinute < other.endsMinute;
