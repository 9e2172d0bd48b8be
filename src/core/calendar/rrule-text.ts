/**
 * Reads the text of an RFC 5545 RRULE (section 3.3.10) part by part and says exactly what is wrong with it.
 * Narrower than the standard in one way: a pickup happens at most once a day, so only DAILY, WEEKLY, MONTHLY
 * and YEARLY are taken, without BYHOUR, BYMINUTE and BYSECOND.
 */
import { type Result, refuse } from '../quantity/result.ts';
import { isDay } from './zone.ts';

export const FREQUENCIES = ['DAILY', 'WEEKLY', 'MONTHLY', 'YEARLY'] as const;
export type Frequency = (typeof FREQUENCIES)[number];

/** Monday first, so that index + 1 is the ISO weekday. */
export const WEEKDAY_CODES = ['MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU'] as const;

/** `nth` is the n-th such weekday of the month or year, from the end when negative. */
export type RuleWeekday = { readonly weekday: number; readonly nth?: number };

/** The last moment of a rule. `utc` as written with Z; otherwise read on the wall, in the workshop's zone. */
export type RuleUntil = { readonly text: string; readonly utc: boolean };

export type ParsedRrule = {
  readonly frequency: Frequency;
  readonly interval: number;
  readonly count?: number;
  /** `YYYY-MM-DDTHH:MM:SS`; a date alone means through the end of that day. */
  readonly until?: RuleUntil;
  readonly weekdays: readonly RuleWeekday[];
  readonly monthDays: readonly number[];
  readonly yearDays: readonly number[];
  readonly weekNumbers: readonly number[];
  readonly months: readonly number[];
  readonly positions: readonly number[];
  /** ISO weekday on which a week begins, for every-second-week counting. */
  readonly weekStart: number;
};

export type RruleFaultCode =
  | 'missing' // the part must be there
  | 'unknown-part'
  | 'repeated-part'
  | 'bad-form' // not NAME=VALUE
  | 'bad-value' // see `allowed`
  | 'too-often' // more than once a day
  | 'not-together' // `part` and `other` exclude each other
  | 'needs' // `part` makes no sense without `other`
  | 'never'; // the rule names no day at all

export type RruleFault = {
  readonly code: RruleFaultCode;
  readonly part: string;
  readonly value: string;
  /** Where in the text, from 0. */
  readonly offset: number;
  readonly allowed?: string;
  readonly other?: string;
};

const PARTS = ['FREQ', 'INTERVAL', 'COUNT', 'UNTIL', 'BYDAY', 'BYMONTHDAY', 'BYYEARDAY', 'BYWEEKNO', 'BYMONTH', 'BYSETPOS', 'WKST'] as const; // biome-ignore format: one line reads best
type Part = (typeof PARTS)[number];
const TOO_OFTEN = ['BYHOUR', 'BYMINUTE', 'BYSECOND'];
const MAX_DAYS_OF_MONTH = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

type Found = { readonly value: string; readonly offset: number };

