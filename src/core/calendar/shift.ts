/**
 * A driver's hours on a day, and whether the breaks taken in a worked stretch satisfy the break rule.
 *
 * The rule is the workshop's own setting, held against what the driver really did; it does not replace the
 * drivers' hours rules of the place, which come first.
 */
import type { Instant, LocalDay, Seconds, TimeWindow } from '../quantity/units.ts';
import { instantOf } from './zone.ts';

export type ShiftHours = {
  readonly day: LocalDay;
  /** Minutes on the clock of that day, 0 to 1440. */
  readonly startsMinute: number;
  readonly endsMinute: number;
};

/** Across a change of summer time a shift is an hour shorter or longer than its clock times say. */
export const shiftSpan = (zone: string, hours: ShiftHours): TimeWindow => ({
  fromAt: instantOf(zone, hours.day, hours.startsMinute),
  untilAt: instantOf(zone, hours.day, hours.endsMinute),
});

/** Work from `fromAt` ran past `dueAt`, by which a long enough break had to begin; it lasted `workS`. */
export type BreakBreach = { readonly fromAt: Instant; readonly dueAt: Instant; readonly workS: Seconds };

/**
 * Every stretch of work longer than `maxWorkS` without a break of at least `breakS`. Driving, lifting and
 * waiting are all work; a break shorter than `breakS` is too. Breaks outside the span do not count.
 */
export function breakBreaches(
  rule: { readonly maxWorkS: Seconds; readonly breakS: Seconds },
  worked: TimeWindow,
  breaks: readonly TimeWindow[],
): BreakBreach[] {
  const breaches: BreakBreach[] = [];
  let fromAt = worked.fromAt;
  const closeStretch = (untilAt: Instant) => {
    const workS = untilAt - fromAt;
    if (workS > rule.maxWorkS) breaches.push({ fromAt, dueAt: fromAt + rule.maxWorkS, workS });
  };
  const inOrder = breaks
    .map((b) => ({ fromAt: Math.max(b.fromAt, worked.fromAt), untilAt: Math.min(b.untilAt, worked.untilAt) }))
    .filter((b) => b.untilAt - b.fromAt >= rule.breakS)
    .sort((a, b) => a.fromAt - b.fromAt);
  for (const rest of inOrder) {
    closeStretch(Math.max(rest.fromAt, fromAt));
    fromAt = Math.max(fromAt, rest.untilAt);
  }
  closeStretch(Math.max(worked.untilAt, fromAt));
  return breaches;
}
