/** The run sheet of one day: the van, the stops in order, what to skip, cautions; printable on A4 to be written on. */
import type { LocalDay } from '../../core/quantity/units.ts';
import type { Say } from '../messages/say.ts';
import { dayLong, dayShort, duration, km, machineTime, time } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { neverLeftOut } from '../shared/skip-words.ts';
import { telUri } from '../shared/uris.ts';
import { OWN_MAIL } from '../shared/your-mail.tsx';
import { GeneralCautions } from './general-cautions.tsx';
import { LoadStrips } from './load-strip.tsx';
import { RoundMarks } from './round-marks.tsx';
import type { PauseView, RoundView, RunView, SiteStopView, WorkshopFacts } from './run-view.ts';
import { MapLink, PlannedTime, StopFacts } from './stop-facts.tsx';
import { loadAlong, warningsOf } from './van-load.ts';

/** Whose page it is, and where it stands in the navigation. */
const FRAME = { role: 'driver', here: '/driver', scripts: ['driver-sheet'] } as const;

export type RunPageProps = {
  readonly say: Say;
  readonly view: RunView;
  /** The day on show. */
  readonly day: LocalDay;
  readonly notice?: Notice | undefined;
  /** The forms' own, so that a second press of a button changes nothing. */
  readonly factId: string;
};

export const RunPage = ({ say, view, day, notice, factId }: RunPageProps) => {
  const { workshop, driverName, todayDay, rounds } = view;
  const shown = rounds.filter((round) => round.day === day);
  const otherDays = [...new Set(rounds.map((round) => round.day))].filter((other) => other !== day).sort();
  return (
    <Page title={`Run sheet, ${dayShort(day)}`} {...FRAME} say={say} workshop={workshop.name} notice={notice}>
      <div class="run-title">
        <p class="kicker">
          {day === todayDay ? 'Today' : day > todayDay ? 'Coming up' : 'Earlier'} · {driverName}
        </p>
        <h1>{dayLong(day)}</h1>
      </div>
      {shown.length === 0 ? (
        <p class="lead">No round is planned for you on this day.</p>
      ) : (
        shown.map((round, i) => (
          <RoundSheet say={say} round={round} workshop={workshop} factId={`${factId}-${i}`} />
        ))
      )}
      <OtherDays days={otherDays} todayDay={todayDay} rounds={rounds} />
      <form class="on-screen" method="post" action={OWN_MAIL.driver}>
        <button type="submit" class="quiet">
          What we write to you
        </button>
      </form>
    </Page>
  );
};

const OtherDays = ({
  days,
  todayDay,
  rounds,
}: {
  readonly days: readonly LocalDay[];
  readonly todayDay: LocalDay;
  readonly rounds: readonly RoundView[];
}) =>
  days.length === 0 ? null : (
    <nav class="run-days on-screen" aria-label="Other days">
      <h2>Other days</h2>
      <ul class="run-day-list">
        {days.map((day) => {
          const stops = rounds.filter((r) => r.day === day).flatMap((r) => r.stops);
          const count = stops.filter(({ kind }) => kind === 'site').length;
          return (
            <li>
              <a href={day === todayDay ? '/driver' : `/driver?day=${day}`}>
                {day === todayDay ? 'Today' : dayLong(day)}
              </a>{' '}
              <span class="soft">{count === 1 ? '1 stop' : `${count} stops`}</span>
            </li>
          );
        })}
      </ul>
    </nav>
  );

type RoundSheetProps = {
  readonly say: Say;
  readonly round: RoundView;
  readonly workshop: WorkshopFacts;
  readonly factId: string;
};
const RoundSheet = ({ say, round, workshop, factId }: RoundSheetProps) => {
  const { zone } = workshop;
  const along = loadAlong(round);
  const sites = round.stops.filter((stop) => stop.kind === 'site');
  const next = sites.find((stop) => !stop.outcome);
  const numberOf = new Map(sites.map((stop, i) => [stop.stopId, i + 1]));
  const passed = along.passedAt && sites.find((stop) => stop.stopId === along.passedAt?.stopId);
  return (
    <section class="run-round">
      <div class="run-side">
        <RoundFacts round={round} zone={zone} stops={sites.length} />
        <RoundMarks round={round} zone={zone} factId={factId} />
        {warningsOf(along.now, round.payloadKg, round.loadSpaceL).map((warning) => (
          <p class="run-warning" role="alert">
            {say.driver.load[warning](along.now, round)}
          </p>
        ))}
        {along.passedAt && passed && (
          <p class="run-warning">{say.driver.passed[along.passedAt.limit](passed.name)}</p>
        )}
        <LoadStrips round={round} />
      </div>
      <ol class="run-stops" aria-label="Stops in order">
        {round.stops.map((stop) =>
          stop.kind === 'site' ? (
            <StopEntry
              say={say}
              stop={stop}
              number={numberOf.get(stop.stopId) ?? 0}
              isNext={stop === next}
              zone={zone}
            />
          ) : (
            <PauseEntry stop={stop} workshop={workshop} breakS={round.breakRule.breakS} />
          ),
        )}
        <li class="run-pause">
          <span class="run-when">{time(round.endAt, zone)}</span>
          <span>Back at {workshop.name}, unloaded</span>
        </li>
      </ol>
      <div class="run-after">
        <p class="on-screen">
          The whole round for a navigation program:{' '}
          <a href={`/driver/rounds/${round.roundId}/round.gpx`}>GPX</a>,{' '}
          <a href={`/driver/rounds/${round.roundId}/round.geojson`}>GeoJSON</a>.
        </p>
        <SkipFirst say={say} round={round} />
        <GeneralCautions phone={workshop.phone} tel={telUri(workshop.phone)} />
      </div>
    </section>
  );
};

