/**
 * Where everything on a map stands: a view in, numbers of the picture out. The picture is 1,000 units wide; a unit is
 * about a pixel at a desk. What keeps its size when the map is drawn closer (marks, names) is laid out around its place.
 */
import { type LabelPlace, placeLabels, spreadApart, type ToLabel } from '../../../core/mapping/labels.ts';
import { type Heading, headingAt, lengthOf, movedAside, thinned } from '../../../core/mapping/lines.ts';
import {
  type Box,
  boxAround,
  frameAround,
  type Point,
  planeAround,
  roundLengthM,
} from '../../../core/mapping/plane.ts';
import type { Metres, Position } from '../../../core/quantity/units.ts';
import { type GroundPath, type GroundPlace, layOutGround, pathOf } from './ground-layout.ts';
import type { MapRound, MapStop, MapView, WaitingSite } from './map-view.ts';

const WIDTH = 1000;
const FRAME = { width: WIDTH, minHeight: 600, maxHeight: 820, margin: 70, minWidthM: 1000 };
/** Half a number's plate. */
export const PLATE = 11;
const PLATES_APART = 2 * PLATE + 2;
/** The fullest stop's film, in units. */
const FILM_RADIUS = 34;
/** The way runs on its right, so that there and back along one street are two lines; each round a little further. */
const ASIDE = 2.6;
const ASIDE_MORE = 3.4;
const ARROW_EVERY = 150;
const ARROW_FROM = 26;
/** A site that waits is kept in the picture while it lies within this many times the spread of what is visited. */
const NEAR = 1.6;
/** To either side of a place that is drawn alone. */
const AROUND_M: Metres = 600;
/** Mean width of a letter for a letter's height, a little on the wide side. */
const LETTER = 0.53;
export const NAME_SIZE = 13;
export const SMALL_SIZE = 11.5;
const LINE = 1.2;

export type LaidStop = {
  readonly stop: MapStop;
  readonly round: MapRound;
  readonly at: Point;
  /** From its place to its number, which may have made room for others. */
  readonly plate: Point;
  readonly filmRadius: number;
  /** Around its place; nothing where there was no room. */
  readonly label?: LaidLabel;
  readonly size: { readonly width: number; readonly height: number };
};
export type LaidLabel = {
  readonly at: Point;
  readonly anchor: LabelPlace['anchor'];
  readonly isFar: boolean;
};
export type LaidSite = {
  readonly site: WaitingSite;
  readonly at: Point;
  readonly label?: LaidLabel;
  readonly size: { readonly width: number; readonly height: number };
};

export type MapLayout = {
  readonly width: number;
  readonly height: number;
  readonly unitsPerM: number;
  readonly ground: readonly GroundPath[];
  readonly places: readonly (GroundPlace & { readonly label: LaidLabel })[];
  readonly ways: readonly {
    readonly round: MapRound;
    readonly d: string;
    readonly arrows: readonly Heading[];
  }[];
  readonly stops: readonly LaidStop[];
  readonly waiting: readonly LaidSite[];
  /** Sites that lie outside the picture. */
  readonly beyond: number;
  readonly home: Point;
  /** Of any place, in the picture. */
  readonly place: (position: Position) => Point;
  readonly homeLabel?: LaidLabel;
  readonly bar: { readonly metres: Metres; readonly units: number };
  /** Film of this many kg is drawn with this radius: for the legend. */
  readonly filmRadius: (kg: number) => number;
  /** What the second line of a stop's name says. */
  readonly smallText: (stop: MapStop) => string;
};

