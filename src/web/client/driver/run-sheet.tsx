/** The sheet of a day: the next stop large, the van, the rest in order, what is done folded away. */
import { GeneralCautions } from '../../driver/general-cautions.tsx';
import { LoadStrips } from '../../driver/load-strip.tsx';
import type { PauseView, RoundView, SiteStopView } from '../../driver/run-view.ts';
import { MapLink, StopFacts } from '../../driver/stop-facts.tsx';
import { loadAlong, warningsOf } from '../../driver/van-load.ts';
import { telUri } from '../../shared/uris.ts';
import { dueIn } from './due.ts';
import { FactLine, Refused } from './fact-lines.tsx';
import { RoundMarks } from './round-marks.tsx';
import { useSheet, useTime } from './shown.ts';
import { SkipFirst } from './skip-first.tsx';

export const RunSheet = ({ day }: { readonly day: string }) => {
  const { phone, say, nowAt, state } = useSheet();
  const { run, elsewhere } = phone;
  const rounds = run.rounds.filter((round) => round.day === day);
  const others = [...new Set(run.rounds.map((round) => round.day))].filter((other) => other !== day).sort();
  return (
    <>
      <p class="sheet-day">
        <b>{say.f.dayLong(day)}</b> · {run.driverName}
      </p>
      <Refused />
      {rounds.length === 0 && <p class="lead">{say.sheet.noRound}</p>}
      {rounds.map((round) => (
        <Round key={round.roundId} round={round} isToday={day === run.todayDay} nowAt={nowAt} />
      ))}
      {elsewhere.length > 0 && (
        <section>
          <h2>{say.sheet.atNoStop}</h2>
          {elsewhere.map((fact) => (
            <FactLine fact={fact} />
          ))}
        </section>
      )}
      {others.length > 0 && (
        <nav aria-label={say.sheet.otherDays} class="sheet-days">
          <h2>{say.sheet.otherDays}</h2>
          {others.map((other) => (
            <a href={other === run.todayDay ? '/driver' : `/driver?day=${other}`}>
              {other === run.todayDay ? say.sheet.today : say.f.dayLong(other)}
            </a>
          ))}
        </nav>
      )}
      {state.troubles.some(({ kind }) => kind === 'not-persistent') && (
        <p class="sheet-caution">{say.sheet.notPersistent}</p>
      )}
      <p class="sheet-back">
        <a href="/driver?plain=1">{say.sheet.plain}</a>
      </p>
    </>
  );
};

type RoundProps = { readonly round: RoundView; readonly isToday: boolean; readonly nowAt: number };
const Round = ({ round, isToday, nowAt }: RoundProps) => {
  const { say, phone } = useSheet();
  const { workshop } = phone.run;
  const along = loadAlong(round);
  const sites = round.stops.filter((stop) => stop.kind === 'site');
  const next = sites.find((stop) => !stop.outcome);
  const rest = round.stops.filter((stop) => stop !== next && !(stop.kind === 'site' && stop.outcome));
  const done = sites.filter((stop) => stop.outcome);
  const passed = along.passedAt && sites.find((stop) => stop.stopId === along.passedAt?.stopId);
  return (
    <section class="sheet-round">
      {isToday && <Due round={round} nowAt={nowAt} />}
      {warningsOf(along.now, round.payloadKg, round.loadSpaceL).map((warning) => (
        <p class="sheet-warning" role="alert">
          {say.driver.load[warning](along.now, round)}
        </p>
      ))}
      {next ? (
        <NextStop stop={next} number={sites.indexOf(next) + 1} of={sites.length} />
      ) : (
        <p class="lead">{say.sheet.allDone}</p>
      )}
      {isToday && <RoundMarks round={round} openStops={sites.length - done.length} />}
      {along.passedAt && passed && (
        <p class="sheet-warning">{say.driver.passed[along.passedAt.limit](passed.name)}</p>
      )}
      <LoadStrips round={round} />
      {rest.length > 0 && (
        <section>
          <h2>{say.sheet.thenComes}</h2>
          <ol class="sheet-rest">
            {rest.map((stop) =>
              stop.kind === 'site' ? (
                <RestStop round={round} stop={stop} />
              ) : (
                <Pause stop={stop} breakS={round.breakRule.breakS} workshop={workshop.name} />
              ),
            )}
          </ol>
        </section>
      )}
      {done.length > 0 && (
        <details class="sheet-done" open={done.length < 4}>
          <summary>{say.sheet.doneStops(done.length)}</summary>
          <ul class="sheet-rest">
            {done.map((stop) => (
              <DoneStop stop={stop} />
            ))}
          </ul>
        </details>
      )}
      <More round={round} />
      <SkipFirst round={round} />
      <GeneralCautions phone={workshop.phone} tel={telUri(workshop.phone)} />
    </section>
  );
};

