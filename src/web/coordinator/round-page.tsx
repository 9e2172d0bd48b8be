/** One round: its stops in order, why each is on it, and who waits although this day was the cheapest. */
import {
  dateTime,
  dayLong,
  duration,
  kg,
  kgRange,
  km,
  litres,
  money,
  time,
  timeSpan,
} from '../shared/format.ts';
import { Page } from '../shared/page.tsx';
import {
  fullEarlySentence,
  fullMeans,
  leaveOutFirst,
  neverLeftOut,
  neverSentence,
  tripSentences,
} from '../shared/skip-words.ts';
import {
  leftOut,
  MONEY_WORDS,
  moneyParts,
  PLAN_STATE_WORDS,
  stopConsequence,
  stopReason,
} from '../shared/words.ts';
import { MapFigure } from './map/map-page.tsx';
import type { RoundView } from './round-view.ts';
import { RoundGauges } from './week-rounds.tsx';

const FRAME = { role: 'coordinator', here: '/week', scripts: ['map'] } as const;

export const RoundPage = ({ view }: { readonly view: RoundView }) => {
  const { foot, workshop } = view;
  const { round } = foot;
  const title = `${foot.vanName} on ${dayLong(round.day)}`;
  return (
    <Page title={title} workshop={workshop.name} {...FRAME}>
      <p class="kicker">
        <a href={`/week?plan=${view.planId}`}>The week sheet</a> ·{' '}
        {PLAN_STATE_WORDS[view.planState].toLowerCase()} plan
      </p>
      <h1>{title}</h1>
      <p class="lead">
        {foot.driverName} leaves at {time(round.startAt, workshop.zone)} and is back at{' '}
        {time(round.endAt, workshop.zone)}: {km(round.distanceM)}, {duration(round.driveS)} at the wheel.
      </p>
      <div class="round-top">
        <div class="round-gauges">
          <RoundGauges foot={foot} />
          <p class="small soft">
            Lighter: the load that is held against the van (see <a href="/settings#caution">Settings</a>).{' '}
            {fullEarlySentence(round.fullEarlyRisk)}
          </p>
        </div>
        <RoundMoney view={view} />
      </div>
      {view.planState === 'published' && (
        <p class="actions on-screen">
          <a class="button" href={`/happened/van-off-road?van=${round.vanId}`}>
            The van is off the road
          </a>
          <a class="button" href={`/happened/driver-away?shift=${round.shiftId}`}>
            The driver is away
          </a>
          <a href={`/happened/load-weighed?round=${view.roundId}`}>A load was weighed</a>
        </p>
      )}
      {view.planState !== 'superseded' && (
        <p class="on-screen">
          <a href={`/plans/${view.planId}/drivers/${round.shiftId}`}>Another driver for this round</a>
        </p>
      )}
      <h2>On the map</h2>
      <MapFigure view={view.map} />
      <p class="on-screen">
        <a href={`/map?day=${round.day}&plan=${view.planId}`}>All rounds of this day</a>. Take it along:{' '}
        <a href={`/rounds/${foot.id}/round.gpx`}>GPX</a> for a navigation program,{' '}
        <a href={`/rounds/${foot.id}/round.geojson`}>GeoJSON</a> for a map.
      </p>
      <h2>Stops</h2>
      <ol class="legs">
        {round.stops.map((stop) => (
          <li class={`leg leg-${stop.kind} whole`} id={stop.siteId}>
            <p class="leg-time">
              {time(stop.startAt, workshop.zone)}
              <small>{stop.legM > 0 && `${km(stop.legM)}, ${duration(stop.legS)}`}</small>
            </p>
            <div>
              {stop.kind === 'site' && stop.siteId !== undefined ? (
                <>
                  <h3>
                    <a href={`/sites/${stop.siteId}`}>{view.siteNames[stop.siteId] ?? 'Unknown site'}</a>
                  </h3>
                  <p class="soft">{view.siteAddresses[stop.siteId]}</p>
                  <p>
                    About {kg(stop.expectedKg)} ({kgRange(stop.lowKg, stop.highKg)}), {litres(stop.expectedL)}
                    .
                    {stop.startAt > stop.arriveAt + 60 &&
                      ` Waits ${duration(stop.startAt - stop.arriveAt)} for the door to open.`}
                  </p>
                  {stop.reason && (
                    <p>
                      <strong>{stopReason(stop.reason, workshop)}.</strong>{' '}
                      {stopConsequence(stop.reason, workshop)}
                    </p>
                  )}
                  {view.planState !== 'superseded' && (
                    <p class="on-screen">
                      <a href={`/plans/${view.planId}/sites/${stop.siteId}/change?day=${round.day}`}>
                        Change this stop
                        <span class="unseen">: {view.siteNames[stop.siteId]}</span>
                      </a>
                    </p>
                  )}
                </>
              ) : (
                <h3 class="leg-plain">
                  {stop.kind === 'unload'
                    ? `Unload at the workshop, ${timeSpan(stop.startAt, stop.departAt, workshop.zone)}`
                    : `Break, ${duration(stop.departAt - stop.startAt)}`}
                </h3>
              )}
            </div>
          </li>
        ))}
      </ol>
      <h2>If the van is full early</h2>
      <FullEarly view={view} />
      {view.leftOut.length > 0 && (
        <>
          <h2>Not on this round</h2>
          <dl class="waits">
            {view.leftOut.map((out) => (
              <div class="wait whole">
                <dt>
                  <a href={`/sites/${out.siteId}`}>{view.siteNames[out.siteId] ?? 'Unknown site'}</a>
                </dt>
                <dd>{leftOut(out, workshop)}</dd>
              </div>
            ))}
          </dl>
        </>
      )}
      <p class="small soft">Seen {dateTime(view.nowAt, workshop.zone)}.</p>
    </Page>
  );
};

const FullEarly = ({ view: { foot, siteNames } }: { readonly view: RoundView }) => {
  const { round } = foot;
  const nameOf = (siteId: string | undefined): string => siteNames[siteId ?? ''] ?? 'unknown site';
  const kept = neverLeftOut(round.stops).map(({ stop, why }) => ({ name: nameOf(stop.siteId), why }));
  return (
    <>
      <p>
        <strong>{leaveOutFirst(round.skipFirst.map(nameOf))}</strong> {neverSentence(kept)}
      </p>
      {tripSentences(round.tripRisks ?? []).map((sentence) => (
        <p>{sentence}</p>
      ))}
      <p class="small soft">
        Those whose film is missed least come first; the driver’s run sheet says the same. {fullMeans(round)}
      </p>
    </>
  );
};

const RoundMoney = ({ view: { foot, workshop } }: { readonly view: RoundView }) => (
  <table class="round-parts">
    <caption>What this round weighs up</caption>
    <tbody>
      {moneyParts(foot.round.money).map(({ part, micros }) => (
        <tr>
          <th scope="row">
            {MONEY_WORDS[part].name} <span class="soft small">{MONEY_WORDS[part].means}</span>
          </th>
          <td class="number">{money(micros, workshop.currency)}</td>
        </tr>
      ))}
    </tbody>
  </table>
);
