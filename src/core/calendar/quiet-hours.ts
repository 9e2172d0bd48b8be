/** Hours of the local day in which nobody is disturbed; they may go over midnight. */
import type { Instant, LocalDay } from '../quantity/units.ts';
import { addDays, instantOf, localOf } from './zone.ts';

/** Minutes on the local clock; equal ones mean no quiet hours. `fromMinute` is quiet, `untilMinute` is not. */
export type QuietHours = { readonly fromMinute: number; readonly untilMinute: number };

/** `at` itself outside the quiet hours, else the instant at which they end. */
export function afterQuiet(zone: string, at: Instant, { fromMinute, untilMinute }: QuietHours): Instant {
  if (fromMinute === untilMinute) return at;
  const { day, minute } = localOf(zone, at);
  const isOverMidnight = fromMinute > untilMinute;
  const isQuiet = isOverMidnight
    ? minute >= fromMinute || minute < untilMinute
    : minute >= fromMinute && minute < untilMinute;
  if (!isQuiet) return at;
  const endsOn: LocalDay = isOverMidnight && minute >= fromMinute ? addDays(day, 1) : day;
  // On a day when the clock jumps back the end may come twice: the later instant is never before `at`.
  return Math.max(at, instantOf(zone, endsOn, untilMinute));
}

/** The next time that the local clock shows `minute`, after `at`. */
export function nextClock(zone: string, at: Instant, minute: number): Instant {
  const { day } = localOf(zone, at);
  for (const on of [day, addDays(day, 1)]) {
    const then = instantOf(zone, on, minute);
    if (then > at) return then;
  }
  return instantOf(zone, addDays(day, 2), minute);
}