const RoundFacts = ({
  round,
  zone,
  stops,
}: {
  readonly round: RoundView;
  readonly zone: string;
  readonly stops: number;
}) => (
  <dl class="run-pairs run-head">
    <dt>Van</dt>
    <dd>{round.vanName}</dd>
    <dt>Round</dt>
    <dd>
      {stops === 1 ? '1 stop' : `${stops} stops`}, {km(round.distanceM)}
    </dd>
    <dt>Leave</dt>
    <dd>
      <time datetime={machineTime(round.startAt)}>{time(round.startAt, zone)}</time>, back about{' '}
      {time(round.endAt, zone)}
    </dd>
    <dt>Break</dt>
    <dd>
      {duration(round.breakRule.breakS)}, to start by{' '}
      <b>{time(round.startAt + round.breakRule.maxWorkS, zone)}</b>
    </dd>
    <dt>Shift ends</dt>
    <dd>
      <b>{time(round.shiftEndAt, zone)}</b>
      {round.endAt > round.shiftEndAt && (
        <span class="run-late"> The round is planned past it; call if it gets later still.</span>
      )}
    </dd>
  </dl>
);

const SkipFirst = ({ say, round }: { readonly say: Say; readonly round: RoundView }) => {
  const { skip } = say;
  const kept = neverLeftOut(
    round.stops.filter((stop) => stop.kind === 'site'),
    say,
  );
  if (round.skipFirst.length === 0 && kept.length === 0) return null;
  return (
    <div class="run-skip">
      <h3>If the van is full early</h3>
      <p>
        <b>{skip.leaveOutFirst(round.skipFirst.map(({ name }) => name))}</b>{' '}
        {skip.never(kept.map(({ stop, why }) => ({ name: stop.name, why })))}
      </p>
      <p>{skip.fullMeans(round)}</p>
      <p class="soft">
        {round.tripRisks.length > 0
          ? skip.trips(round.tripRisks).join(' ')
          : skip.fullEarly(round.fullEarlyRisk)}{' '}
        Hand each in as not collected, “van full”, so that it comes up again.
      </p>
    </div>
  );
};

const PauseEntry = ({
  stop,
  workshop,
  breakS,
}: {
  readonly stop: PauseView;
  readonly workshop: WorkshopFacts;
  readonly breakS: number;
}) => (
  <li class="run-pause">
    <span class="run-when">
      <time datetime={machineTime(stop.startAt)}>{time(stop.startAt, workshop.zone)}</time>
    </span>
    {stop.kind === 'break' ? (
      <span>
        <b>Break</b>, {duration(stop.departAt - stop.startAt || breakS)}
      </span>
    ) : (
      <span>
        <b>Unload</b> at {workshop.name}, away again at {time(stop.departAt, workshop.zone)}
      </span>
    )}
  </li>
);

const StopEntry = ({
  say,
  stop,
  number,
  isNext,
  zone,
}: {
  readonly say: Say;
  readonly stop: SiteStopView;
  readonly number: number;
  readonly isNext: boolean;
  readonly zone: string;
}) => {
  const look = stop.outcome ? 'run-stop run-stop-done' : isNext ? 'run-stop run-stop-next' : 'run-stop';
  return (
    <li class={look} id={`stop-${stop.stopId}`}>
      <p class="run-number">
        <span class="unseen">Stop </span>
        {number}
      </p>
      <div class="run-stop-body">
        {isNext && <p class="run-flag">Next stop</p>}
        <h3 class="run-name">
          <span class="run-at">
            <PlannedTime stop={stop} zone={zone} />
          </span>{' '}
          {stop.name}
        </h3>
        {stop.outcome ? (
          <p class="run-outcome">
            {say.driver.outcome(stop.outcome)}{' '}
            <span class="soft">
              handed in {time(stop.outcome.at, zone)}, expected {say.driver.kgExpected(stop)}
            </span>{' '}
            <a class="on-screen" href={`/driver/stops/${stop.stopId}`}>
              Look or correct<span class="unseen">: {stop.name}</span>
            </a>
          </p>
        ) : (
          <>
            <StopFacts say={say} stop={stop} zone={zone} />
            <p class="actions on-screen">
              <a class={isNext ? 'button primary' : 'button'} href={`/driver/stops/${stop.stopId}`}>
                Hand in<span class="unseen">: {stop.name}</span>
              </a>
              <MapLink stop={stop} />
            </p>
            <PaperBoxes />
          </>
        )}
      </div>
    </li>
  );
};

/** Room to write on paper, in the order of the form, so that it can be entered afterwards without thinking. */
const PaperBoxes = () => (
  <div class="run-paper" aria-hidden="true">
    {['Gross kg', 'Tare kg', 'Net kg', 'Bags'].map((label) => (
      <span class="run-box">{label}</span>
    ))}
    <span class="run-tick">Found full</span>
    <span class="run-box">Thrown out kg</span>
    <span class="run-box run-box-wide">Why, or why not collected</span>
  </div>
);
