/**
 * Local days and times of day in an IANA zone, and the instants they name.
 *
 * RFC 5545 section 3.3.5 decides the two awkward hours of a year: a local time that happens twice means the
 * first, and one that is skipped is read with the offset before the gap (so 02:30 becomes 03:30).
 *
 * The planner asks tens of thousands of times, so a zone's offsets are kept as spans and everything else is
 * whole-number arithmetic; Temporal is asked once per span (about twice a year of calendar).
 */
import type { Instant, LocalDay } from '../quantity/units.ts';

export const MINUTES_PER_DAY = 1440;
const DAY_S = 86_400;
const DAY_FORM = /^\d{4}-\d{2}-\d{2}$/;
const LOCAL_FORM = /^(\d{4}-\d{2}-\d{2})T([01]\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?$/;
const OFFSET_FORM = /(?:Z|[+-]\d{2}:?\d{2})$/i;

/** A whole local minute: `minute` counts on the clock from 0 to 1439, also on a day of 23 or 25 hours. */
export type LocalTime = { readonly day: LocalDay; readonly minute: number };

/** True for a real calendar day, `YYYY-MM-DD` (2026-02-30 is none). */
export const isDay = (text: string): boolean =>
  DAY_FORM.test(text) && !Number.isNaN(epochDay(text)) && dayOf(epochDay(text)) === text;

/** True for a zone of the IANA database, such as Europe/Vienna; a bare offset is none. */
export function isZone(text: string): boolean {
  if (!/^[A-Za-z]/.test(text)) return false;
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(text);
    return true;
  } catch {
    return false;
  }
}

export const addDays = (day: LocalDay, days: number): LocalDay => dayOf(epochDay(day) + days);

/** Days from `from` to `until`; negative when `until` comes first. */
export const daysBetween = (from: LocalDay, until: LocalDay): number => epochDay(until) - epochDay(from);

/** `from` and the days after it, `count` in all. */
export const daysFrom = (from: LocalDay, count: number): LocalDay[] =>
  Array.from({ length: count }, (_, i) => addDays(from, i));

/** ISO 8601: 1 is Monday, 7 is Sunday. */
export const isoWeekday = (day: LocalDay): number => ((((epochDay(day) + 3) % 7) + 7) % 7) + 1;

/**
 * The instant of a minute on the clock of a local day. `minuteOfDay` may lie outside 0 to 1440 (1440 is the
 * next midnight); it then counts on the clock of the neighbouring day.
 */
export function instantOf(zone: string, day: LocalDay, minuteOfDay: number): Instant {
  return instantOfWall(zone, epochDay(day) * DAY_S + minuteOfDay * 60);
}

/** First instant of a local day: midnight, or 01:00 where the gap of summer time swallows midnight. */
export const dayStart = (zone: string, day: LocalDay): Instant => instantOf(zone, day, 0);

/** What the clock and the calendar on the wall show; seconds are cut off. */
export function localOf(zone: string, at: Instant): LocalTime {
  const wallS = at + spanAt(zone, at).offsetS;
  const day = Math.floor(wallS / DAY_S);
  return { day: dayOf(day), minute: Math.floor((wallS - day * DAY_S) / 60) };
}

/** `YYYY-MM-DDTHH:MM` on the wall. */
export function localText(zone: string, at: Instant): string {
  const { day, minute } = localOf(zone, at);
  return `${day}T${clock(minute)}`;
}

/** `HH:MM` of a minute of the day; 1440 is `24:00`. */
export const clock = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;

/** Minute of the day of `HH:MM` (`24:00` is 1440), or undefined. */
export function minuteOf(text: string): number | undefined {
  const found = /^([01]?\d|2[0-4]):([0-5]\d)$/.exec(text);
  if (!found) return undefined;
  const minute = Number(found[1]) * 60 + Number(found[2]);
  return minute <= MINUTES_PER_DAY ? minute : undefined;
}

/**
 * Reads `YYYY-MM-DDTHH:MM[:SS]` as local time in the zone, or any ISO 8601 text with `Z` or an offset as it
 * stands. Undefined when it is neither. Fractions of a second are cut off.
 */
export function readInstant(zone: string, text: string): Instant | undefined {
  const local = LOCAL_FORM.exec(text);
  if (local) {
    const [, day = '', hour, minute, second] = local;
    if (!isDay(day)) return undefined;
    const wallS = epochDay(day) * DAY_S + Number(hour) * 3600 + Number(minute) * 60 + Number(second ?? 0);
    return instantOfWall(zone, wallS);
  }
  if (!OFFSET_FORM.test(text)) return undefined;
  try {
    return Math.floor(Temporal.Instant.from(text).epochMilliseconds / 1000);
  } catch {
    return undefined;
  }
}

// ---- days as whole numbers -----------------------------------------------------------------------------

const epochDay = (day: LocalDay): number => Date.parse(`${day}T00:00:00Z`) / (DAY_S * 1000);

const dayTexts = new Map<number, LocalDay>();

function dayOf(epoch: number): LocalDay {
  let text = dayTexts.get(epoch);
  if (text === undefined) {
    text = new Date(epoch * DAY_S * 1000).toISOString().slice(0, 10);
    if (dayTexts.size > 20_000) dayTexts.clear();
    dayTexts.set(epoch, text);
  }
  return text;
}

// ---- a zone's offsets ----------------------------------------------------------------------------------

/** A stretch with one offset from UTC: [fromAt, untilAt). */
type Span = { readonly fromAt: Instant; readonly untilAt: Instant; readonly offsetS: number };

/** Most recently used first, so that the usual answer is the first look. */
const spansByZone = new Map<string, Span[]>();
const MAX_SPANS = 64;

function spanAt(zone: string, at: Instant): Span {
  let spans = spansByZone.get(zone);
  if (!spans) {
    spans = [];
    spansByZone.set(zone, spans);
  }
  for (let i = 0; i < spans.length; i++) {
    const span = spans[i]!;
    if (at < span.fromAt || at >= span.untilAt) continue;
    if (i > 0) {
      spans.splice(i, 1);
      spans.unshift(span);
    }
    return span;
  }
  const span = askSpan(zone, at);
  spans.unshift(span);
  if (spans.length > MAX_SPANS) spans.pop();
  return span;
}

function askSpan(zone: string, at: Instant): Span {
  const zoned = Temporal.Instant.fromEpochMilliseconds(Math.floor(at * 1000)).toZonedDateTimeISO(zone);
  const next = zoned.getTimeZoneTransition('next');
  // `previous` looks strictly before, so step one millisecond on in case `at` is a transition itself.
  const previous = zoned.add({ milliseconds: 1 }).getTimeZoneTransition('previous');
  return {
    fromAt: previous ? previous.epochMilliseconds / 1000 : Number.NEGATIVE_INFINITY,
    untilAt: next ? next.epochMilliseconds / 1000 : Number.POSITIVE_INFINITY,
    offsetS: zoned.offsetNanoseconds / 1e9,
  };
}

/** `wallS` is what the wall shows, counted as if it were UTC. No two transitions of a zone lie within a day. */
function instantOfWall(zone: string, wallS: number): Instant {
  const beforeS = spanAt(zone, wallS - DAY_S).offsetS;
  const afterS = spanAt(zone, wallS + DAY_S).offsetS;
  const first = wallS - beforeS;
  if (beforeS === afterS || spanAt(zone, first).offsetS === beforeS) return first; // also the repeated hour
  const second = wallS - afterS;
  return spanAt(zone, second).offsetS === afterS ? second : first; // neither: the skipped hour
}
