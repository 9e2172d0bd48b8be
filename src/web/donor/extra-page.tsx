/** The form for an extra collection: eight questions, most of them answered before one starts. */
import { EVENT_KINDS, type EventKind } from '../../core/vocabulary.ts';
import { CheckBox, FieldError, LocalTimeField, SelectField, TextField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import type { DonorSiteView, DonorView } from './donor-view.ts';
import { HAZARDS } from './extra-entry.ts';

const FRAME = { role: 'donor', here: '/donor', width: 'narrow' } as const;

export type ExtraPageProps = {
  /** Where the form goes; another address when a booking is changed. */
  readonly action: string;
  readonly isChange?: boolean;
  readonly view: DonorView;
  readonly site: DonorSiteView;
  readonly typed: Typed;
  readonly errors: FieldErrors;
  readonly notice?: Notice | undefined;
};

const EVENTS: { readonly [kind in EventKind]: string } = {
  festival: 'A festival or street party',
  'market-day': 'A market day',
  'delivery-peak': 'More deliveries than usual',
  clearance: 'A clear-out or a move',
  'clean-up': 'A litter or shore clean-up',
  other: 'Something else',
};
const OPTIONS = EVENT_KINDS.map((value) => ({ value, label: EVENTS[value] }));

export const ExtraPage = ({
  view: { workshop },
  site,
  typed,
  errors,
  notice,
  action,
  isChange = false,
}: ExtraPageProps) => {
  const at = (name: string) => ({ typed: typed[name], error: errors[name] });
  return (
    <Page
      live={false}
      title={isChange ? 'Change an extra collection' : 'An extra collection'}
      workshop={workshop.name}
      notice={notice}
      {...FRAME}
    >
      <p>
        <a href="/donor">Back to your collections</a>
      </p>
      <div>
        <p class="kicker">{site.name}</p>
        <h1>{isChange ? 'Change an extra collection' : 'An extra collection'}</h1>
      </div>
      <form class="donor-form" method="post" action={action} novalidate>
        {Object.keys(errors).length > 0 && (
          <p class="field-error" role="alert">
            {errors[''] ?? 'Something needs another look; it is marked below.'}
          </p>
        )}
        <SelectField
          name="eventKind"
          label="What leaves more film than usual?"
          options={OPTIONS}
          empty="choose one"
          {...at('eventKind')}
        />
        <LocalTimeField
          name="eventEndsLocal"
          label="When does it end, or when did it?"
          {...at('eventEndsLocal')}
        />
        <div class="donor-amount">
          <Field
            name="amount"
            label="How much is there?"
            hint="A guess is good enough. A full sack is about as big as a car seat."
            inputmode="decimal"
            autocomplete="off"
            {...at('amount')}
          />
          <fieldset class="donor-unit">
            <legend class="unseen">Counted in</legend>
            {(['sacks', 'kg'] as const).map((unit) => (
              <label class="choice">
                <input type="radio" name="unit" value={unit} checked={(typed['unit'] ?? 'sacks') === unit} />
                <span>{unit === 'sacks' ? 'sacks' : 'kilograms'}</span>
              </label>
            ))}
          </fieldset>
        </div>
        <div class="donor-days">
          <Field name="fromDay" label="We can fetch it from" type="date" {...at('fromDay')} />
          <Field name="untilDay" label="until" type="date" {...at('untilDay')} />
        </div>
        <TextField
          name="remarks"
          label="Where does it stand, and what should the driver know?"
          hint="Gate, key, ramp, whom to ask for."
          {...at('remarks')}
        />
        <fieldset
          class={errors['hazards'] ? 'field field-wrong' : 'field'}
          aria-describedby="hazards-hint hazards-error"
        >
          <legend>Is anything of this in it?</legend>
          <p class="hint" id="hazards-hint">
            Our driver lifts it by hand. Please take needles, glass and anything you do not know out before;
            we may have to leave a sack behind.
          </p>
          {Object.entries(HAZARDS).map(([name, label]) => (
            <CheckBox
              name={name}
              label={label.charAt(0).toUpperCase() + label.slice(1)}
              typed={typed[name]}
            />
          ))}
          <CheckBox name="hazardNone" label="None of these" typed={typed['hazardNone']} />
          <FieldError name="hazards" error={errors['hazards']} />
        </fieldset>
        <div class="actions">
          <button class="primary" type="submit">
            See the days
          </button>
          <span class="hint">Nothing is fixed yet: you choose a day next.</span>
        </div>
      </form>
    </Page>
  );
};
