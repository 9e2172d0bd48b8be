/** What was taken, in a form: the driver's at the stop and the coordinator's correction ask the same things. */
import { type Grade, REJECT_REASONS } from '../../core/vocabulary.ts';
import { CheckBox, SelectField, TextField } from './controls.tsx';
import type { FieldErrors, Typed } from './form.ts';
import { Field } from './page.tsx';
import { type Amounts, gradeField } from './weigh-in-fields.ts';
import { gradeName, REJECT_WORDS } from './words.ts';

const REASONS = REJECT_REASONS.map((value) => ({ value, label: REJECT_WORDS[value] }));

/** The form as it would have been typed for what stands, so that a correction changes only what is wrong. */
export function typedAmounts(stands: Amounts): Typed {
  const text = (value: number | undefined): string => (value === undefined ? '' : String(value));
  const typed: Record<string, string> = {
    grossKg: text(stands.grossKg),
    tareKg: text(stands.tareKg),
    netKg: text(stands.netKg),
    bags: text(stands.bags),
    foundFull: stands.foundFull ? 'yes' : '',
    rejectedKg: stands.rejectedKg === 0 ? '' : text(stands.rejectedKg),
    rejectReason: stands.rejectReason ?? '',
    leftKg: text(stands.leftKg),
    note: stands.note,
  };
  for (const { grade, kg } of stands.grades) typed[gradeField(grade)] = text(kg);
  return typed;
}

type Props = {
  readonly legend: string;
  readonly typed: Typed;
  readonly errors: FieldErrors;
  readonly grades: readonly { readonly grade: Grade }[];
  /** Asks as well for what did not fit in the van. */
  readonly asksLeft?: boolean;
};

export const AmountControls = ({ legend, typed, errors, grades, asksLeft = false }: Props) => {
  const weight = (name: string, label: string) => (
    <Field name={name} label={label} inputmode="decimal" autocomplete="off" {...at(name, typed, errors)} />
  );
  const isOpen = grades.some(
    ({ grade }) => (typed[gradeField(grade)] ?? '') !== '' || errors[gradeField(grade)],
  );
  return (
    <>
      <fieldset class="fields">
        <legend>{legend}</legend>
        <div class="run-weights">
          {weight('grossKg', 'Gross kg')}
          {weight('tareKg', 'Tare kg')}
          {weight('netKg', 'Net kg')}
        </div>
        <p class="hint">Gross and tare, or just the net. Several lifts: add them up.</p>
        <div class="run-or">
          {weight('bags', 'Bags')}
          <CheckBox name="foundFull" label="Found full or overflowing" typed={typed['foundFull']} />
        </div>
        {asksLeft && weight('leftKg', 'Kg that did not fit in the van and stayed')}
      </fieldset>
      <fieldset class="fields">
        <legend>Thrown out</legend>
        <div class="run-or">
          {weight('rejectedKg', 'Kg')}
          <SelectField
            name="rejectReason"
            label="Why"
            options={REASONS}
            empty="nothing thrown out"
            {...at('rejectReason', typed, errors)}
          />
        </div>
      </fieldset>
      {grades.length > 0 && (
        <details open={isOpen}>
          <summary>Grades by eye, in kg, if you looked</summary>
          <div class="run-grades">
            {grades.map(({ grade }) => weight(gradeField(grade), gradeName(grade)))}
          </div>
        </details>
      )}
      <TextField name="note" label="Note" {...at('note', typed, errors)} />
    </>
  );
};

/** What was typed into a field, and what is wrong with it. */
export const at = (name: string, typed: Typed, errors: FieldErrors) => ({
  typed: typed[name],
  error: errors[name],
});
