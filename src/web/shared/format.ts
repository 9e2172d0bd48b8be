/**
 * Quantities as people read them: always with a unit, joined by a no-break space so that "34 kg" never falls
 * apart at the end of a line. `plainSpaces` undoes that for a terminal.
 */
import type { Instant, Kg, Litres, LocalDay, Metres, Micros, Seconds } from '../../core/quantity/units.ts';

const LOCALE = 'en-GB';
export const NBSP = '\u00a0';
const MINUS = '\u2212';

const counts = [0, 1, 2].map(
  (digits) => new Intl.NumberFormat(LOCALE, { minimumFractionDigits: digits, maximumFractionDigits: digits }),
);

/** A number with thousands separators and a true minus sign; never "−0". */
export function number(value: number, digits: 0 | 1 | 2 = 0): string {
  const text = counts[digits]!.format(Math.abs(value));
  const isZero = !/[1-9]/.test(text);
  return value < 0 && !isZero ? MINUS + text : text;
}

const withUnit = (text: string, unit: string): string => `${text}${NBSP}${unit}`;

/** One decimal below 10 kg, whole above: film is light, and a sack is about 4 kg. */
export const kg = (value: Kg): string => withUnit(number(value, decimals(value)), 'kg');
const decimals = (value: Kg): 0 | 1 => (Math.abs(value) < 9.95 && Math.abs(value) >= 0.05 ? 1 : 0);
export const litres = (value: Litres): string => withUnit(number(value), 'L');
export const km = (metres: Metres): string =>
  withUnit(number(metres / 1000, Math.abs(metres) < 9950 ? 1 : 0), 'km');

/** "45 min", "2 h 05 min". */
export function duration(seconds: Seconds): string {
  const minutes = Math.round(Math.abs(seconds) / 60);
  const sign = seconds < 0 && minutes > 0 ? MINUS : '';
  if (minutes < 60) return `${sign}${minutes}${NBSP}min`;
  return `${sign}${Math.floor(minutes / 60)}${NBSP}h${NBSP}${String(minutes % 60).padStart(2, '0')}${NBSP}min`;
}

/** A chance or a share. Never 0 % or 100 % for what is only nearly so. */
export function percent(share: number): string {
  if (share > 0 && share < 0.01) return `under${NBSP}1${NBSP}%`;
  if (share < 1 && share > 0.99) return `over${NBSP}99${NBSP}%`;
  return withUnit(number(100 * share), '%');
}

/** "20–34 kg". */
export const kgRange = (low: Kg, high: Kg): string =>
  withUnit(`${number(low, high < 9.95 ? 1 : 0)}\u2013${number(high, high < 9.95 ? 1 : 0)}`, 'kg');

/** "3.2 days". */
export const days = (value: number): string =>
  withUnit(number(value, 1), Math.abs(value - 1) < 0.05 ? 'day' : 'days');

/** In the workshop's currency (ISO 4217), to the cent below 100 and whole above. */
export function money(micros: Micros, currency: string): string {
  const units = Math.abs(micros) / 1e6;
  const digits = units < 99.995 ? 2 : 0;
  const text = new Intl.NumberFormat(LOCALE, {
    style: 'currency',
    currency,
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
  }).format(units);
  return micros < 0 && /[1-9]/.test(text) ? MINUS + text : text;
}

// ---- time, always in the workshop's zone ----------------------------------------------------------------

const zoned = (at: Instant, zone: string) =>
  Temporal.Instant.fromEpochMilliseconds(Math.round(at * 1000)).toZonedDateTimeISO(zone);

/** "09:05". */
export const time = (at: Instant, zone: string): string =>
  zoned(at, zone).toPlainTime().toString({ smallestUnit: 'minute' });

/** "09:05–09:40". */
export const timeSpan = (fromAt: Instant, untilAt: Instant, zone: string): string =>
  `${time(fromAt, zone)}\u2013${time(untilAt, zone)}`;

export const localDay = (at: Instant, zone: string): LocalDay => zoned(at, zone).toPlainDate().toString();

const dayText = (day: LocalDay, options: Intl.DateTimeFormatOptions): string =>
  Temporal.PlainDate.from(day).toLocaleString(LOCALE, options).replace(',', '');

/** "Mon". */
export const weekday = (day: LocalDay): string => dayText(day, { weekday: 'short' });
/** "Monday". */
export const weekdayLong = (day: LocalDay): string => dayText(day, { weekday: 'long' });
/** "Mon 24 Nov". */
export const dayShort = (day: LocalDay): string =>
  dayText(day, { weekday: 'short', day: 'numeric', month: 'short' });
/** "Monday 24 November". */
export const dayLong = (day: LocalDay): string =>
  dayText(day, { weekday: 'long', day: 'numeric', month: 'long' });
/** "24 November 2026". */
export const dayYear = (day: LocalDay): string =>
  dayText(day, { day: 'numeric', month: 'long', year: 'numeric' });
/** "24 Nov 2026". */
export const dayYearShort = (day: LocalDay): string =>
  dayText(day, { day: 'numeric', month: 'short', year: 'numeric' });

/** "Mon 24 Nov, 09:05". */
export const dateTime = (at: Instant, zone: string): string =>
  `${dayShort(localDay(at, zone))}, ${time(at, zone)}`;

/** For `<time datetime>`: RFC 3339 in UTC. */
export const machineTime = (at: Instant): string =>
  Temporal.Instant.fromEpochMilliseconds(Math.round(at * 1000)).toString({ smallestUnit: 'second' });

/** "3 hours ago", "in 2 days", "just now". */
export function ago(at: Instant, nowAt: Instant): string {
  const deltaS = nowAt - at;
  const size = Math.abs(deltaS);
  if (size < 60) return 'just now';
  const [amount, unit] =
    size < 5400
      ? [Math.round(size / 60), 'minute']
      : size < 129_600
        ? [Math.round(size / 3600), 'hour']
        : [Math.round(size / 86_400), 'day'];
  const words = `${amount}${NBSP}${unit}${amount === 1 ? '' : 's'}`;
  return deltaS > 0 ? `${words} ago` : `in ${words}`;
}

/** Ordinary spaces, for terminals and files. */
export const plainSpaces = (text: string): string => text.replaceAll(NBSP, ' ').replaceAll('\u2060', '');
