/** A pickup rule in plain words: how often, on which days, from when to when; and the dates it comes to. */
import { CheckBox, FieldError, SelectField, TextField } from '../../shared/controls.tsx';
import type { FieldErrors, Typed } from '../../shared/form.ts';
import { dayYearShort, localDay, timeSpan } from '../../shared/format.ts';
import { Field } from '../../shared/page.tsx';
import { ruleWords } from '../../shared/rule-words.ts';
import type { RulePreview } from './site-edit-view.ts';
import { WEEKDAY_FIELDS } from './site-form.ts';

const WAYS = [
  { value: 'none', label: 'No rule: come when it is worth it' },
  { value: 'weeks', label: 'Every so many weeks, on the days ticked' },
  { value: 'month-weekday', label: 'Every so many months, on one weekday of the month' },
  { value: 'month-day', label: 'Every so many months, on one day of the month' },
  { value: 'text', label: 'As an RRULE, for anything else' },
];
const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'];
const NTHS = [
  ['1', 'first'],
  ['2', 'second'],
  ['3', 'third'],
  ['4', 'fourth'],
  ['5', 'fifth'],
  ['-1', 'last'],
].map(([value = '', label = '']) => ({ value, label }));

type RuleProps = {
  readonly typed: Typed;
  readonly errors: FieldErrors;
  readonly preview: RulePreview | undefined;
  readonly zone: string;
};

export const RuleFields = ({ typed, errors, preview, zone }: RuleProps) => {
  const field = (name: string) => ({ name, typed: typed[name], error: errors[name] });
  return (
    <fieldset class="fields edit-group edit-rule">
      <legend>When we come by rule</legend>
      <SelectField {...field('how')} label="How often" options={WAYS} />
      <div class="for-weeks for-weekday for-monthday">
        <Field
          {...field('every')}
          label="Every"
          hint="Weeks or months between two pickups; 1 is each"
          inputmode="numeric"
        />
      </div>
      <div class="edit-days for-weeks">
        <p class="hint">On which days of the week; none ticked means that of the first pickup</p>
        {WEEKDAY_FIELDS.map((name, i) => (
          <CheckBox name={name} label={DAYS[i]!} typed={typed[name]} />
        ))}
      </div>
      <div class="edit-row for-weekday">
        <SelectField {...field('nth')} label="Which one of the month" options={NTHS} />
        <SelectField
          {...field('weekday')}
          label="Weekday of the month"
          options={DAYS.map((label, i) => ({ value: String(i + 1), label }))}
        />
      </div>
      <div class="for-monthday">
        <Field
          {...field('month_day')}
          label="Day of the month"
          hint="1 to 31; −1 is the last"
          inputmode="text"
        />
      </div>
      <div class="for-text">
        <TextField
          {...field('rrule')}
          label="RRULE (RFC 5545)"
          hint="Such as FREQ=MONTHLY;BYDAY=1MO,3MO"
          rows={1}
        />
      </div>
      <div class="fields for-any">
        <div class="edit-row">
          <Field {...field('rule_day')} label="First pickup" type="date" />
          <Field {...field('rule_clock')} label="Not before" type="time" />
          <Field {...field('rule_window_min')} label="Within" hint="Minutes from then" inputmode="numeric" />
          <SelectField
            {...field('rule_commitment')}
            label="How firm"
            options={[
              { value: 'usual', label: 'usual, may move' },
              { value: 'must', label: 'promised' },
            ]}
          />
        </div>
        <div class="edit-row">
          <Field {...field('rule_except')} label="But not on" hint="Days such as 2026-12-25;2026-12-29" />
          <Field {...field('rule_extra')} label="And also on" hint="Days such as 2026-12-23" />
        </div>
      </div>
      <FieldError name="rule" error={errors['rule']} />
      <div class="edit-dates for-any" aria-live="polite">
        {preview === undefined ? (
          <p class="soft">“Look at it first” shows the rule in words, and its next ten dates.</p>
        ) : (
          <>
            <p>
              <strong>{ruleWords(preview.rule)}</strong>
            </p>
            {preview.next.length === 0 ? (
              <p class="loud">No date ahead.</p>
            ) : (
              <ol class="edit-next">
                {preview.next.map(({ fromAt, untilAt }) => (
                  <li>
                    {dayYearShort(localDay(fromAt, zone))}, {timeSpan(fromAt, untilAt, zone)}
                  </li>
                ))}
              </ol>
            )}
          </>
        )}
      </div>
    </fieldset>
  );
};
