/** The map of a day: the picture, and beside it the same in words, for eyes and ears alike. */
import { dayLong, dayShort, kg, number, time, timeSpan, weekday } from '../../shared/format.ts';
import { Page } from '../../shared/page.tsx';
import { PLAN_STATE_WORDS } from '../../shared/words.ts';
import { layOutMap, type MapLayout } from './map-layout.ts';
import { lookOf, MapPicture, Plate } from './map-picture.tsx';
import type { DayMapView, MapRound, MapView } from './map-view.ts';
import { besideMark, plateText, roundFacts, roundName, windowWords } from './map-words.ts';

const FRAME = { role: 'coordinator', here: '/map', width: 'sheet', scripts: ['map'] } as const;

export const MapPage = ({ view }: { readonly view: DayMapView }) => (
  <Page title={`Map, ${dayLong(view.day)}`} workshop={view.workshop.name} {...FRAME}>
    <p class="kicker">
      <a href={view.planId ? `/week?plan=${view.planId}` : '/week'}>The week sheet</a>
      {view.planState && ` · ${PLAN_STATE_WORDS[view.planState].toLowerCase()} plan`}
    </p>
    <h1>{dayLong(view.day)}</h1>
    <DayLinks view={view} />
    <div class="map-and-list">
      <MapFigure view={view} />
      <div class="map-list">
        {view.rounds.length === 0 ? (
          <p class="lead">
            No round on this day{view.planId ? '' : ': nothing is planned yet'}. The dots are the sites, to
            see where film waits.
          </p>
        ) : (
          view.rounds.map((round) => <RoundList round={round} view={view} />)
        )}
      </div>
    </div>
  </Page>
);

const DayLinks = ({ view }: { readonly view: DayMapView }) => (
  <nav aria-label="Days" class="map-days on-screen">
    <ul>
      {view.days.map(({ day, rounds }) => (
        <li class="map-day">
          <a
            href={`/map?day=${day}${view.planId ? `&plan=${view.planId}` : ''}`}
            aria-current={day === view.day ? 'page' : undefined}
            aria-label={`${dayShort(day)}, ${rounds === 0 ? 'no round' : rounds === 1 ? '1 round' : `${rounds} rounds`}`}
          >
            <b>{weekday(day)}</b> {dayShort(day).replace(/^\S+ /, '')}
            <small>{rounds === 0 ? 'no round' : rounds === 1 ? '1 round' : `${number(rounds)} rounds`}</small>
          </a>
        </li>
      ))}
    </ul>
  </nav>
);

/** The picture with its key; on a round's page as well. */
export const MapFigure = ({ view }: { readonly view: MapView }) => {
  const zone = view.workshop.zone;
  const roundOf = new Map(view.rounds.flatMap((round) => round.stops.map((stop) => [stop, round] as const)));
  const layout = layOutMap(view, (stop) => besideMark(roundOf.get(stop)!, stop, zone));
  return (
    <figure class="map-figure" data-map-figure>
      <MapPicture view={view} layout={layout} name={`Map of ${dayLong(view.day)}`} />
      <MapKey view={view} layout={layout} />
    </figure>
  );
};

