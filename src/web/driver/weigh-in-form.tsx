/** The form for what was taken at a stop; a correction is the same form, filled with what stands. */
import { REJECT_REASONS } from '../../core/vocabulary.ts';
import { CheckBox, LocalTimeField, SelectField, TextField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { Field } from '../shared/page.tsx';
import { gradeName, REJECT_WORDS } from '../shared/words.ts';
import { questionSentence } from './driver-words.ts';
import { type Question, questionKey } from './plausible.ts';
import type { RecordedWeighIn, StopPageView } from './run-view.ts';
import { gradeField } from './weigh-in-entry.ts';

export type FormState = {
  /** What was typed, as typed. */
  readonly typed: Typed;
  readonly errors: FieldErrors;
  /** Asked once; ticking the box answers exactly these. */
  readonly questions: readonly Question[];
};

export const blankForm = (factId: string): FormState => ({
  typed: { factId },
  errors: {},
  questions: [],
});

/** The form as it would have been typed for what stands, so that a correction changes only what is wrong. */
export function correctionForm(factId: string, weighed: RecordedWeighIn): FormState {
  const text = (value: number | undefined): string => (value === undefined ? '' : String(value));
  const typed: Record<string, string> = {
    factId,
    replacesId: weighed.weighInId,
    grossKg: text(weighed.grossKg),
    tareKg: text(weighed.tareKg),
    netKg: text(weighed.netKg),
    bags: text(weighed.bags),
    foundFull: weighed.foundFull ? 'yes' : '',
    rejectedKg: weighed.rejectedKg === 0 ? '' : text(weighed.rejectedKg),
    rejectReason: weighed.rejectReason ?? '',
    note: weighed.note,
  };
  for (const { grade, kg } of weighed.grades) typed[gradeField(grade)] = text(kg);
  return { typed, errors: {}, questions: [] };
}

type Props = {
  readonly view: StopPageView;
  readonly state: FormState;
};

const REASONS = REJECT_REASONS.map((value) => ({ value, label: REJECT_WORDS[value] }));

export const WeighInForm = ({ view, state: { typed, errors, questions } }: Props) => {
  const weight = (name: string, label: string) => (
    <Field name={name} label={label} inputmode="decimal" autocomplete="off" {...at(name, typed, errors)} />
  );
  const isCorrection = (typed['replacesId'] ?? '') !== '';
  const hasGrades = view.grades.some(({ grade }) => (typed[gradeField(grade)] ?? '') !== '');
  const wrongGrades = view.grades.some(({ grade }) => errors[gradeField(grade)]);
  return (
    <form class="run-form" method="post" action={`/driver/stops/${view.stop.stopId}/weigh-in`} novalidate>
      <input type="hidden" name="factId" value={typed['factId'] ?? ''} />
      {isCorrection && <input type="hidden" name="replacesId" value={typed['replacesId']} />}
      {errors[''] && (
        <p class="field-error" role="alert">
          {errors['']}
        </p>
      )}
      {questions.length > 0 && (
        <div class="run-question" role="alert">
          {questions.map((asked) => (
            <p>{questionSentence(asked)}</p>
          ))}
          <CheckBox
            name="confirmed"
            value={questionKey(questions)}
            label="Yes, that is right. Hand it in as it is."
          />
          <p class="hint">Or mend the number below and hand it in again.</p>
        </div>
      )}
      <fieldset class="fields">
        <legend>What you took</legend>
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
      {view.grades.length > 0 && (
        <details open={hasGrades || wrongGrades}>
          <summary>Grades by eye, in kg, if you looked</summary>
          <div class="run-grades">
            {view.grades.map(({ grade }) => weight(gradeField(grade), gradeName(grade)))}
          </div>
        </details>
      )}
      <TextField name="note" label="Note" {...at('note', typed, errors)} />
      <details open={(typed['collectedLocal'] ?? '') !== ''}>
        <summary>Not collected just now, but entered afterwards?</summary>
        <LocalTimeField
          name="collectedLocal"
          label="When it was collected"
          hint={`Empty means ${isCorrection ? 'the time that stands' : 'now'}.`}
          {...at('collectedLocal', typed, errors)}
        />
      </details>
      <button class="primary" type="submit">
        {isCorrection ? 'Hand in the correction' : 'Hand in'}
      </button>
    </form>
  );
};

/** What was typed into a field, and what is wrong with it. */
export const at = (name: string, typed: Typed, errors: FieldErrors) => ({
  typed: typed[name],
  error: errors[name],
});
