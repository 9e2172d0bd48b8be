/**
 * A map as SVG, whole without a script: every stop is a link with its facts as a title. Signs and names stand in groups of
 * class `map-keep`, which keep their size when `client/map.ts` draws the map closer; what it needs is in `data-` attributes.
 */
import type { Child } from 'hono/jsx';
import { km } from '../../shared/format.ts';
import { tenth } from './ground-layout.ts';
import {
  type LaidLabel,
  type LaidSite,
  type LaidStop,
  type MapLayout,
  NAME_SIZE,
  PLATE,
  SMALL_SIZE,
  sizeOf,
} from './map-layout.ts';
import type { MapRound, MapView } from './map-view.ts';
import { plateText, stopFacts, waitingFacts } from './map-words.ts';

/** How many ways of drawing a round there are; with the letter they never mean the same twice. */
const LOOKS = 4;
export const lookOf = (round: MapRound): number =>
  (round.letter.charCodeAt(round.letter.length - 1) - 65) % LOOKS;

type PictureProps = {
  readonly view: MapView;
  readonly layout: MapLayout;
  readonly name: string;
  /** Drawn over everything else. */
  readonly children?: Child;
};

export const MapPicture = ({ view, layout, name, children }: PictureProps) => (
  <section class="map-window" aria-label={name} tabindex={0}>
    <svg
      class="map"
      aria-label={name}
      viewBox={`0 0 ${layout.width} ${layout.height}`}
      data-map
      data-width={layout.width}
      data-height={layout.height}
      data-units-per-m={layout.unitsPerM}
    >
      <rect class="map-paper" width={layout.width} height={layout.height} />
      <g>
        {layout.ground.map(({ look, d }) => (
          <path class={`ground-${look}`} d={d} />
        ))}
        {layout.places.map((place) => (
          <g transform={at(place.at)}>
            <g class="map-keep">
              <text
                class={`town town-${place.kind === 'district' ? 'district' : 'place'}`}
                {...textAt(place.label, NAME_SIZE)}
              >
                {place.name}
              </text>
            </g>
          </g>
        ))}
      </g>
      <g class="map-waiting">
        {layout.waiting.map((site) => (
          <WaitingMark laid={site} />
        ))}
      </g>
      <g class="map-films">
        {layout.stops.map((laid) => (
          <g transform={at(laid.at)}>
            <circle class="map-film map-keep" r={tenth(laid.filmRadius)} />
          </g>
        ))}
      </g>
      <g>
        {layout.ways.map(({ round, d, arrows }) => (
          <>
            <path class="way-edge" d={d} />
            <path class={`way way-${lookOf(round)}`} d={d} />
            {arrows.map((arrow) => (
              <g transform={at(arrow)}>
                <path
                  class={`arrow way-${lookOf(round)} map-keep`}
                  d={ARROW}
                  transform={`rotate(${tenth(arrow.degrees)})`}
                />
              </g>
            ))}
          </>
        ))}
      </g>
      <Home view={view} layout={layout} />
      {layout.stops.map((laid) => (
        <StopMark laid={laid} view={view} layout={layout} />
      ))}
      {children}
      <ScaleBar layout={layout} />
    </svg>
  </section>
);

/** The place of one site, to be taken hold of where there is a script. */
export const PositionMark = ({ spot }: { readonly spot: { readonly x: number; readonly y: number } }) => (
  <g class="map-moved" transform={at(spot)} data-moved>
    <g class="map-keep">
      <circle class="map-moved-reach" r="26" />
      <circle class="map-moved-ring" r="13" />
      <path class="map-moved-cross" d="M-20 0H-6M6 0H20M0 -20V-6M0 6V20" />
      <circle class="map-spot" r="2.5" />
    </g>
  </g>
);

const ARROW = 'M-4.5 -5L4.5 0L-4.5 5';
const at = ({ x, y }: { readonly x: number; readonly y: number }): string =>
  `translate(${tenth(x)} ${tenth(y)})`;

/** The baseline of a first line whose top is known: about four fifths of its size below. */
const textAt = ({ at: { x, y }, anchor }: LaidLabel, size: number) => ({
  x: tenth(x),
  y: tenth(y + size * 0.98),
  'text-anchor': anchor,
});

const PLATES = [
  <circle r={PLATE} />,
  <rect x={1 - PLATE} y={1 - PLATE} width={2 * PLATE - 2} height={2 * PLATE - 2} />,
  <path d={`M0 ${-PLATE - 3}L${PLATE + 3} 0L0 ${PLATE + 3}L${-PLATE - 3} 0Z`} />,
  <path
    d={`M${-PLATE} ${-PLATE + 4}L${-PLATE + 4} ${-PLATE}H${PLATE - 4}L${PLATE} ${-PLATE + 4}V${PLATE - 4}L${PLATE - 4} ${PLATE}H${-PLATE + 4}L${-PLATE} ${PLATE - 4}Z`}
  />,
];