const MapKey = ({ view, layout }: { readonly view: MapView; readonly layout: MapLayout }) => {
  const heaviest = Math.max(0, ...layout.stops.map(({ stop }) => stop.expectedKg));
  const samples = heaviest > 0 ? [niceKg(heaviest / 4), niceKg(heaviest)] : [];
  return (
    <figcaption>
      <ul class="key key-line">
        {view.rounds.map((round) => (
          <li>
            <WaySample round={round} /> {view.rounds.length > 1 && <b>{round.letter}</b>} {roundName(round)}
          </li>
        ))}
        {samples.length > 0 && (
          <li>
            <FilmSample layout={layout} masses={samples} /> film expected:{' '}
            {samples.map((mass) => kg(mass)).join(' and ')}
          </li>
        )}
        <li>
          <svg class="sign" viewBox="-8 -8 16 16" width="16" height="16" aria-hidden="true">
            <circle class="map-dot" r="3.4" />
          </svg>{' '}
          a site that waits
        </li>
        <li>
          <svg class="sign" viewBox="-12 -12 24 24" width="16" height="16" aria-hidden="true">
            <path class="map-house" d="M-9 9V-2L0 -10L9 -2V9Z" />
          </svg>{' '}
          the workshop
        </li>
        {layout.beyond > 0 && (
          <li>
            {layout.beyond === 1 ? 'One site lies' : `${number(layout.beyond)} sites lie`} beyond this map
          </li>
        )}
      </ul>
      {view.rounds.length > 0 && (
        <p class="small soft">
          A line runs on its own right, the way it is driven. It is a guess of the way; signs and closures
          come first.
        </p>
      )}
    </figcaption>
  );
};

/** 1, 2 or 5 times a power of ten, at most the mass. */
const niceKg = (mass: number): number => {
  const ten = 10 ** Math.floor(Math.log10(mass));
  return ([5, 2, 1].find((step) => step * ten <= mass) ?? 1) * ten;
};

export const WaySample = ({ round }: { readonly round: MapRound }) => (
  <svg class="way-sample" viewBox="0 0 44 14" width="44" height="14" aria-hidden="true">
    <path class={`way way-${lookOf(round)}`} d="M1 7H43" />
    <path class={`arrow way-${lookOf(round)}`} d="M18 2L27 7L18 12" />
  </svg>
);

const FilmSample = ({
  layout,
  masses,
}: {
  readonly layout: MapLayout;
  readonly masses: readonly number[];
}) => {
  const radius = Math.ceil(Math.max(...masses.map(layout.filmRadius)));
  return (
    <svg
      class="film-sample"
      viewBox={`${-radius - 1} ${-2 * radius - 1} ${2 * radius + 2} ${2 * radius + 2}`}
      width={2 * radius + 2}
      height={2 * radius + 2}
      aria-hidden="true"
    >
      {masses.map((mass) => (
        <circle class="map-film" cy={-layout.filmRadius(mass)} r={layout.filmRadius(mass)} />
      ))}
    </svg>
  );
};

const RoundList = ({ round, view }: { readonly round: MapRound; readonly view: DayMapView }) => {
  const { zone } = view.workshop;
  return (
    <section class="map-round" aria-labelledby={`round-${round.roundId}`}>
      <h2 id={`round-${round.roundId}`}>
        <WaySample round={round} /> {view.rounds.length > 1 && `${round.letter} `}
        <a href={`/rounds/${round.roundId}`}>{roundName(round)}</a>
      </h2>
      <p class="small soft">{roundFacts(round, zone)}</p>
      <table>
        <caption class="unseen">
          Stops in their order, from {timeSpan(round.startAt, round.endAt, zone)}
        </caption>
        <thead>
          <tr>
            <th scope="col">
              <span class="unseen">Number</span>
            </th>
            <th scope="col">Site</th>
            <th scope="col">Time</th>
            <th scope="col" class="number">
              Film
            </th>
          </tr>
        </thead>
        <tbody>
          {round.stops.map((stop) => (
            <tr data-row={`${round.roundId}-${stop.number}`}>
              <td class="plate-cell">
                <svg
                  viewBox="-15 -15 30 30"
                  width="26"
                  height="26"
                  role="img"
                  aria-label={`Stop ${stop.number}`}
                >
                  <Plate round={round} text={plateText(round, stop, view.rounds.length > 1)} />
                </svg>
              </td>
              <th scope="row">
                <a href={`/sites/${stop.siteId}`}>{stop.name}</a>
              </th>
              <td>
                {time(stop.startAt, zone)}
                <small class="soft">{windowWords(stop, zone)}</small>
              </td>
              <td class="number">{kg(stop.expectedKg)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
};
