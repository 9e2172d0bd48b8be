/** The form for what was taken at a stop; a correction is the same form, filled with what stands. */

import type { Say } from '../messages/say.ts';
import { CheckBox, LocalTimeField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { AmountControls, at, typedAmounts } from '../shared/weigh-in-controls.tsx';
import { type Question, questionKey } from './plausible.ts';
import type { RecordedWeighIn, StopPageView } from './run-view.ts';

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
  const typed = { factId, replacesId: weighed.weighInId, ...typedAmounts(weighed) };
  return { typed, errors: {}, questions: [] };
}

type Props = {
  readonly say: Say;
  readonly view: StopPageView;
  readonly state: FormState;
};

export const WeighInForm = ({ say, view, state: { typed, errors, questions } }: Props) => {
  const isCorrection = (typed['replacesId'] ?? '') !== '';
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
            <p>{say.driver.question(asked)}</p>
          ))}
          <CheckBox
            name="confirmed"
            value={questionKey(questions)}
            label="Yes, that is right. Hand it in as it is."
          />
          <p class="hint">Or mend the number below and hand it in again.</p>
        </div>
      )}
      <AmountControls legend="What you took" typed={typed} errors={errors} grades={view.grades} />
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
