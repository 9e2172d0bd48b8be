/**
 * Quantities as people read them, in each language: always with a unit, joined by a no-break space so that "34 kg"
 * never falls apart at the end of a line. Intl alone, so that a phone's browser can say it as well as the server.
 */
import type { Instant, Kg, Litres, LocalDay, Metres, Micros, Seconds } from '../../core/quantity/units.ts';
import type { Language } from './language.ts';

export const NBSP = '\u00a0';
const MINUS = '\u2212';

/** What Intl does not know, or says otherwise than we do. */
type Manner = {
  readonly tag: string;
  readonly days: readonly [one: string, many: string];
  readonly under: string;
  readonly over: string;
  readonly justNow: string;
};
const MANNERS: { readonly [language in Language]: Manner } = {
  en: { tag: 'en-GB', days: ['day', 'days'], under: 'under', over: 'over', justNow: 'just now' },
  de: { tag: 'de', days: ['Tag', 'Tage'], under: 'unter', over: 'über', justNow: 'gerade eben' },
};

const withUnit = (text: string, unit: string): string => `${text}${NBSP}${unit}`;
const decimals = (value: Kg): 0 | 1 => (Math.abs(value) < 9.95 && Math.abs(value) >= 0.05 ? 1 : 0);

/** Parts of the wall clock of a zone, whatever the language. */
const clocks = new Map<string, Intl.DateTimeFormat>();
function clockOf(zone: string): Intl.DateTimeFormat {
  const known = clocks.get(zone);
  if (known) return known;
  const made = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
  });
  clocks.set(zone, made);
  return made;
}
function wallParts(at: Instant, zone: string): { readonly [type: string]: string } {
  const parts = clockOf(zone).formatToParts(Math.round(at * 1000));
  return Object.fromEntries(parts.map(({ type, value }) => [type, value]));
}

export const localDay = (at: Instant, zone: string): LocalDay => {
  const { year = '', month = '', day = '' } = wallParts(at, zone);
  return `${year.padStart(4, '0')}-${month}-${day}`;
};
/** "09:05", the same in both languages. */
export const time = (at: Instant, zone: string): string => {
  const { hour, minute } = wallParts(at, zone);
  return `${hour}:${minute}`;
};
/** "09:05–09:40". */
export const timeSpan = (fromAt: Instant, untilAt: Instant, zone: string): string =>
  `${time(fromAt, zone)}\u2013${time(untilAt, zone)}`;
/** For `<time datetime>`: RFC 3339 in UTC. */
export const machineTime = (at: Instant): string =>
  new Date(Math.round(at * 1000)).toISOString().replace(/\.\d+Z$/, 'Z');

/** Ordinary spaces, for terminals and files. */
export const plainSpaces = (text: string): string => text.replaceAll(NBSP, ' ').replaceAll('\u2060', '');

const cache = new Map<Language, Formats>();
export function formatsIn(language: Language): Formats {
  const known = cache.get(language) ?? makeFormats(MANNERS[language]);
  cache.set(language, known);
  return known;
}
export type Formats = ReturnType<typeof makeFormats>;

