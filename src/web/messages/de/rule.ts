/** Eine Abholregel, wie man sie sagt: „Jeden zweiten Dienstag, 09:00 bis 12:00 Uhr“. */
import type { RuleFacts } from '../../../core/calendar/pickup-rule.ts';
import { clock } from '../../../core/calendar/zone.ts';
import { formatsIn } from '../formats.ts';

const f = formatsIn('de');
const DAYS = ['Montag', 'Dienstag', 'Mittwoch', 'Donnerstag', 'Freitag', 'Samstag', 'Sonntag'] as const;
const MONTHS = [
  'Januar',
  'Februar',
  'März',
  'April',
  'Mai',
  'Juni',
  'Juli',
  'August',
  'September',
  'Oktober',
  'November',
  'Dezember',
] as const;
/** Stems, to which the ending of the case is put. */
const SMALL_ORDINALS = ['', 'erst', 'zweit', 'dritt', 'viert', 'fünft'] as const;

export function rule(facts: RuleFacts): string {
  const from = facts.startMinute;
  const until = from + facts.windowS / 60;
  const hours =
    until <= 1440
      ? `${clock(from)} bis ${clock(until)} Uhr`
      : `${clock(from)} bis ${clock(until - 1440)} Uhr am nächsten Tag`;
  const text = when(facts);
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}, ${hours}${ending(facts)}`;
}

function when(facts: RuleFacts): string {
  if (facts.weekNumbers.length > 0 || facts.yearDays.length > 0)
    return `nach einer Jahresregel (Wochen ${facts.weekNumbers.join(', ') || 'alle'}, Tage ${facts.yearDays.join(', ') || 'alle'} des Jahres)`;
  const months =
    facts.months.length === 0 ? '' : ` im ${f.list(facts.months.map((m) => MONTHS[m - 1] ?? ''))}`;
  return `${days(facts)}${months}`;
}

function days(facts: RuleFacts): string {
  const { frequency, interval, weekdays, monthDays, positions } = facts;
  const names = weekdays.map(({ weekday, nth }) => {
    const name = DAYS[weekday - 1] ?? '';
    return nth === undefined ? name : `${ordinal(nth, 'en')} ${name}`;
  });
  const steps = every(frequency, interval);
  if (frequency === 'WEEKLY')
    return interval === 1 ? `jeden ${f.list(names)}` : `${steps} am ${f.list(names)}`;
  if (positions.length > 0)
    return `${steps} am ${f.list(positions.map((n) => ordinal(n, 'en')))} ${names.length > 0 ? f.either(names) : 'der Tage'}`;
  if (monthDays.length > 0 && names.length > 0)
    return `${steps} an einem ${f.either(names)}, der der ${f.either(monthDays.map((n) => dayOfMonth(n, 'e')))} ist`;
  if (monthDays.length > 0) return `${steps} am ${f.list(monthDays.map((n) => dayOfMonth(n, 'en')))}`;
  if (names.length > 0 && frequency === 'DAILY') return `${steps}, wenn es ein ${f.either(names)} ist`;
  if (names.length > 0) return `${steps} am ${f.list(names)}`;
  return steps;
}

const UNITS = {
  DAILY: ['jeden', 'Tag', 'en'],
  WEEKLY: ['jede', 'Woche', 'e'],
  MONTHLY: ['jeden', 'Monat', 'en'],
  YEARLY: ['jedes', 'Jahr', 'e'],
} as const;
function every(frequency: RuleFacts['frequency'], interval: number): string {
  const [each, unit, ending] = UNITS[frequency];
  return interval === 1 ? `${each} ${unit}` : `${each} ${ordinal(interval, ending)} ${unit}`;
}

/** "ersten", "letzten", "vorletzten", "13.". */
function ordinal(n: number, ending: 'e' | 'en'): string {
  if (n === -1) return `letzt${ending}`;
  if (n === -2) return `vorletzt${ending}`;
  if (n < 0) return `${SMALL_ORDINALS[-n] ? `${SMALL_ORDINALS[-n]}${ending}` : `${-n}.`} vom Ende`;
  return SMALL_ORDINALS[n] ? `${SMALL_ORDINALS[n]}${ending}` : `${n}.`;
}

const dayOfMonth = (n: number, ending: 'e' | 'en'): string =>
  n > 0 ? `${n}.` : n < -2 ? `${ordinal(n, ending)} gezählten Tag` : `${ordinal(n, ending)} Tag`;

const ending = ({ untilDay, count, firstDay }: RuleFacts): string => {
  if (untilDay) return `, bis ${f.dayYearShort(untilDay)}`;
  if (count !== undefined) return `, ${count}-mal ab ${f.dayYearShort(firstDay)}`;
  return '';
};
