/**
 * Pickup rules: which days, and from when to when. RFC 5545 recurrence, read in the workshop's zone.
 *
 * The recurrence itself is expanded by `rrule` in floating fields (its own zone handling depends on the
 * process's TZ and is wrong outside UTC); the zone comes in afterwards, through zone.ts. So "every Tuesday at
 * nine" stays at nine on the wall across a change of summer time.
 *
 * Set rules of section 3.8.5: (RRULE and DTSTART and RDATE) less EXDATE; EXDATE wins; duplicates collapse;
 * DTSTART counts as the first instance even where the rule itself would not name it. A skipped local time
 * moves behind the gap (section 3.3.5) rather than being dropped (3.3.10): a promised pickup is not lost.
 */
import * as rrulePackage from 'rrule';
import { ok, type Result, refuse } from '../quantity/result.ts';
import type { Instant, LocalDay, Seconds, TimeWindow } from '../quantity/units.ts';
import { COMMITMENTS, type Commitment } from '../vocabulary.ts';
import {
  type Frequency,
  type ParsedRrule,
  parseRrule,
  type RruleFault,
  type RuleUntil,
  type RuleWeekday,
} from './rrule-text.ts';
import { isDay, isoWeekday, readInstant } from './zone.ts';

/** The package is CommonJS: Node gives it a default, bundlers do not. */
const { RRule, Weekday } =
  (rrulePackage as unknown as { default?: typeof rrulePackage }).default ?? rrulePackage;
type RRule = InstanceType<typeof RRule>;

export type PickupRule = {
  readonly rrule: string;
  /** Local wall time of the first instance, `YYYY-MM-DDTHH:MM`: DTSTART without a zone. */
  readonly startsLocal: string;
  readonly windowS: Seconds;
  readonly commitment: Commitment;
  /** EXDATE and RDATE as local days; an extra day takes the time of day of `startsLocal`. */
  readonly exceptDays: readonly LocalDay[];
  readonly extraDays: readonly LocalDay[];
};

/** As a person or a CSV row gives them. Days are separated by `;` or `,`; an empty commitment is `usual`. */
export type PickupRuleFields = {
  readonly rrule: string;
  readonly startsLocal: string;
  readonly windowMin: string;
  readonly commitment: string;
  readonly exceptDays: string;
  readonly extraDays: string;
};

export type PickupRuleFault =
  | ({ readonly field: 'rrule' } & RruleFault)
  | {
      readonly field: Exclude<keyof PickupRuleFields, 'rrule'>;
      readonly code: 'missing' | 'bad-value';
      readonly value: string;
      readonly allowed: string;
    };

/** One pickup: the local day, and the window in which the visit is to begin. */
export type Occurrence = TimeWindow & { readonly day: LocalDay };

const MAX_WINDOW_MIN = 1440;
/** A first pickup before 1970 or after 2199 is a slip of the keyboard. */
const START_FORM = /^((?:19[7-9]|20\d|21\d)\d-\d{2}-\d{2})T(?:[01]\d|2[0-3]):[0-5]\d$/;

/** Every fault at once, so that a row need not be mended twice. */
export function parsePickupRule(fields: PickupRuleFields): Result<PickupRule, readonly PickupRuleFault[]> {
  const faults: PickupRuleFault[] = [];
  const text = fields.rrule
    .trim()
    .replace(/^RRULE:/i, '')
    .toUpperCase();
  const startsLocal = fields.startsLocal.trim();
  const startOk = isDay(START_FORM.exec(startsLocal)?.[1] ?? '');
  const parsed = parseRrule(fields.rrule);
  if (!parsed.ok) faults.push({ field: 'rrule', ...parsed.refusal });
  if (!startOk)
    faults.push({
      field: 'startsLocal',
      code: startsLocal === '' ? 'missing' : 'bad-value',
      value: fields.startsLocal,
      allowed: '2026-03-03T09:00',
    });
  const windowMin = /^\d{1,4}$/.test(fields.windowMin.trim()) ? Number(fields.windowMin) : 0;
  if (windowMin < 1 || windowMin > MAX_WINDOW_MIN)
    faults.push({
      field: 'windowMin',
      code: fields.windowMin.trim() === '' ? 'missing' : 'bad-value',
      value: fields.windowMin,
      allowed: `1 to ${MAX_WINDOW_MIN}`,
    });
  const word = fields.commitment.trim().toLowerCase() || 'usual';
  const commitment = COMMITMENTS.find((c) => c === word);
  if (!commitment)
    faults.push({
      field: 'commitment',
      code: 'bad-value',
      value: fields.commitment,
      allowed: COMMITMENTS.join(', '),
    });
  const readDays = (field: 'exceptDays' | 'extraDays'): LocalDay[] => {
    const days = fields[field].split(/[;,\s]+/).filter((day) => day !== '');
    for (const value of days.filter((day) => !isDay(day)))
      faults.push({ field, code: 'bad-value', value, allowed: '2026-12-24' });
    return [...new Set(days)].sort();
  };
  const exceptDays = readDays('exceptDays');
  const extraDays = readDays('extraDays');
  if (parsed.ok && startOk && !expansionOf(text, startsLocal).happens)
    faults.push({ field: 'rrule', code: 'never', part: 'FREQ', value: text, offset: 0 });
  if (faults.length > 0 || !commitment) return refuse(faults);
  return ok({ rrule: text, startsLocal, windowS: windowMin * 60, commitment, exceptDays, extraDays });
}

