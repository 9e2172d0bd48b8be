/**
 * The pickup rules that people mostly mean, as choices on a form, and the RRULE (RFC 5545, 3.3.10) each stands for. What
 * cannot be said that way stays a text of its own; nothing is lost on the way through a form.
 */
import { parseRrule, WEEKDAY_CODES } from './rrule-text.ts';

export type RuleChoice =
  | { readonly how: 'none' }
  /** ISO weekdays; none ticked means that of the first pickup. */
  | { readonly how: 'weeks'; readonly everyWeeks: number; readonly weekdays: readonly number[] }
  /** The `nth` such weekday of every so many months; −1 is the last. */
  | {
      readonly how: 'month-weekday';
      readonly everyMonths: number;
      readonly nth: number;
      readonly weekday: number;
    }
  /** A day of the month; −1 is the last. A month without it has no pickup. */
  | { readonly how: 'month-day'; readonly everyMonths: number; readonly monthDay: number }
  | { readonly how: 'text'; readonly rrule: string };

const every = (interval: number): string => (interval === 1 ? '' : `;INTERVAL=${interval}`);

/** Empty for no rule. */
export function rruleOf(choice: RuleChoice): string {
  switch (choice.how) {
    case 'none':
      return '';
    case 'weeks': {
      const days = choice.weekdays.map((weekday) => WEEKDAY_CODES[weekday - 1]).join(',');
      return `FREQ=WEEKLY${every(choice.everyWeeks)}${days === '' ? '' : `;BYDAY=${days}`}`;
    }
    case 'month-weekday':
      return `FREQ=MONTHLY${every(choice.everyMonths)};BYDAY=${choice.nth}${WEEKDAY_CODES[choice.weekday - 1]}`;
    case 'month-day':
      return `FREQ=MONTHLY${every(choice.everyMonths)};BYMONTHDAY=${choice.monthDay}`;
    case 'text':
      return choice.rrule;
  }
}

/** The choice that stands for exactly this rule, or its text. */
export function choiceOf(rrule: string): RuleChoice {
  const text: RuleChoice = { how: 'text', rrule };
  if (rrule.trim() === '') return { how: 'none' };
  const parsed = parseRrule(rrule);
  if (!parsed.ok) return text;
  const { frequency, interval, weekdays, monthDays } = parsed.value;
  const [first] = weekdays;
  const meant: RuleChoice =
    frequency === 'WEEKLY'
      ? {
          how: 'weeks',
          everyWeeks: interval,
          weekdays: weekdays.map(({ weekday }) => weekday).sort((a, b) => a - b),
        }
      : frequency === 'MONTHLY' && weekdays.length === 1 && first?.nth !== undefined
        ? { how: 'month-weekday', everyMonths: interval, nth: first.nth, weekday: first.weekday }
        : frequency === 'MONTHLY' && monthDays.length === 1
          ? { how: 'month-day', everyMonths: interval, monthDay: monthDays[0]! }
          : text;
  return isSameRule(rruleOf(meant), rrule) ? meant : text;
}

/** Part by part, whatever their order; a part that a choice does not know (UNTIL, BYMONTH …) makes them differ. */
function isSameRule(one: string, other: string): boolean {
  const a = parseRrule(one);
  const b = parseRrule(other);
  if (!a.ok || !b.ok) return false;
  const plain = (rule: typeof a.value): string =>
    JSON.stringify({
      ...rule,
      weekdays: rule.weekdays.toSorted((x, y) => x.weekday - y.weekday || (x.nth ?? 0) - (y.nth ?? 0)),
    });
  return plain(a.value) === plain(b.value);
}
