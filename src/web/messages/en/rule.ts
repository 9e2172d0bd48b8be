/** A pickup rule as a person would say it: "Every second Tuesday, 9:00 to 12:00". Facts in, words out. */
import type { RuleFacts } from '../../../core/calendar/pickup-rule.ts';
import { clock } from '../../../core/calendar/zone.ts';
import { formatsIn } from '../formats.ts';

const { dayYearShort } = formatsIn('en');

const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const;
const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
] as const;
const SMALL_ORDINALS = ['', 'first', 'second', 'third', 'fourth', 'fifth'] as const;

/** "Every Monday and Thursday, 09:00 to 12:00", with its end where it has one. */
export function rule(facts: RuleFacts): string {
  const from = facts.startMinute;
  const until = from + facts.windowS / 60;
  const hours =
    until <= 1440
      ? `${clock(from)} to ${clock(until)}`
      : `${clock(from)} to ${clock(until - 1440)} on the next day`;
  return `${capital(when(facts))}, ${hours}${ending(facts)}`;
}

function when(facts: RuleFacts): string {
  // Parts that hardly anybody uses are named as the standard names them, rather than told wrongly.
  if (facts.weekNumbers.length > 0 || facts.yearDays.length > 0)
    return `by a yearly rule (weeks ${facts.weekNumbers.join(', ') || 'any'}, days ${facts.yearDays.join(', ') || 'any'} of the year)`;
  const months = facts.months.length === 0 ? '' : ` in ${list(facts.months.map((m) => MONTHS[m - 1] ?? ''))}`;
  return `${days(facts)}${months}`;
}

function days(facts: RuleFacts): string {
  const { frequency, interval, weekdays, monthDays, positions } = facts;
  const names = weekdays.map(({ weekday, nth }) => {
    const name = DAYS[weekday - 1] ?? '';
    return nth === undefined ? name : `${ordinal(nth)} ${name}`;
  });
  const steps = every(frequency, interval);
  if (frequency === 'WEEKLY') return interval === 1 ? `every ${list(names)}` : `${steps} on ${list(names)}`;
  if (positions.length > 0)
    return `${steps} on the ${list(positions.map(ordinal))} of ${names.length > 0 ? list(names) : 'the days'}`;
  if (monthDays.length > 0 && names.length > 0)
    return `${steps} on a ${list(names, 'or')} that is the ${list(monthDays.map(dayOfMonth), 'or')}`;
  if (monthDays.length > 0) return `${steps} on the ${list(monthDays.map(dayOfMonth))}`;
  if (names.length > 0 && frequency === 'DAILY') return `${steps}, if it is a ${list(names, 'or')}`;
  if (names.length > 0) return `${steps} on ${weekdays.some((d) => d.nth) ? 'the ' : ''}${list(names)}`;
  return steps;
}

const UNITS = { DAILY: 'day', WEEKLY: 'week', MONTHLY: 'month', YEARLY: 'year' } as const;
const every = (frequency: RuleFacts['frequency'], interval: number): string =>
  interval === 1 ? `every ${UNITS[frequency]}` : `every ${ordinal(interval)} ${UNITS[frequency]}`;

/** "first", "last", "last but one", "13th". */
function ordinal(n: number): string {
  if (n === -1) return 'last';
  if (n === -2) return 'last but one';
  if (n < 0) return `${ordinal(-n)} from the end`;
  return SMALL_ORDINALS[n] || numeral(n);
}

const dayOfMonth = (n: number): string => {
  if (n > 0) return numeral(n);
  return n < -2 ? `${ordinal(-n)} day from the end` : `${ordinal(n)} day`;
};

/** "1st", "12th", "23rd". */
const numeral = (n: number): string => {
  const tail = n % 100 >= 11 && n % 100 <= 13 ? 'th' : (['th', 'st', 'nd', 'rd'][n % 10] ?? 'th');
  return `${n}${tail}`;
};

const list = (items: readonly string[], joint = 'and'): string =>
  items.length < 2 ? (items[0] ?? '') : `${items.slice(0, -1).join(', ')} ${joint} ${items.at(-1)}`;

const ending = ({ untilDay, count, firstDay }: RuleFacts): string => {
  if (untilDay) return `, until ${dayYearShort(untilDay)}`;
  if (count !== undefined) return `, ${count} times from ${dayYearShort(firstDay)}`;
  return '';
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