/** All pickups whose local day lies from `fromDay` to `untilDay`, both included, in order of time. */
export function occurrences(
  rule: PickupRule,
  zone: string,
  fromDay: LocalDay,
  untilDay: LocalDay,
): Occurrence[] {
  if (fromDay > untilDay) return [];
  const expansion = expansionOf(rule.rrule, rule.startsLocal);
  const isAsked = (day: LocalDay): boolean => day >= fromDay && day <= untilDay;
  const lastAt = expansion.until ? untilAt(zone, expansion.until) : Number.POSITIVE_INFINITY;
  const startsDay = rule.startsLocal.slice(0, 10);
  const at = (day: LocalDay): Instant => readInstant(zone, `${day}${rule.startsLocal.slice(10)}`)!;
  const kept = new Set<LocalDay>();
  for (let year = Number(fromDay.slice(0, 4)); year <= Number(untilDay.slice(0, 4)); year++)
    for (const day of daysInYear(expansion, year)) if (isAsked(day) && at(day) <= lastAt) kept.add(day);
  // UNTIL bounds the rule, not DTSTART itself and not RDATE.
  for (const day of [startsDay, ...rule.extraDays]) if (isAsked(day)) kept.add(day);
  for (const day of rule.exceptDays) kept.delete(day);
  return [...kept].sort().map((day) => ({ day, fromAt: at(day), untilAt: at(day) + rule.windowS }));
}

/** What a plain-words sentence about a rule is made of ("every second Tuesday from nine to eleven, promised"). */
export type RuleFacts = {
  readonly frequency: Frequency;
  readonly interval: number;
  readonly weekdays: readonly RuleWeekday[];
  readonly monthDays: readonly number[];
  readonly months: readonly number[];
  readonly weekNumbers: readonly number[];
  readonly yearDays: readonly number[];
  readonly positions: readonly number[];
  readonly count?: number;
  /** Last day of the rule as it is written (in UTC when written so). */
  readonly untilDay?: LocalDay;
  readonly firstDay: LocalDay;
  readonly startMinute: number;
  readonly windowS: Seconds;
  readonly commitment: Commitment;
  readonly exceptDays: readonly LocalDay[];
  readonly extraDays: readonly LocalDay[];
};

/** Where the rule leaves weekday or date to DTSTART, the facts say them, so that the sentence is complete. */
export function describeRule(rule: PickupRule): RuleFacts {
  const parsed = mustParse(rule.rrule);
  const firstDay = rule.startsLocal.slice(0, 10);
  const filled = fromStart(parsed, firstDay);
  return {
    frequency: parsed.frequency,
    interval: parsed.interval,
    weekdays: filled.weekdays,
    monthDays: filled.monthDays,
    months: filled.months,
    weekNumbers: parsed.weekNumbers,
    yearDays: parsed.yearDays,
    positions: parsed.positions,
    ...(parsed.count !== undefined && { count: parsed.count }),
    ...(parsed.until && { untilDay: parsed.until.text.slice(0, 10) }),
    firstDay,
    startMinute: Number(rule.startsLocal.slice(11, 13)) * 60 + Number(rule.startsLocal.slice(14, 16)),
    windowS: rule.windowS,
    commitment: rule.commitment,
    exceptDays: rule.exceptDays,
    extraDays: rule.extraDays,
  };
}

// ---- expansion, kept per rule and calendar year -----------------------------------------------------------

type Expansion = {
  /** Undefined when the rule adds no day to DTSTART. */
  readonly engine: RRule | undefined;
  /** False when the rule itself, DTSTART aside, names no day at all. */
  readonly happens: boolean;
  readonly until: RuleUntil | undefined;
  readonly byYear: Map<number, readonly LocalDay[]>;
};

const expansions = new Map<string, Expansion>();
const MAX_EXPANSIONS = 2000;

