/** The form that starts simulated years, with what they take on this machine. */

import type { FieldErrors, Typed } from '../shared/form.ts';
import { duration, number } from '../shared/format.ts';
import { Field } from '../shared/page.tsx';
import { USUAL_WEEKS, USUAL_WORLDS } from './worth-form.ts';
import type { WorthView } from './worth-view.ts';

const MISSING = {
  'no-sites': 'At least three sites must be in the register before their years can be drawn.',
  'no-shifts':
    'No shift stands within four weeks from today, so nobody knows how often a van drives. Import shifts first.',
} as const;

export const Start = ({
  view: { next, result },
  form: { typed, errors },
}: {
  readonly view: WorthView;
  readonly form: { readonly typed: Typed; readonly errors: FieldErrors };
}) => (
  <section class="worth-start" aria-labelledby="start">
    <h2 id="start">{result ? 'Simulate anew' : 'Simulate'}</h2>
    {next.kind === 'ready' ? (
      <form method="post" action="/worth" class="after">
        <p>
          With {number(next.wanted.size.sites)} sites and the prices of today. One world of {USUAL_WEEKS}{' '}
          weeks takes about {duration(Math.max(60, next.worldS))}
          {next.isMeasured ? ', by the last run on this machine' : ', more on a slow machine'}: about{' '}
          {duration(Math.max(60, USUAL_WORLDS * next.worldS))} for {USUAL_WORLDS}. Everything else works
          meanwhile.
        </p>
        <div class="worth-fields">
          <Field
            name="worlds"
            label="Worlds"
            hint="How many drawn years. More make the ranges narrower; 8 or more to be sure."
            typed={typed['worlds'] ?? String(USUAL_WORLDS)}
            error={errors['worlds']}
            inputmode="numeric"
          />
          <Field
            name="weeks"
            label="Weeks"
            hint="Length of each year. The first eight are for learning."
            typed={typed['weeks'] ?? String(USUAL_WEEKS)}
            error={errors['weeks']}
            inputmode="numeric"
          />
        </div>
        <p class="actions">
          <button type="submit" class="primary">
            Simulate
          </button>
        </p>
      </form>
    ) : (
      <p>{MISSING[next.kind]}</p>
    )}
  </section>
);
