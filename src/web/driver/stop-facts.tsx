/** What a driver needs to know of a stop before getting out: shown on the run sheet and above the form. */

import type { Say } from '../messages/say.ts';
import { duration, km, machineTime, time, timeSpan } from '../shared/format.ts';
import { geoUri, telUri } from '../shared/uris.ts';
import { liftCautions } from './cautions.ts';
import type { SiteStopView } from './run-view.ts';

type Props = { readonly stop: SiteStopView; readonly zone: string };

export const PlannedTime = ({ stop, zone }: Props) => (
  <time datetime={machineTime(stop.startAt)}>{time(stop.startAt, zone)}</time>
);

export const StopFacts = ({ say, stop, zone }: Props & { readonly say: Say }) => {
  const { driver, words } = say;
  const { contact } = stop;
  const tel = contact && telUri(contact.phone);
  return (
    <div class="run-facts">
      <p class="run-expected">
        <b>About {driver.kgExpected(stop)}</b>
        <span>{driver.bagsExpected(stop)}</span>
        <span>{driver.litresExpected(stop)}</span>
      </p>
      {stop.reason && <p class="run-why">{words.stopReason(stop.reason, zone)}.</p>}
      <dl class="run-pairs">
        <dt>Where</dt>
        <dd>
          {[stop.address, stop.district].filter(Boolean).join(', ') || 'No address; see the map'}
          <span class="soft"> · {words.siteKind[stop.siteKind]}</span>
        </dd>
        <dt>Open</dt>
        <dd>{stop.open.length === 0 ? 'no hours known' : driver.open(stop.open, zone)}</dd>
        <dt>Time here</dt>
        <dd>
          {timeSpan(stop.startAt, stop.departAt, zone)}{' '}
          <span class="soft">
            ({duration(stop.departAt - stop.startAt)}, after {km(stop.legM)})
          </span>
        </dd>
        {stop.containers.length > 0 && (
          <>
            <dt>Containers</dt>
            <dd>{stop.containers.map((c) => words.containers(c.kind, c.count, c.litresEach)).join('; ')}</dd>
          </>
        )}
        {contact && (
          <>
            <dt>Contact</dt>
            <dd>
              {contact.name}
              {tel && (
                <>
                  {' '}
                  <a class="run-call" href={tel}>
                    {contact.phone}
                  </a>
                </>
              )}
            </dd>
          </>
        )}
        {stop.accessNotes !== '' && (
          <>
            <dt>Access</dt>
            <dd>{stop.accessNotes}</dd>
          </>
        )}
        {stop.booking && stop.booking.remarks !== '' && (
          <>
            <dt>Donor says</dt>
            <dd>{stop.booking.remarks}</dd>
          </>
        )}
      </dl>
      <StopCautions say={say} stop={stop} />
    </div>
  );
};

/** In a frame of its own, because it is read first when it is there. */
const StopCautions = ({ say, stop }: { readonly say: Say; readonly stop: SiteStopView }) => {
  const lifts = liftCautions(stop);
  const hazards = stop.booking?.hazards ?? '';
  if (lifts.length === 0 && stop.handlingNotes === '' && hazards === '') return null;
  return (
    <ul class="run-cautions" aria-label="Cautions">
      {hazards !== '' && (
        <li>
          <b>The donor warns: {hazards}.</b> Do not touch what you cannot see. Refuse it and call.
        </li>
      )}
      {stop.handlingNotes !== '' && <li>{stop.handlingNotes}</li>}
      {lifts.map((caution) => (
        <li>{say.driver.lift(caution)}</li>
      ))}
    </ul>
  );
};

export const MapLink = ({ stop }: { readonly stop: SiteStopView }) => (
  <a class="button" href={geoUri(stop.position)}>
    Open in maps<span class="unseen">: {stop.name}</span>
  </a>
);