export function parseRrule(text: string): Result<ParsedRrule, RruleFault> {
  const split = splitParts(text);
  if (!split.ok) return split;
  const parts = split.value;
  const refusePart = (part: Part, code: RruleFaultCode, more: { allowed?: string; other?: string } = {}) =>
    refuse<RruleFault>({
      code,
      part,
      value: parts.get(part)?.value ?? '',
      offset: parts.get(part)?.offset ?? 0,
      ...more,
    });

  const freq = parts.get('FREQ')?.value;
  if (freq === undefined) return refusePart('FREQ', 'missing', { allowed: FREQUENCIES.join(', ') });
  if (/^(HOURLY|MINUTELY|SECONDLY)$/.test(freq))
    return refusePart('FREQ', 'too-often', { allowed: FREQUENCIES.join(', ') });
  const frequency = FREQUENCIES.find((f) => f === freq);
  if (!frequency) return refusePart('FREQ', 'bad-value', { allowed: FREQUENCIES.join(', ') });

  const numbers: { [part in Part]?: number[] } = {};
  for (const [part, low, high, single] of NUMBER_PARTS) {
    const found = parts.get(part);
    if (!found) continue;
    const values = readNumbers(found.value, low, high, single);
    if (!values) return refusePart(part, 'bad-value', { allowed: allowedNumbers(low, high, single) });
    numbers[part] = values;
  }
  const weekdays = readWeekdays(parts.get('BYDAY')?.value);
  if (!weekdays)
    return refusePart('BYDAY', 'bad-value', { allowed: 'MO, TU, WE, TH, FR, SA, SU, 1MO, -1FR' });
  const wkst = parts.get('WKST')?.value ?? 'MO';
  const weekStart = (WEEKDAY_CODES as readonly string[]).indexOf(wkst) + 1;
  if (weekStart === 0) return refusePart('WKST', 'bad-value', { allowed: WEEKDAY_CODES.join(', ') });
  const untilText = parts.get('UNTIL')?.value;
  const until = untilText === undefined ? undefined : readUntil(untilText);
  if (untilText !== undefined && !until)
    return refusePart('UNTIL', 'bad-value', { allowed: '20261231T225959Z, 20261231' });

  // What RFC 5545 section 3.3.10 forbids in combination.
  const has = (part: Part) => parts.has(part);
  if (has('COUNT') && has('UNTIL')) return refusePart('UNTIL', 'not-together', { other: 'COUNT' });
  if (has('BYMONTHDAY') && frequency === 'WEEKLY')
    return refusePart('BYMONTHDAY', 'not-together', { other: 'FREQ=WEEKLY' });
  if (has('BYYEARDAY') && frequency !== 'YEARLY')
    return refusePart('BYYEARDAY', 'needs', { other: 'FREQ=YEARLY' });
  if (has('BYWEEKNO') && frequency !== 'YEARLY')
    return refusePart('BYWEEKNO', 'needs', { other: 'FREQ=YEARLY' });
  if (weekdays.some((day) => day.nth !== undefined)) {
    if (frequency === 'DAILY' || frequency === 'WEEKLY')
      return refusePart('BYDAY', 'not-together', {
        other: `FREQ=${frequency}`,
        allowed: WEEKDAY_CODES.join(', '),
      });
    if (has('BYWEEKNO')) return refusePart('BYDAY', 'not-together', { other: 'BYWEEKNO' });
  }
  if (has('BYSETPOS')) {
    if (frequency === 'DAILY') return refusePart('BYSETPOS', 'not-together', { other: 'FREQ=DAILY' });
    const others: readonly Part[] = ['BYDAY', 'BYMONTHDAY', 'BYYEARDAY', 'BYWEEKNO', 'BYMONTH'];
    if (!others.some(has)) return refusePart('BYSETPOS', 'needs', { other: 'BYDAY' });
    const smallest = Math.min(...numbers.BYSETPOS!.map(Math.abs));
    if (frequency === 'WEEKLY' && smallest > Math.max(1, weekdays.length))
      return refusePart('BYSETPOS', 'never');
  }
  const { BYMONTH: months = [], BYMONTHDAY: monthDays = [] } = numbers;
  const fits = (month: number) => monthDays.some((d) => Math.abs(d) <= MAX_DAYS_OF_MONTH[month - 1]!);
  if (months.length > 0 && monthDays.length > 0 && !months.some(fits))
    return refusePart('BYMONTHDAY', 'never');

  return {
    ok: true,
    value: {
      frequency,
      interval: numbers.INTERVAL?.[0] ?? 1,
      ...(numbers.COUNT && { count: numbers.COUNT[0]! }),
      ...(until && { until }),
      weekdays,
      monthDays,
      yearDays: numbers.BYYEARDAY ?? [],
      weekNumbers: numbers.BYWEEKNO ?? [],
      months,
      positions: numbers.BYSETPOS ?? [],
      weekStart,
    },
  };
}