const NextStop = ({
  stop,
  number,
  of,
}: {
  readonly stop: SiteStopView;
  readonly number: number;
  readonly of: number;
}) => {
  const { say, zone } = useSheet();
  const time = useTime();
  return (
    <section class="sheet-next" id={`stop-${stop.stopId}`}>
      <p class="sheet-flag">
        {say.sheet.next} · {say.sheet.stopOf(number, of)} · {time(stop.startAt)}
      </p>
      <h1>{stop.name}</h1>
      <StopFacts say={say} stop={stop} zone={zone} />
      <p class="sheet-buttons">
        <a class="button primary" href={`/driver/stops/${stop.stopId}`}>
          {say.sheet.weighIn}
        </a>
        <a class="button" href={`/driver/stops/${stop.stopId}?missed`}>
          {say.sheet.notCollected}
        </a>
        <MapLink stop={stop} />
      </p>
    </section>
  );
};

const RestStop = ({ round, stop }: { readonly round: RoundView; readonly stop: SiteStopView }) => {
  const { model, say, zone } = useSheet();
  const time = useTime();
  return (
    <li id={`stop-${stop.stopId}`}>
      <details>
        <summary>
          <span class="sheet-when">{time(stop.startAt)}</span>
          <span class="sheet-name">{stop.name}</span>
          <span class="sheet-kg">{say.f.kg(stop.expectedKg)}</span>
        </summary>
        <StopFacts say={say} stop={stop} zone={zone} />
        <p class="sheet-buttons">
          <button type="button" onClick={() => void model.goNextTo(round.roundId, stop.stopId)}>
            {say.sheet.doNext}
          </button>
          <a class="button" href={`/driver/stops/${stop.stopId}`}>
            {say.sheet.weighIn}
          </a>
          <a class="button" href={`/driver/stops/${stop.stopId}?missed`}>
            {say.sheet.notCollected}
          </a>
          <MapLink stop={stop} />
        </p>
      </details>
    </li>
  );
};

const Pause = ({
  stop,
  breakS,
  workshop,
}: {
  readonly stop: PauseView;
  readonly breakS: number;
  readonly workshop: string;
}) => {
  const { say } = useSheet();
  const time = useTime();
  return (
    <li class="sheet-pause">
      <span class="sheet-when">{time(stop.startAt)}</span>
      <span>
        {stop.kind === 'break'
          ? say.sheet.breakOf(say.f.duration(stop.departAt - stop.startAt || breakS))
          : say.sheet.unloadAt(workshop)}
      </span>
    </li>
  );
};

const DoneStop = ({ stop }: { readonly stop: SiteStopView }) => {
  const { say, phone } = useSheet();
  const time = useTime();
  const fact = phone.factOf.get(stop.stopId);
  return (
    <li id={`stop-${stop.stopId}`} class="sheet-done-stop">
      <p>
        <b>{stop.name}</b>
      </p>
      <p>{stop.outcome && say.driver.outcome(stop.outcome)}</p>
      <p class="sheet-fact-state">
        {stop.outcome && time(stop.outcome.at)} · {say.sheet.state[fact?.state ?? 'handed-in']}{' '}
      </p>
      <a class="button" href={`/driver/stops/${stop.stopId}`}>
        {say.sheet.look}
        <span class="unseen">: {stop.name}</span>
      </a>
    </li>
  );
};

const Due = ({ round, nowAt }: { readonly round: RoundView; readonly nowAt: number }) => {
  const { say } = useSheet();
  const time = useTime();
  const due = dueIn(round, nowAt);
  const length = say.f.duration(round.breakRule.breakS);
  return (
    <div class="sheet-due">
      {due.isShiftOver && (
        <p class="sheet-warning" role="alert">
          {say.sheet.shiftOver}
        </p>
      )}
      {due.isBreakDue && (
        <p class="sheet-warning" role="alert">
          {say.sheet.breakDue(length)}
        </p>
      )}
      <p>
        {due.breakByAt !== undefined && <span>{say.sheet.breakBy(time(due.breakByAt), length)} · </span>}
        <span>{say.sheet.shiftEnds(time(round.shiftEndAt))}</span>
      </p>
    </div>
  );
};

const More = ({ round }: { readonly round: RoundView }) => {
  const { say, phone } = useSheet();
  const tel = telUri(phone.run.workshop.phone);
  return (
    <details class="sheet-more">
      <summary>{say.sheet.more}</summary>
      <p class="sheet-buttons">
        <a class="button" href={`/driver/rounds/${round.roundId}/unload`}>
          {say.sheet.unload}
        </a>
        <a class="button" href={`/driver/rounds/${round.roundId}/extra`}>
          {say.sheet.extra}
        </a>
        <a class="button" href={`/driver/rounds/${round.roundId}/off-road`}>
          {say.sheet.offRoad}
        </a>
        {tel && (
          <a class="button" href={tel}>
            {say.sheet.callWorkshop}
          </a>
        )}
      </p>
    </details>
  );
};
