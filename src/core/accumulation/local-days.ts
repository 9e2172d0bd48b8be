/**
 * Local days of a zone as day numbers (0 is 1970-01-01), with the instants at which they start. Days may have
 * 23 or 25 hours. The starts are found once per zone and kept: a site has hundreds, a workshop one zone.
 */
import type { Instant, LocalDay } from '../quantity/units.ts';

const DAY_S = 86_400;
const EPOCH_DAY = new Temporal.PlainDate(1970, 1, 1);

export type ZoneDays = {
  /** Instant at which a day starts. */
  startAt(dayNumber: number): Instant;
  /** The day that an instant falls in. */
  dayNumberAt(at: Instant): number;
};

const zones = new Map<string, ZoneDays>();

export function zoneDays(zone: string): ZoneDays {
  const known = zones.get(zone);
  if (known) return known;
  const made = makeZoneDays(zone);
  zones.set(zone, made);
  return made;
}

/** Day number of `YYYY-MM-DD`: plain calendar arithmetic, no zone in it. */
export function dayNumberOf(day: LocalDay): number {
  const ms = Date.UTC(Number(day.slice(0, 4)), Number(day.slice(5, 7)) - 1, Number(day.slice(8, 10)));
  if (!/^\d{4}-\d\d-\d\d$/.test(day) || Number.isNaN(ms))
    throw new RangeError(`a local day is written YYYY-MM-DD, got "${day}"`);
  return ms / (DAY_S * 1000);
}

export function localDayOf(dayNumber: number): LocalDay {
  return new Date(dayNumber * DAY_S * 1000).toISOString().slice(0, 10);
}

/** 0 is Monday. 1970-01-01 was a Thursday. */
export const weekdayOf = (dayNumber: number): number => (((dayNumber + 3) % 7) + 7) % 7;

/** 0 is January. */
export const monthOf = (dayNumber: number): number => new Date(dayNumber * DAY_S * 1000).getUTCMonth();

function makeZoneDays(zone: string): ZoneDays {
  const starts = new Map<number, number>();
  const startAt = (dayNumber: number): number => {
    const known = starts.get(dayNumber);
    if (known !== undefined) return known;
    const at = EPOCH_DAY.add({ days: dayNumber }).toZonedDateTime(zone).epochMilliseconds / 1000;
    starts.set(dayNumber, at);
    return at;
  };
  const dayNumberAt = (at: number): number => {
    if (!Number.isFinite(at)) throw new RangeError(`an instant is a finite number of seconds, got ${at}`);
    let n = Math.floor(at / DAY_S);
    while (startAt(n) > at) n--;
    while (startAt(n + 1) <= at) n++;
    return n;
  };
  return { startAt, dayNumberAt };
}