export function layOutMap(view: MapView, smallText: (stop: MapStop) => string): MapLayout {
  const plane = planeAround(view.workshop.at);
  const frame = frameAround(boxOf(view, plane.toPlane), FRAME);
  const place = (position: Position): Point => frame.toPicture(plane.toPlane(position));
  const picture: Box = { left: 4, top: 4, right: frame.width - 4, bottom: frame.height - 4 };
  const isIn = ({ x, y }: Point): boolean => x >= 0 && y >= 0 && x <= frame.width && y <= frame.height;

  const ways = view.rounds.map((round, i) => layOutWay(round, place, ASIDE + i * ASIDE_MORE));
  const home = place(view.workshop.at);
  const all = view.rounds.flatMap((round) => round.stops.map((stop) => ({ stop, round })));
  const spots = all.map(({ stop }) => place(stop.at));
  const plates = spreadApart([...spots, home], PLATES_APART, 1);
  const heaviest = Math.max(1, ...all.map(({ stop }) => stop.expectedKg));
  const filmRadius = (kg: number): number => FILM_RADIUS * Math.sqrt(Math.max(0, kg) / heaviest);

  const waiting = view.waiting.map((site) => ({ site, at: place(site.at) }));
  const seen = waiting.filter(({ at }) => isIn(at));
  const ground = layOutGround(view.ground, { width: frame.width, height: frame.height, place });
  const barM = roundLengthM(180 / frame.unitsPerM);

  // The important first: the workshop, the stops in their order, then the sites that wait, then the town's own names.
  const sizes = all.map(({ stop }) => sizeOf(stop.name, smallText(stop)));
  const labels: ToLabel[] = [
    { at: home, radius: PLATE + 2, ...sizeOf(view.workshop.name) },
    ...sizes.map((size, i) => ({ at: plates[i]!, radius: PLATE, ...size })),
  ];
  const corner: Box = {
    left: 0,
    top: frame.height - 62,
    right: 24 + barM * frame.unitsPerM + 60,
    bottom: frame.height,
  };
  const marks = [...plates.slice(0, -1), home].map((at) => boxOn(at, 0.8 * PLATE));
  const dots = seen.map(({ at }) => boxOn(at, 4));
  const lines = ways.map(({ points }) => points);
  const first = placeLabels(labels, { picture, taken: [corner, ...marks, ...dots], lines });
  const named = first.flatMap((one) => (one ? [one.box] : []));
  const quiet = placeLabels(
    seen.map(({ site, at }) => ({ at, radius: 4, ...sizeOf(site.name, undefined, SMALL_SIZE) })),
    { picture, taken: [corner, ...marks, ...dots, ...named], lines, mayStandOff: false, mayCross: false },
  );
  const town = placeLabels(
    ground.places.map(({ name, at }) => ({ at, radius: -3, ...sizeOf(name, undefined, NAME_SIZE) })),
    {
      picture,
      taken: [corner, ...marks, ...dots, ...named, ...quiet.flatMap((one) => (one ? [one.box] : []))],
      lines: [],
      mayStandOff: false,
    },
  );
  return {
    width: frame.width,
    height: frame.height,
    unitsPerM: frame.unitsPerM,
    ground: ground.paths,
    places: ground.places.flatMap((one, i) => {
      const label = labelOf(one.at, town[i]);
      return label ? [{ ...one, label }] : [];
    }),
    ways: ways.map(({ round, d, arrows }) => ({ round, d, arrows })),
    stops: all.map(({ stop, round }, i) => {
      const at = spots[i]!;
      const label = labelOf(at, first[i + 1]);
      return {
        stop,
        round,
        at,
        plate: minus(plates[i]!, at),
        filmRadius: filmRadius(stop.expectedKg),
        size: sizes[i]!,
        ...(label ? { label } : {}),
      };
    }),
    waiting: seen.map(({ site, at }, i) => {
      const label = labelOf(at, quiet[i]);
      return { site, at, size: sizeOf(site.name, undefined, SMALL_SIZE), ...(label ? { label } : {}) };
    }),
    beyond: waiting.length - seen.length,
    home,
    place,
    ...(first[0] ? { homeLabel: labelOf(home, first[0])! } : {}),
    bar: { metres: barM, units: barM * frame.unitsPerM },
    filmRadius,
    smallText,
  };
}

/** Around all that is visited, and as many of the others as lie near. */
function boxOf(view: MapView, toPlane: (position: Position) => Point): Box {
  if (view.around) {
    const { x, y } = toPlane(view.around);
    return { left: x - AROUND_M, right: x + AROUND_M, top: y - AROUND_M / 2, bottom: y + AROUND_M / 2 };
  }
  const visited = view.rounds.flatMap(({ stops, legs }) => [...stops.map(({ at }) => at), ...legs.flat()]);
  const own = boxAround([view.workshop.at, ...visited].map(toPlane))!;
  if (visited.length === 0)
    return boxAround([view.workshop.at, ...view.waiting.map(({ at }) => at)].map(toPlane))!;
  const spread = Math.max(own.right - own.left, own.bottom - own.top, 1000) * (NEAR - 1);
  const near = view.waiting
    .map(({ at }) => toPlane(at))
    .filter(
      ({ x, y }) =>
        x > own.left - spread && x < own.right + spread && y > own.top - spread && y < own.bottom + spread,
    );
  return boxAround([{ x: own.left, y: own.top }, { x: own.right, y: own.bottom }, ...near])!;
}

function layOutWay(round: MapRound, place: (position: Position) => Point, aside: number) {
  const legs = round.legs.map((leg) => movedAside(thinned(leg.map(place), 0.6), aside));
  const arrows = legs.flatMap((leg) => {
    const length = lengthOf(leg);
    if (length < ARROW_FROM) return [];
    const count = Math.max(1, Math.round(length / ARROW_EVERY));
    return Array.from({ length: count }, (_, i) => headingAt(leg, (i + 0.5) / count)).filter(
      (one) => one !== undefined,
    );
  });
  return { round, d: legs.map(pathOf).join(''), points: legs.flat(), arrows };
}

const boxOn = ({ x, y }: Point, half: number): Box => ({
  left: x - half,
  top: y - half,
  right: x + half,
  bottom: y + half,
});
const minus = (a: Point, b: Point): Point => ({ x: a.x - b.x, y: a.y - b.y });

export const sizeOf = (name: string, small?: string, size = NAME_SIZE) => ({
  width: Math.ceil(Math.max(name.length * size, (small ?? '').length * SMALL_SIZE) * LETTER) + 4,
  height: Math.ceil(LINE * (size + (small ? SMALL_SIZE : 0))),
});

/** Where the text begins, ends or has its middle, as an offset from the mark's place; the first line's top. */
function labelOf(at: Point, laid: LabelPlace | undefined): LaidLabel | undefined {
  if (!laid) return undefined;
  const { box, anchor, isFar } = laid;
  const x = anchor === 'start' ? box.left : anchor === 'end' ? box.right : (box.left + box.right) / 2;
  return { at: minus({ x, y: box.top }, at), anchor, isFar };
}
