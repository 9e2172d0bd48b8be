/** The form for somebody who is no donor yet, and the thanks for it. */
import { EVENT_KINDS } from '../../core/vocabulary.ts';
import type { Say } from '../messages/say.ts';
import { LocalTimeField, SelectField, TextField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { Field, Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import type { DonorWorkshop } from './donor-view.ts';

type Props = {
  readonly say: Say;
  readonly workshop: DonorWorkshop;
  readonly typed: Typed;
  readonly errors: FieldErrors;
};

export const RequestPage = ({ say, workshop, typed, errors }: Props) => {
  const { request, booking, frame } = say;
  const at = (name: string) => ({ name, typed: typed[name], error: errors[name] });
  const options = EVENT_KINDS.map((value) => ({ value, label: booking.events[value] }));
  return (
    <Page title={request.title} say={say} workshop={workshop.name} width="narrow">
      <h1>{request.title}</h1>
      <p class="lead">{request.lead}</p>
      <p>{request.sorting}</p>
      <form class="donor-form" method="post" action="/request" novalidate>
        <input type="hidden" name="factId" value={typed['factId'] ?? ''} />
        <input type="hidden" name="stamp" value={typed['stamp'] ?? ''} />
        {Object.keys(errors).length > 0 && (
          <p class="field-error" role="alert">
            {errors[''] ?? frame.lookAgain}
          </p>
        )}
        <Field label={request.place} hint={request.placeHint} {...at('place')} />
        <SelectField label={request.event} options={options} empty="–" {...at('eventKind')} />
        <LocalTimeField label={request.ends} {...at('eventEndsLocal')} />
        <Field label={request.sacks} hint={request.sacksHint} inputmode="decimal" {...at('sacks')} />
        <Field label={request.until} type="date" {...at('untilDay')} />
        <TextField label={request.remarks} hint={request.remarksHint} {...at('remarks')} />
        <Field label={request.name} autocomplete="name" {...at('name')} />
        <Field label={request.contact} hint={request.contactHint} {...at('contact')} />
        <div class="nobody" aria-hidden="true">
          <label for="website">{request.leaveEmpty}</label>
          <input id="website" name="website" tabindex={-1} autocomplete="off" />
        </div>
        <button class="primary" type="submit">
          {request.send}
        </button>
      </form>
    </Page>
  );
};

type DoneProps = Pick<Props, 'say' | 'workshop'> & { readonly contact: string };
export const RequestDonePage = ({ say, workshop, contact }: DoneProps) => {
  const tel = telUri(workshop.phone);
  return (
    <Page title={say.request.done} say={say} languagePath="/request" workshop={workshop.name} width="narrow">
      <h1>{say.request.done}</h1>
      <p class="lead">{say.request.doneText(contact)}</p>
      {tel && (
        <p>
          <a href={tel}>{workshop.phone}</a>
        </p>
      )}
    </Page>
  );
};
