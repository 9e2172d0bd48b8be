/** Between what stands in the form of a site and the cells of its row: rules and containers have fields of their own. */
import { choiceOf, type RuleChoice, rruleOf } from '../../../core/calendar/rule-choice.ts';
import type { FieldErrors, Typed } from '../../shared/form.ts';

/** Containers that a form has room for; a site with more keeps the rest in the last field's text. */
export const BOXES = 4;
export const WEEKDAY_FIELDS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
export const RULE_WAYS = ['none', 'weeks', 'month-weekday', 'month-day', 'text'] as const;

/** Columns whose field is the cell itself. */
export const PLAIN = [
  'name',
  'kind',
  'donor',
  'donor_name',
  'address',
  'district',
  'lat',
  'lon',
  'declared_bags_per_week',
  'bag_kg',
  'service_min',
  'hours',
  'closures',
  'rule_window_min',
  'rule_commitment',
  'rule_except',
  'rule_extra',
  'grades',
  'access_notes',
  'handling_notes',
  'contact_name',
  'contact_phone',
  'contact_email',
  'active_from',
  'active_until',
] as const;

type Row = { readonly [column: string]: string | number | null };
const text = (value: string | number | null | undefined): string => (value == null ? '' : String(value));

/** What stands in the form of a known site. */
export function typedOfRow(row: Row): Typed {
  const choice = choiceOf(text(row['rule']));
  const [day = '', clock = ''] = text(row['rule_start']).split('T');
  const boxes = text(row['containers']).split(';');
  return {
    ...Object.fromEntries(PLAIN.map((column) => [column, text(row[column])])),
    ...Object.fromEntries(
      boxes.slice(0, BOXES).flatMap((box, i) => {
        const [kind = '', count = '', litres = ''] = box.split(':');
        return [
          [`box${i}_kind`, kind],
          [`box${i}_count`, count],
          [`box${i}_litres`, litres],
        ];
      }),
    ),
    rest: boxes.slice(BOXES).join(';'),
    ...typedOfChoice(choice),
    rule_day: day,
    rule_clock: clock,
  };
}

function typedOfChoice(choice: RuleChoice): Typed {
  const how = { how: choice.how };
  switch (choice.how) {
    case 'none':
      return how;
    case 'weeks':
      return {
        ...how,
        every: String(choice.everyWeeks),
        ...Object.fromEntries(choice.weekdays.map((weekday) => [WEEKDAY_FIELDS[weekday - 1]!, 'yes'])),
      };
    case 'month-weekday':
      return {
        ...how,
        every: String(choice.everyMonths),
        nth: String(choice.nth),
        weekday: String(choice.weekday),
      };
    case 'month-day':
      return { ...how, every: String(choice.everyMonths), month_day: String(choice.monthDay) };
    case 'text':
      return { ...how, rrule: choice.rrule };
  }
}

/** The cells of the row that the form means. What is no number becomes a cell that the import will name. */
export function cellsOfTyped(typed: Typed): { readonly [column: string]: string } {
  const has = (field: string): boolean => (typed[field] ?? '').trim() !== '';
  const boxes = Array.from({ length: BOXES }, (_, i) => i)
    .filter((i) => has(`box${i}_kind`) || has(`box${i}_count`) || has(`box${i}_litres`))
    .map((i) =>
      [`box${i}_kind`, `box${i}_count`, `box${i}_litres`]
        .map((field) => (typed[field] ?? '').trim())
        .join(':'),
    );
  const rule = rruleOf(choiceOfTyped(typed));
  const when =
    has('rule_day') || has('rule_clock') ? `${typed['rule_day'] ?? ''}T${typed['rule_clock'] ?? ''}` : '';
  return {
    ...Object.fromEntries(
      PLAIN.filter((column) => typed[column] !== undefined).map((column) => [column, typed[column]!]),
    ),
    containers: [...boxes, ...(has('rest') ? [typed['rest']!] : [])].join(';'),
    rule,
    ...(rule === ''
      ? { rule_start: '', rule_window_min: '', rule_commitment: '', rule_except: '', rule_extra: '' }
      : { rule_start: when }),
  };
}

export function choiceOfTyped(typed: Typed): RuleChoice {
  const count = (field: string, otherwise: number): number => {
    const value = (typed[field] ?? '').trim();
    return value === '' ? otherwise : Number(value);
  };
  switch (typed['how']) {
    case 'weeks':
      return {
        how: 'weeks',
        everyWeeks: count('every', 1),
        weekdays: WEEKDAY_FIELDS.flatMap((field, i) => (typed[field] === 'yes' ? [i + 1] : [])),
      };
    case 'month-weekday':
      return {
        how: 'month-weekday',
        everyMonths: count('every', 1),
        nth: count('nth', 1),
        weekday: count('weekday', 1),
      };
    case 'month-day':
      return { how: 'month-day', everyMonths: count('every', 1), monthDay: count('month_day', 1) };
    case 'text':
      return { how: 'text', rrule: typed['rrule'] ?? '' };
    default:
      return { how: 'none' };
  }
}

/** A column's mistake stands beside the field that it was typed in. */
const FIELD_OF: { readonly [column: string]: string } = {
  containers: 'box0_kind',
  rule: 'how',
  rule_start: 'rule_day',
};

export const errorsOf = (
  faults: readonly { readonly column: string; readonly mend: string }[],
): FieldErrors => {
  const errors: Record<string, string> = {};
  for (const { column, mend } of faults)
    errors[FIELD_OF[column] ?? column] ??= `${mend[0]!.toUpperCase()}${mend.slice(1)}.`;
  return errors;
};