function expansionOf(rrule: string, startsLocal: string): Expansion {
  const key = `${rrule}@${startsLocal.slice(0, 10)}`;
  let expansion = expansions.get(key);
  if (!expansion) {
    expansion = expand(mustParse(rrule), startsLocal.slice(0, 10));
    if (expansions.size >= MAX_EXPANSIONS) expansions.clear();
    expansions.set(key, expansion);
  }
  return expansion;
}

function expand(parsed: ParsedRrule, startsDay: LocalDay): Expansion {
  const rule = fromStart(parsed, startsDay);
  const start = floating(startsDay);
  const options = {
    freq: RRule[rule.frequency],
    interval: rule.interval,
    dtstart: start,
    wkst: rule.weekStart - 1,
    byweekday: orNull(spelledOut(rule).map((d) => new Weekday(d.weekday - 1, d.nth))),
    bymonthday: orNull(rule.monthDays),
    byyearday: orNull(rule.yearDays),
    byweekno: orNull(rule.weekNumbers),
    bymonth: orNull(rule.months),
    bysetpos: orNull(rule.positions),
  };
  // A multiple of seven days keeps its weekday; looking for another would take the engine eight thousand years.
  const stuck =
    rule.frequency === 'DAILY' &&
    rule.interval % 7 === 0 &&
    rule.weekdays.length > 0 &&
    !rule.weekdays.some((d) => d.weekday === isoWeekday(startsDay));
  const endless = new RRule(options, true);
  const first = stuck ? null : endless.after(start, true);
  // DTSTART uses up one of COUNT, also where the rule does not name it.
  const startNamed = first?.getTime() === start.getTime();
  const count = rule.count === undefined || startNamed ? rule.count : rule.count - 1;
  const engine = count === undefined ? endless : new RRule({ ...options, count }, true);
  return {
    engine: first === null || count === 0 ? undefined : engine,
    happens: first !== null,
    until: rule.until,
    byYear: new Map(),
  };
}

function daysInYear(expansion: Expansion, year: number): readonly LocalDay[] {
  if (!expansion.engine) return [];
  let days = expansion.byYear.get(year);
  if (!days) {
    const found = expansion.engine.between(floating(`${year}-01-01`), floating(`${year}-12-31`), true);
    days = found.map((date) => date.toISOString().slice(0, 10));
    expansion.byYear.set(year, days);
  }
  return days;
}

/** What RFC 5545 takes from DTSTART where the rule is silent. */
function fromStart(rule: ParsedRrule, startsDay: LocalDay): ParsedRrule {
  const weekdayOpen = rule.weekdays.length === 0 && rule.monthDays.length === 0 && rule.yearDays.length === 0;
  if (!weekdayOpen) return rule;
  const weekdays: RuleWeekday[] = [{ weekday: isoWeekday(startsDay) }];
  const monthDays = [Number(startsDay.slice(8))];
  switch (rule.frequency) {
    case 'DAILY':
      return rule;
    case 'WEEKLY':
      return { ...rule, weekdays };
    case 'MONTHLY':
      return { ...rule, monthDays };
    case 'YEARLY':
      if (rule.weekNumbers.length > 0) return { ...rule, weekdays };
      return {
        ...rule,
        monthDays,
        months: rule.months.length > 0 ? rule.months : [Number(startsDay.slice(5, 7))],
      };
  }
}

/**
 * `BYDAY=2MO,FR` means the second Monday and every Friday (a union, RFC 5545 section 3.3.10); the engine would
 * take what both name. So where both forms stand, each plain weekday becomes its first, second, third ...
 */
function spelledOut(rule: ParsedRrule): readonly RuleWeekday[] {
  const counted = rule.weekdays.filter((d) => d.nth !== undefined);
  if (counted.length === 0 || counted.length === rule.weekdays.length) return rule.weekdays;
  const most = rule.frequency === 'YEARLY' && rule.months.length === 0 ? 53 : 5;
  return rule.weekdays.flatMap((d) =>
    d.nth === undefined ? Array.from({ length: most }, (_, i) => ({ weekday: d.weekday, nth: i + 1 })) : [d],
  );
}

function untilAt(zone: string, until: RuleUntil): Instant {
  return readInstant(zone, until.utc ? `${until.text}Z` : until.text)!;
}

/** Rules reach this module through `parsePickupRule`; a bad one here is a broken assumption. */
function mustParse(rrule: string): ParsedRrule {
  const parsed = parseRrule(rrule);
  if (!parsed.ok) throw new RangeError(`pickup rule ${rrule}: ${JSON.stringify(parsed.refusal)}`);
  return parsed.value;
}

const floating = (day: LocalDay): Date => new Date(`${day}T00:00:00Z`);
const orNull = <T>(values: readonly T[]): T[] | null => (values.length === 0 ? null : [...values]);