/** Part, lowest, highest (negative counterparts too when lowest is negative), and whether only one may stand. */
const NUMBER_PARTS: readonly (readonly [Part, number, number, boolean])[] = [
  ['INTERVAL', 1, 9999, true],
  ['COUNT', 1, 99_999, true],
  ['BYMONTHDAY', -31, 31, false],
  ['BYYEARDAY', -366, 366, false],
  ['BYWEEKNO', -53, 53, false],
  ['BYMONTH', 1, 12, false],
  ['BYSETPOS', -366, 366, false],
];

function splitParts(text: string): Result<Map<Part, Found>, RruleFault> {
  const parts = new Map<Part, Found>();
  const body = text.trim().replace(/^RRULE:/i, '');
  let offset = text.indexOf(body);
  if (body === '')
    return refuse({ code: 'missing', part: 'FREQ', value: '', offset: 0, allowed: FREQUENCIES.join(', ') });
  for (const piece of body.split(';')) {
    const at = piece.indexOf('=');
    const name = (at < 0 ? piece : piece.slice(0, at)).trim().toUpperCase();
    const value =
      at < 0
        ? ''
        : piece
            .slice(at + 1)
            .trim()
            .toUpperCase();
    if (at < 1 || value === '')
      return refuse({ code: 'bad-form', part: name, value: piece, offset, allowed: 'NAME=VALUE' });
    if (TOO_OFTEN.includes(name)) return refuse({ code: 'too-often', part: name, value, offset });
    const part = PARTS.find((p) => p === name);
    if (!part) return refuse({ code: 'unknown-part', part: name, value, offset, allowed: PARTS.join(', ') });
    if (parts.has(part)) return refuse({ code: 'repeated-part', part, value, offset });
    parts.set(part, { value, offset });
    offset += piece.length + 1;
  }
  return { ok: true, value: parts };
}

function readNumbers(text: string, low: number, high: number, single: boolean): number[] | undefined {
  const values: number[] = [];
  for (const piece of text.split(',')) {
    if (!/^[+-]?\d{1,5}$/.test(piece)) return undefined;
    const value = Number(piece);
    if (value === 0 || value < low || value > high) return undefined;
    values.push(value);
  }
  return single && values.length > 1 ? undefined : [...new Set(values)].sort((a, b) => a - b);
}

const allowedNumbers = (low: number, high: number, single: boolean): string =>
  `${low < 0 ? `${low} to -1, 1` : low} to ${high}${single ? '' : ' (several with commas)'}`;

function readWeekdays(text: string | undefined): RuleWeekday[] | undefined {
  if (text === undefined) return [];
  const days = new Map<string, RuleWeekday>();
  for (const piece of text.split(',')) {
    const found = /^([+-]?\d{1,2})?([A-Z]{2})$/.exec(piece);
    const weekday = (WEEKDAY_CODES as readonly string[]).indexOf(found?.[2] ?? '') + 1;
    if (!found || weekday === 0) return undefined;
    const nth = found[1] === undefined ? undefined : Number(found[1]);
    if (nth !== undefined && (nth === 0 || Math.abs(nth) > 53)) return undefined;
    days.set(`${nth ?? ''}${weekday}`, nth === undefined ? { weekday } : { weekday, nth });
  }
  return [...days.values()];
}

function readUntil(text: string): RuleUntil | undefined {
  const found = /^(\d{4})(\d{2})(\d{2})(?:T([01]\d|2[0-3])([0-5]\d)([0-5]\d|60)(Z)?)?$/.exec(text);
  if (!found) return undefined;
  const [, year, month, date, hour, minute, second, z] = found;
  const day = `${year}-${month}-${date}`;
  if (!isDay(day)) return undefined;
  return {
    text:
      hour === undefined ? `${day}T23:59:59` : `${day}T${hour}:${minute}:${second === '60' ? '59' : second}`,
    utc: z !== undefined,
  };
}