/** The shape, the letter and the way of drawing tell a round: none of them alone, and never the colour alone. */
export const Plate = ({ round, text }: { readonly round: MapRound; readonly text: string }) => (
  <g class={`plate way-${lookOf(round)}`}>
    {PLATES[lookOf(round)]}
    <text class={text.length > 2 ? 'plate-text plate-long' : 'plate-text'} y="4.3">
      {text}
    </text>
  </g>
);

const StopMark = ({
  laid,
  view,
  layout,
}: {
  readonly laid: LaidStop;
  readonly view: MapView;
  readonly layout: MapLayout;
}) => {
  const { stop, round, plate, size } = laid;
  const isMoved = Math.hypot(plate.x, plate.y) > 1;
  const text = plateText(round, stop, view.rounds.length > 1);
  return (
    <a
      class="map-stop"
      href={`/sites/${stop.siteId}`}
      transform={at(laid.at)}
      data-stop={`${round.roundId}-${stop.number}`}
      data-radius={PLATE}
      data-width={size.width}
      data-height={size.height}
    >
      <title>{[`${text}. ${stop.name}`, ...stopFacts(stop, view.workshop)].join('\n')}</title>
      <g class="map-keep">
        {isMoved && (
          <>
            <line class="map-tie" x2={tenth(plate.x)} y2={tenth(plate.y)} />
            <circle class="map-spot" r="2.5" />
          </>
        )}
        <g transform={at(plate)} data-plate={`${tenth(plate.x)} ${tenth(plate.y)}`}>
          <Plate round={round} text={text} />
        </g>
        <Name laid={laid.label} from={plate} name={stop.name} small={layout.smallText(stop)} />
      </g>
    </a>
  );
};

/** One that found no room is in the drawing all the same, hidden: drawn closer, it may find some. */
const Name = ({
  laid,
  from = { x: 0, y: 0 },
  name,
  small,
}: {
  readonly laid: LaidLabel | undefined;
  readonly from?: { readonly x: number; readonly y: number };
  readonly name: string;
  readonly small?: string;
}) => {
  const label = laid ?? { at: { x: 0, y: 0 }, anchor: 'start' as const, isFar: false };
  const size = small === undefined ? SMALL_SIZE : NAME_SIZE;
  const { x, y, ...rest } = textAt(label, size);
  return (
    <g class={laid ? 'map-name' : 'map-name map-roomless'}>
      {label.isFar && (
        <line
          class="map-tie"
          x1={tenth(from.x)}
          y1={tenth(from.y)}
          x2={x}
          y2={tenth(label.at.y + size / 2)}
        />
      )}
      <text x={x} y={y} {...rest}>
        {name}
        {small !== undefined && (
          <tspan class="map-small" x={x} dy={SMALL_SIZE * 1.15}>
            {small}
          </tspan>
        )}
      </text>
    </g>
  );
};

const WaitingMark = ({ laid: { site, at: spot, label, size } }: { readonly laid: LaidSite }) => (
  <a
    class="map-rest"
    href={`/sites/${site.siteId}`}
    transform={at(spot)}
    data-radius="4"
    data-width={size.width}
    data-height={size.height}
  >
    <title>{`${site.name}\n${waitingFacts(site)}`}</title>
    <g class="map-keep">
      <circle class="map-reach" r="12" />
      <circle class="map-dot" r="3.4" />
      <Name laid={label} name={site.name} />
    </g>
  </a>
);

const HOUSE = 'M-9 9V-2L0 -10L9 -2V9Z';
const Home = ({ view, layout }: { readonly view: MapView; readonly layout: MapLayout }) => (
  <g class="map-home" transform={at(layout.home)} data-radius={PLATE} data-home>
    <title>{`${view.workshop.name}\n${view.workshop.address}`}</title>
    <g class="map-keep">
      <path class="map-house" d={HOUSE} />
      <Name laid={layout.homeLabel} name={view.workshop.name} />
    </g>
  </g>
);

/** True along the workshop's parallel and every meridian; north is up. */
const ScaleBar = ({ layout: { bar, height } }: { readonly layout: MapLayout }) => {
  const text = bar.metres >= 1000 ? km(bar.metres) : `${bar.metres}\u00a0m`;
  const end = tenth(20 + bar.units);
  return (
    <g class="map-scale" data-scale>
      <rect
        class="map-scale-paper"
        x="8"
        y={height - 52}
        width={Math.max(96, end + 8 + sizeOf(text).width)}
        height="44"
      />
      <path class="map-scale-bar" d={`M20 ${height - 26}v8H${end}v-8`} data-bar />
      <text x={end + 6} y={height - 16} data-bar-text>
        {text}
      </text>
      <path
        class="map-north"
        d={`M26 ${height - 32}V${height - 46}M22 ${height - 41}L26 ${height - 46}L30 ${height - 41}`}
      />
      <text x="36" y={height - 35}>
        north
      </text>
    </g>
  );
};
