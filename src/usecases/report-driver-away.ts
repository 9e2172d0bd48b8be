/** A driver cannot take a shift, or can after all. */
import { shiftSpan } from '../core/calendar/shift.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import { inTransaction, type Tx } from '../store/db.ts';
import { appendEntry } from '../store/journal.ts';
import { cancelShift, getShift, listShiftsBetween, type Shift, saveShift } from '../store/shifts.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { Context } from './context.ts';

export type ShiftRefusal =
  | { readonly kind: 'shift-not-found' }
  | { readonly kind: 'shift-over'; readonly endedAt: Instant }
  /** Its van or driver has another shift at that time by now. */
  | { readonly kind: 'shift-taken'; readonly shiftId: string };
type Answer = Result<{ readonly shiftId: string }, ShiftRefusal>;

export function reportDriverAway(
  { store, now }: Context,
  { shiftId, reason, actor }: { readonly shiftId: string; readonly reason: string; readonly actor: string },
): Answer {
  return inTransaction(store, (tx): Answer => {
    const found = stillToEnd(tx, shiftId, now());
    if (!found.ok) return found;
    const { cancelledAt, driverId, day } = found.value;
    if (cancelledAt !== null) return ok({ shiftId });
    const at = now();
    cancelShift(tx, shiftId, at);
    const subject = `driver:${driverId}`;
    appendEntry(tx, { at, kind: 'driver-away', subject, actor, facts: { shiftId, day, reason } });
    return ok({ shiftId });
  });
}

export function reportDriverBack(
  { store, now }: Context,
  { shiftId, actor }: { readonly shiftId: string; readonly actor: string },
): Answer {
  return inTransaction(store, (tx): Answer => {
    const found = stillToEnd(tx, shiftId, now());
    if (!found.ok) return found;
    const shift = found.value;
    if (shift.cancelledAt === null) return ok({ shiftId });
    const other = listShiftsBetween(tx, shift.day, shift.day).find((one) => isInTheWay(one, shift));
    if (other) return refuse({ kind: 'shift-taken', shiftId: other.id });
    saveShift(tx, { ...shift, cancelledAt: null });
    const { driverId, day } = shift;
    const told = { at: now(), kind: 'driver-back', subject: `driver:${driverId}`, actor } as const;
    appendEntry(tx, { ...told, facts: { shiftId, day } });
    return ok({ shiftId });
  });
}

function stillToEnd(tx: Tx, shiftId: string, nowAt: Instant): Result<Shift, ShiftRefusal> {
  const shift = getShift(tx, shiftId);
  if (!shift) return refuse({ kind: 'shift-not-found' });
  const { untilAt } = shiftSpan(requireWorkshop(tx).zone, shift);
  return untilAt <= nowAt ? refuse({ kind: 'shift-over', endedAt: untilAt }) : ok(shift);
}

const isInTheWay = (other: Shift, shift: Shift): boolean =>
  (other.vanId === shift.vanId || other.driverId === shift.driverId) &&
  other.startsMinute < shift.endsMinute &&
  shift.startsMinute < other.endsMinute;
