/**
 * Days as columns of equal width, whatever the clocks do: a day of 23 or 25 hours is as wide as any other. All
 * positions are shares of the sheet's width in per cent, so that one drawing fits a wall and a phone.
 */
import type { Instant, LocalDay } from '../../core/quantity/units.ts';

export type DayColumn = { readonly day: LocalDay; readonly startsAt: Instant; readonly endsAt: Instant };

/** 0 at the start of the first day, 100 at the end of the last; clamped at both ends. */
export function dayScale(days: readonly DayColumn[]): (at: Instant) => number {
  return (at) => {
    const index = days.findIndex((day) => at < day.endsAt);
    if (index < 0) return 100;
    const { startsAt, endsAt } = days[index]!;
    const within = Math.max(0, (at - startsAt) / (endsAt - startsAt));
    return (100 * (index + within)) / days.length;
  };
}

export const isWithin = (days: readonly DayColumn[], at: Instant): boolean =>
  days.length > 0 && at >= days[0]!.startsAt && at < days.at(-1)!.endsAt;

/** Two decimals are a hundredth of a per cent of the width: far below a pixel. */
export const at2 = (value: number): number => Math.round(value * 100) / 100;
