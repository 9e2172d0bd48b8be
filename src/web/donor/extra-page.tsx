/** The form for an extra collection: seven questions, most of them answered before one starts. */
import { EVENT_KINDS } from '../../core/vocabulary.ts';
import type { Say } from '../messages/say.ts';
import { CheckBox, FieldError, LocalTimeField, TextField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { HAZARD_FIELDS } from '../shared/hazards.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import type { DonorFill, DonorSiteView, DonorView } from './donor-view.ts';
import { MeasurePicture } from './measure-pictures.tsx';
import { litresOfOne, MEASURES, sacksIn } from './measures.ts';

const FRAME = { role: 'donor', here: '/donor', width: 'narrow' } as const;

export type ExtraPageProps = {
  readonly say: Say;
  /** Where the form goes; another address when a booking is changed. */
  readonly action: string;
  readonly isChange?: boolean;
  readonly view: DonorView;
  readonly site: DonorSiteView;
  readonly typed: Typed;
  readonly errors: FieldErrors;
  readonly notice?: Notice | undefined;
};

export const ExtraPage = ({
  say,
  view: { workshop },
  site,
  typed,
  errors,
  notice,
  action,
  isChange = false,
}: ExtraPageProps) => {
  const { booking, donor, frame } = say;
  const at = (name: string) => ({ typed: typed[name], error: errors[name] });
  const title = isChange ? booking.changeTitle : booking.title;
  return (
    <Page title={title} say={say} live={false} workshop={workshop.name} notice={notice} {...FRAME}>
      <p>
        <a href="/donor">{donor.back}</a>
      </p>
      <div>
        <p class="kicker">{site.name}</p>
        <h1>{title}</h1>
      </div>
      <form class="donor-form" method="post" action={action} novalidate>
        <input type="hidden" name="factId" value={typed['factId'] ?? ''} />
        {Object.keys(errors).length > 0 && (
          <p class="field-error" role="alert">
            {errors[''] ?? frame.lookAgain}
          </p>
        )}
        <EventField say={say} typed={typed['eventKind']} error={errors['eventKind']} />
        <AmountField say={say} fill={site.fill} typed={typed} error={errors['amount']} />
        <LocalTimeField
          name="eventEndsLocal"
          label={booking.askEnds}
          hint={booking.endsHint}
          {...at('eventEndsLocal')}
        />
        <div class="donor-days">
          <Field name="fromDay" label={booking.askFrom} type="date" {...at('fromDay')} />
          <Field name="untilDay" label={booking.askUntil} type="date" {...at('untilDay')} />
        </div>
        <TextField name="remarks" label={booking.askWhere} hint={booking.whereHint} {...at('remarks')} />
        <HazardsField say={say} typed={typed} error={errors['hazards']} />
        <div class="actions">
          <button class="primary" type="submit">
            {booking.seeDays}
          </button>
          <span class="hint">{booking.nothingFixed}</span>
        </div>
        {!isChange && (
          <div class="actions">
            <button type="submit" name="only" value="tell">
              {booking.onlyTell}
            </button>
            <span class="hint">{booking.onlyTellHint}</span>
          </div>
        )}
      </form>
    </Page>
  );
};

type Asked = { readonly say: Say; readonly error: string | undefined };

const EventField = ({ say: { booking }, typed, error }: Asked & { readonly typed: string | undefined }) => (
  <fieldset class={error ? 'field field-wrong' : 'field'} aria-describedby="eventKind-error">
    <legend>{booking.askEvent}</legend>
    <div class="chips">
      {EVENT_KINDS.map((kind) => (
        <label class="choice">
          <input type="radio" name="eventKind" value={kind} checked={typed === kind} />
          <span>{booking.events[kind]}</span>
        </label>
      ))}
    </div>
    <FieldError name="eventKind" error={error} />
  </fieldset>
);

const AmountField = ({
  say: { booking },
  fill,
  typed,
  error,
}: Asked & { readonly fill: DonorFill; readonly typed: Typed }) => {
  const unit = typed['unit'] ?? 'sacks';
  return (
    <fieldset class={error ? 'field field-wrong' : 'field'}>
      <legend>{booking.askAmount}</legend>
      <p class="hint" id="amount-hint">
        {booking.amountHint}
      </p>
      <div class="guess-number">
        <label class="unseen" for="amount">
          {booking.askAmount} {booking.number}
        </label>
        <input
          id="amount"
          name="amount"
          inputmode="decimal"
          autocomplete="off"
          value={typed['amount'] ?? ''}
          aria-describedby="amount-hint amount-error"
          aria-invalid={error ? 'true' : undefined}
        />
      </div>
      <FieldError name="amount" error={error} />
      <fieldset class="guess">
        <legend class="unseen">{booking.countedIn}</legend>
        {MEASURES.map((measure) => (
          <label class="guess-choice">
            <input class="guess-radio" type="radio" name="unit" value={measure} checked={unit === measure} />
            <MeasurePicture measure={measure} />
            <span>
              <b>{booking.measures[measure]}</b>
              <span class="hint">
                {booking.measureIs(
                  Math.round(litresOfOne(measure, fill) / 10) * 10,
                  measure === 'sacks' ? undefined : sacksIn(measure, 1, fill),
                )}
              </span>
            </span>
          </label>
        ))}
        <label class="guess-choice guess-kg">
          <input class="guess-radio" type="radio" name="unit" value="kg" checked={unit === 'kg'} />
          <span>
            <b>{booking.kilograms}</b> <span class="hint">{booking.weighed}</span>
          </span>
        </label>
      </fieldset>
    </fieldset>
  );
};

const HazardsField = ({ say: { booking }, typed, error }: Asked & { readonly typed: Typed }) => (
  <fieldset class={error ? 'field field-wrong' : 'field'} aria-describedby="hazards-hint hazards-error">
    <legend>{booking.askHazards}</legend>
    <p class="hint" id="hazards-hint">
      {booking.hazardsHint}
    </p>
    <div class="chips">
      {HAZARD_FIELDS.map((name) => (
        <CheckBox name={name} label={booking.hazards[name]} typed={typed[name]} />
      ))}
      <CheckBox name="hazardNone" label={booking.hazardNone} typed={typed['hazardNone']} />
    </div>
    <FieldError name="hazards" error={error} />
  </fieldset>
);
