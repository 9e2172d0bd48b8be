/** The days of a simulated year: numbered from a Monday, in UTC, so that nothing hangs on a zone. */
import type { Instant, LocalDay } from '../quantity/units.ts';

const DAY_S = 86_400;
/** A Monday. */
export const STARTS_AT: Instant = Date.UTC(2026, 0, 5) / 1000;
export const dayAt = (day: number, hour: number): Instant =>
  STARTS_AT + day * DAY_S + Math.round(hour * 3600);
export const dayName = (day: number): LocalDay => new Date(dayAt(day, 0) * 1000).toISOString().slice(0, 10);
