/**
 * A weigh-in and what it means for the store, in one transaction: the one place where film that was picked up
 * becomes stock, so that mass is conserved from weigh-in to ledger.
 */
import { capacityLOn } from '../core/accumulation/site-history.ts';
import { addDays, dayStart, localOf } from '../core/calendar/zone.ts';
import { shareOut } from '../core/quantity/share-out.ts';
import type { Instant, Kg } from '../core/quantity/units.ts';
import { GRADES, type Grade } from '../core/vocabulary.ts';
import { type Booking, setBookingState } from '../store/bookings.ts';
import type { Tx } from '../store/db.ts';
import type { GradeShares, Site } from '../store/sites.ts';
import { movementsOfWeighIn, moveStock } from '../store/stock.ts';
import { asKept, correctWeighIn, recordWeighIn, type WeighIn } from '../store/weigh-ins.ts';
import type { GradePrice, Workshop } from '../store/workshop.ts';

export type BookingDeps = { readonly newId: () => string };
export type Register = {
  readonly workshop: Workshop;
  readonly site: Site;
  readonly grades: readonly GradePrice[];
};

/** Records a new weigh-in and moves its film into stock. */
export function bookWeighIn(tx: Tx, deps: BookingDeps, register: Register, weighIn: WeighIn): void {
  const kept = asKept(weighIn);
  recordWeighIn(tx, kept);
  moveIn(tx, deps, register, kept);
}

/**
 * A pickup inside a booking's window is what was asked for; so is one that came late on the window's last day.
 *
 * @param open bookings of the weigh-in's site that are waiting or confirmed
 */
export function closeBookings(tx: Tx, zone: string, open: readonly Booking[], at: Instant): void {
  for (const { id, fromAt, untilAt } of open) {
    const lastDay = localOf(zone, untilAt - 1).day;
    if (fromAt <= at && at < dayStart(zone, addDays(lastDay, 1))) setBookingState(tx, id, 'done');
  }
}

/** Records a correction: what the replaced weigh-in moved is taken back, exactly, and the new one moves in. */
export function bookCorrection(
  tx: Tx,
  deps: BookingDeps,
  register: Register,
  previous: WeighIn,
  next: Omit<WeighIn, 'key' | 'replacesId'>,
): WeighIn {
  const corrected = correctWeighIn(tx, previous, asKept(next));
  for (const movement of movementsOfWeighIn(tx, previous.id))
    moveStock(tx, {
      ...movement,
      id: deps.newId(),
      // The ledger's sign rules fit what moves in; taking back has the opposite sign.
      kind: movement.kind === 'rejected' ? 'correction' : movement.kind,
      kg: -movement.kg,
      // On the replaced weigh-in, which then sums to nothing: the next correction must not reverse this too.
      weighInId: previous.id,
      note: 'corrected weigh-in taken back',
    });
  moveIn(tx, deps, register, corrected);
  return corrected;
}

function moveIn(tx: Tx, { newId }: BookingDeps, register: Register, weighIn: WeighIn): void {
  const { workshop } = register;
  const day = localOf(workshop.zone, weighIn.at).day;
  const { kg, note } = bookedMass(register, weighIn);
  const split = splitOf(register, weighIn);
  const collectedG = splitGrams(Math.round(kg * 1000), split);
  const rejectedG = splitGrams(Math.min(Math.round(weighIn.rejectedKg * 1000), Math.round(kg * 1000)), split);
  const common = { key: null, at: weighIn.at, day, weighInId: weighIn.id, productId: null };
  for (const [grade, g] of collectedG)
    if (g > 0) moveStock(tx, { ...common, id: newId(), grade, kind: 'collected', kg: g / 1000, note });
  for (const [grade, g] of rejectedG)
    if (g > 0)
      moveStock(tx, {
        ...common,
        id: newId(),
        grade,
        kind: 'rejected',
        kg: -g / 1000,
        note: weighIn.rejectReason ?? '',
      });
}

/** Net mass where it was weighed; otherwise the best that can be said, marked as an estimate. */
export function bookedMass({ workshop, site }: Register, weighIn: WeighIn): { kg: Kg; note: string } {
  if (weighIn.netKg !== null) return { kg: weighIn.netKg, note: '' };
  if (weighIn.bags !== null)
    return { kg: weighIn.bags * (site.bagKg ?? workshop.bagKg), note: 'estimated from bags' };
  const day = localOf(workshop.zone, weighIn.at).day;
  const litres = capacityLOn(
    {
      containers: site.containers.map(({ count, litresEach, fromDay, untilDay }) => ({
        count,
        litresEach,
        ...(fromDay === null ? {} : { fromDay }),
        ...(untilDay === null ? {} : { untilDay }),
      })),
    },
    day,
  );
  return { kg: (litres * workshop.filmKgPerM3) / 1000, note: 'estimated: found full, not weighed' };
}

/** Sorted masses if somebody sorted, else the site's expected split, else all of it the least sorted grade. */
function splitOf({ site, grades }: Register, weighIn: WeighIn): GradeShares {
  const sorted = Object.entries(weighIn.gradesKg).filter(([, kg]) => kg > 0);
  if (sorted.length > 0) return Object.fromEntries(sorted) as GradeShares;
  if (Object.keys(site.gradeShares).length > 0) return site.gradeShares;
  const last = grades.at(-1)?.grade;
  if (last === undefined) throw new Error('the workshop has no grade to book film under');
  return { [last]: 1 };
}

/** Whole grams in proportion, summing exactly to `totalG`. */
export function splitGrams(totalG: number, shares: GradeShares): Map<Grade, number> {
  const kept = GRADES.filter((grade) => (shares[grade] ?? 0) > 0);
  const split = shareOut(
    totalG,
    kept.map((grade) => shares[grade]!),
  );
  return new Map(kept.map((grade, i) => [grade, split[i]!]));
}
