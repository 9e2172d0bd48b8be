/** One stop: what to know, a form to hand in what was taken, a form for a stop that was not collected. */
import { MISSED_REASONS, type MissedReason } from '../../core/vocabulary.ts';
import type { Say } from '../messages/say.ts';
import { SelectField, TextField } from '../shared/controls.tsx';
import { dateTime, dayLong, time } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import { at } from '../shared/weigh-in-controls.tsx';
import { MISSED_WORDS } from '../shared/words.ts';
import { GeneralCautions } from './general-cautions.tsx';
import type { StopPageView } from './run-view.ts';
import { MapLink, PlannedTime, StopFacts } from './stop-facts.tsx';
import { type FormState, WeighInForm } from './weigh-in-form.tsx';

const FRAME = { role: 'driver', here: '/driver', width: 'narrow', scripts: ['driver-sheet'] } as const;

export type StopPageProps = {
  readonly say: Say;
  readonly view: StopPageView;
  readonly weighIn: FormState;
  readonly missed: FormState;
  readonly notice?: Notice | undefined;
};

export const StopPage = ({ say, view, weighIn, missed, notice }: StopPageProps) => {
  const { workshop, round, stop } = view;
  const { zone } = workshop;
  const sites = round.stops.filter(({ kind }) => kind === 'site');
  const position = sites.findIndex(({ stopId }) => stopId === stop.stopId) + 1;
  const isWeighed = stop.outcome?.kind === 'weighed';
  return (
    <Page title={stop.name} say={say} workshop={workshop.name} notice={notice} {...FRAME}>
      <p>
        <a href={`/driver?day=${round.day}#stop-${stop.stopId}`}>Back to the run sheet</a>
      </p>
      <div class="run-title">
        <p class="kicker">
          {dayLong(round.day)} · stop {position} of {sites.length} · <PlannedTime stop={stop} zone={zone} />
        </p>
        <h1>{stop.name}</h1>
      </div>
      {stop.outcome && <Stands say={say} view={view} />}
      {!stop.outcome && (
        <>
          <StopFacts say={say} stop={stop} zone={zone} />
          <p class="actions">
            <MapLink stop={stop} />
          </p>
        </>
      )}
      <section>
        <h2>{isWeighed ? 'Correct it' : 'Hand in'}</h2>
        {isWeighed && (
          <p class="hint">What stands is filled in. The old entry is kept beside the correction.</p>
        )}
        <WeighInForm say={say} view={view} state={weighIn} />
      </section>
      {!stop.outcome && <MissedStopForm view={view} state={missed} />}
      <GeneralCautions phone={workshop.phone} tel={telUri(workshop.phone)} />
    </Page>
  );
};

const Stands = ({ say, view: { stop, workshop } }: { readonly say: Say; readonly view: StopPageView }) => {
  const { outcome } = stop;
  if (!outcome) return null;
  const corrected = outcome.kind === 'weighed' ? outcome.corrections : 0;
  return (
    <div class="run-stands">
      <p>
        <b>{say.driver.outcome(outcome)}</b>
      </p>
      <p class="soft">
        Handed in {dateTime(outcome.at, workshop.zone)}
        {outcome.kind === 'weighed' && `, ${say.words.method[outcome.method]}`}
        {corrected > 0 && `, corrected ${corrected === 1 ? 'once' : `${corrected} times`}`}. Planned{' '}
        {time(stop.startAt, workshop.zone)}.
      </p>
      {outcome.kind === 'missed' && (
        <p>The film still waits there, and the next plan knows. If you went back, hand it in below.</p>
      )}
    </div>
  );
};

/** Reasons as a driver would say them. */
const WHY: { readonly [reason in MissedReason]: string } = {
  ...MISSED_WORDS,
  closed: 'Closed, nobody there',
  'nothing-there': 'Nothing there to take',
  'no-access': 'Could not get in',
  'unsafe-contents': 'Contents looked unsafe: refused',
  'van-full': 'Van full',
  other: 'Something else (say what in the note)',
};
const OPTIONS = MISSED_REASONS.map((value) => ({ value, label: WHY[value] }));

const MissedStopForm = ({
  view,
  state: { typed, errors },
}: {
  readonly view: StopPageView;
  readonly state: FormState;
}) => (
  <section class="run-missed">
    <h2>Not collected</h2>
    <form class="run-form" method="post" action={`/driver/stops/${view.stop.stopId}/missed`} novalidate>
      <input type="hidden" name="factId" value={typed['factId'] ?? ''} />
      {errors[''] && (
        <p class="field-error" role="alert">
          {errors['']}
        </p>
      )}
      <SelectField
        name="reason"
        label="Why"
        options={OPTIONS}
        empty="choose one"
        {...at('reason', typed, errors)}
      />
      <TextField name="missedNote" label="Note" {...at('missedNote', typed, errors)} />
      <button type="submit">Hand in as not collected</button>
    </form>
  </section>
);