function makeFormats({ tag, days: dayWords, under, over, justNow }: Manner) {
  const counts = [0, 1, 2].map(
    (digits) => new Intl.NumberFormat(tag, { minimumFractionDigits: digits, maximumFractionDigits: digits }),
  );
  const relative = new Intl.RelativeTimeFormat(tag, { numeric: 'always' });
  const and = new Intl.ListFormat(tag, { type: 'conjunction' });
  const or = new Intl.ListFormat(tag, { type: 'disjunction' });

  /** A number with thousands separators and a true minus sign; never "−0". */
  const number = (value: number, digits: 0 | 1 | 2 = 0): string => {
    const text = counts[digits]!.format(Math.abs(value));
    const isZero = !/[1-9]/.test(text);
    return value < 0 && !isZero ? MINUS + text : text;
  };
  const dayFormat = (options: Intl.DateTimeFormatOptions) => {
    const made = new Intl.DateTimeFormat(tag, { ...options, timeZone: 'UTC' });
    // English has a comma or none, as the version of ICU pleases.
    return (day: LocalDay): string => {
      const text = made.format(new Date(`${day}T00:00:00Z`));
      return tag === 'en-GB' ? text.replace(',', '') : text;
    };
  };
  const dayShort = dayFormat({ weekday: 'short', day: 'numeric', month: 'short' });

  return {
    number,
    /** One decimal below 10 kg, whole above: film is light, and a sack is about 4 kg. */
    kg: (value: Kg): string => withUnit(number(value, decimals(value)), 'kg'),
    /** "20–34 kg". */
    kgRange: (low: Kg, high: Kg): string =>
      withUnit(`${number(low, high < 9.95 ? 1 : 0)}\u2013${number(high, high < 9.95 ? 1 : 0)}`, 'kg'),
    litres: (value: Litres): string => withUnit(number(value), 'L'),
    km: (metres: Metres): string => withUnit(number(metres / 1000, Math.abs(metres) < 9950 ? 1 : 0), 'km'),
    /** "45 min", "2 h 05 min". */
    duration(seconds: Seconds): string {
      const minutes = Math.round(Math.abs(seconds) / 60);
      const sign = seconds < 0 && minutes > 0 ? MINUS : '';
      if (minutes < 60) return `${sign}${minutes}${NBSP}min`;
      return `${sign}${Math.floor(minutes / 60)}${NBSP}h${NBSP}${String(minutes % 60).padStart(2, '0')}${NBSP}min`;
    },
    /** A chance or a share. Never 0 % or 100 % for what is only nearly so. */
    percent(share: number): string {
      if (share > 0 && share < 0.01) return `${under}${NBSP}1${NBSP}%`;
      if (share < 1 && share > 0.99) return `${over}${NBSP}99${NBSP}%`;
      return withUnit(number(100 * share), '%');
    },
    /** "3.2 days". */
    days: (value: number): string => withUnit(number(value, 1), dayWords[Math.abs(value - 1) < 0.05 ? 0 : 1]),
    /** In the workshop's currency (ISO 4217), to the cent below 100 and whole above. */
    money(micros: Micros, currency: string): string {
      const units = Math.abs(micros) / 1e6;
      const digits = units < 99.995 ? 2 : 0;
      const text = new Intl.NumberFormat(tag, {
        style: 'currency',
        currency,
        minimumFractionDigits: digits,
        maximumFractionDigits: digits,
      }).format(units);
      return micros < 0 && /[1-9]/.test(text) ? MINUS + text : text;
    },
    /** "Mon". */
    weekday: dayFormat({ weekday: 'short' }),
    /** "Monday". */
    weekdayLong: dayFormat({ weekday: 'long' }),
    /** "Mon 24 Nov". */
    dayShort,
    /** "Monday 24 November". */
    dayLong: dayFormat({ weekday: 'long', day: 'numeric', month: 'long' }),
    /** "24 November 2026". */
    dayYear: dayFormat({ day: 'numeric', month: 'long', year: 'numeric' }),
    /** "24 Nov 2026". */
    dayYearShort: dayFormat({ day: 'numeric', month: 'short', year: 'numeric' }),
    /** "November 2026", of any day in it. */
    monthYear: dayFormat({ month: 'long', year: 'numeric' }),
    /** "Nov", of any day in it. */
    monthShort: dayFormat({ month: 'short' }),
    /** "Mon 24 Nov, 09:05". */
    dateTime: (at: Instant, zone: string): string => `${dayShort(localDay(at, zone))}, ${time(at, zone)}`,
    /** "3 hours ago", "in 2 days", "just now". */
    ago(at: Instant, nowAt: Instant): string {
      const deltaS = nowAt - at;
      const size = Math.abs(deltaS);
      if (size < 60) return justNow;
      const [amount, unit] =
        size < 5400
          ? ([Math.round(size / 60), 'minute'] as const)
          : size < 129_600
            ? ([Math.round(size / 3600), 'hour'] as const)
            : ([Math.round(size / 86_400), 'day'] as const);
      return relative.format(deltaS > 0 ? -amount : amount, unit).replace(/(\d) /, `$1${NBSP}`);
    },
    /** "a, b and c". */
    list: (items: readonly string[]): string => and.format(items),
    /** "a, b or c". */
    either: (items: readonly string[]): string => or.format(items),
  };
}
