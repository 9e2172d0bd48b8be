/** What a driver needs to know of a stop before getting out: shown on the run sheet and above the form. */

import type { Say } from '../messages/say.ts';
import { machineTime, time, timeSpan } from '../shared/format.ts';
import { geoUri, telUri } from '../shared/uris.ts';
import { liftCautions } from './cautions.ts';
import type { SiteStopView } from './run-view.ts';

type Props = { readonly stop: SiteStopView; readonly zone: string };

export const PlannedTime = ({ stop, zone }: Props) => (
  <time datetime={machineTime(stop.startAt)}>{time(stop.startAt, zone)}</time>
);

export const StopFacts = ({ say, stop, zone }: Props & { readonly say: Say }) => {
  const {
    driver,
    words,
    f,
    sheet: { facts },
  } = say;
  const { contact } = stop;
  const tel = contact && telUri(contact.phone);
  return (
    <div class="run-facts">
      <p class="run-expected">
        <b>{facts.about(driver.kgExpected(stop))}</b>
        <span>{driver.bagsExpected(stop)}</span>
        <span>{driver.litresExpected(stop)}</span>
      </p>
      {stop.reason && <p class="run-why">{words.stopReason(stop.reason, zone)}.</p>}
      <dl class="run-pairs">
        <dt>{facts.where}</dt>
        <dd>
          {[stop.address, stop.district].filter(Boolean).join(', ') || facts.noAddress}
          <span class="soft"> · {words.siteKind[stop.siteKind]}</span>
        </dd>
        <dt>{facts.open}</dt>
        <dd>{stop.open.length === 0 ? facts.noHours : driver.open(stop.open, zone)}</dd>
        <dt>{facts.timeHere}</dt>
        <dd>
          {timeSpan(stop.startAt, stop.departAt, zone)}{' '}
          <span class="soft">({facts.after(f.duration(stop.departAt - stop.startAt), f.km(stop.legM))})</span>
        </dd>
        {stop.containers.length > 0 && (
          <>
            <dt>{facts.containers}</dt>
            <dd>{stop.containers.map((c) => words.containers(c.kind, c.count, c.litresEach)).join('; ')}</dd>
          </>
        )}
        {contact && (
          <>
            <dt>{facts.contact}</dt>
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
            <dt>{facts.access}</dt>
            <dd>{stop.accessNotes}</dd>
          </>
        )}
        {stop.booking && stop.booking.remarks !== '' && (
          <>
            <dt>{facts.donorSays}</dt>
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
    <ul class="run-cautions" aria-label={say.sheet.facts.cautions}>
      {hazards !== '' && (
        <li>
          <b>{say.sheet.facts.donorWarns(hazards)}</b> {say.sheet.facts.refuseUnseen}
        </li>
      )}
      {stop.handlingNotes !== '' && <li>{stop.handlingNotes}</li>}
      {lifts.map((caution) => (
        <li>{say.driver.lift(caution)}</li>
      ))}
    </ul>
  );
};

export const MapLink = ({ say, stop }: { readonly say: Say; readonly stop: SiteStopView }) => (
  <a class="button" href={geoUri(stop.position)}>
    {say.sheet.facts.inMaps}
    <span class="unseen">: {stop.name}</span>
  </a>
);
