/**
 * A plane to draw a town on, and to measure it by: the equidistant cylindrical projection with its standard parallel
 * through a place of our own (Snyder 1987, Map Projections: A Working Manual, USGS Professional Paper 1395, equations
 * 12-1 to 12-4 on the sphere). True along that parallel and along every meridian; 30 km to the north or south of
 * 46° a west-east distance is off by half a per cent. Metres to the east and to the south of the place, as screens count.
 */
import { EARTH_RADIUS_M } from '../quantity/geodesy.ts';
import type { Metres, Position } from '../quantity/units.ts';

export type Point = { readonly x: number; readonly y: number };

export type Plane = {
  /** Metres east (x) and south (y) of the place in the middle. */
  readonly toPlane: (position: Position) => { readonly x: Metres; readonly y: Metres };
  readonly toPosition: (point: Point) => Position;
};

const RAD = Math.PI / 180;
/** The shorter way around: a town on the antimeridian stays in one piece. */
const wrapped = (degrees: number): number => degrees - 360 * Math.floor((degrees + 180) / 360);

/** @throws RangeError within a degree of a pole, where no parallel can be drawn along */
export function planeAround(middle: Position): Plane {
  if (!(Math.abs(middle.lat) <= 89))
    throw new RangeError(`latitude ${middle.lat} is too near a pole to draw a map around`);
  const northM = EARTH_RADIUS_M * RAD;
  const eastM = northM * Math.cos(middle.lat * RAD);
  return {
    toPlane: ({ lat, lon }) => ({ x: eastM * wrapped(lon - middle.lon), y: northM * (middle.lat - lat) }),
    toPosition: ({ x, y }) => ({ lat: middle.lat - y / northM, lon: wrapped(middle.lon + x / eastM) }),
  };
}

export type Box = {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
};

/** Undefined of nothing. */
export function boxAround(points: readonly Point[]): Box | undefined {
  if (points.length === 0) return undefined;
  const xs = points.map(({ x }) => x);
  const ys = points.map(({ y }) => y);
  return { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) };
}

/** A box of the plane inside a picture `width` units wide, and how the one becomes the other. */
export type Frame = {
  readonly width: number;
  readonly height: number;
  /** Units of the picture for a metre. */
  readonly unitsPerM: number;
  readonly toPicture: (point: Point) => Point;
  readonly toPlane: (point: Point) => Point;
};

export type FrameOptions = {
  readonly width: number;
  readonly minHeight: number;
  readonly maxHeight: number;
  /** Kept free on each side, in units of the picture. */
  readonly margin: number;
  /** The picture never shows less than this from side to side. */
  readonly minWidthM: Metres;
};

/** The largest drawing of the box that fits; what is too flat or too tall gets more ground around it. */
export function frameAround(
  box: Box,
  { width, minHeight, maxHeight, margin, minWidthM }: FrameOptions,
): Frame {
  const inner = width - 2 * margin;
  const spanX = box.right - box.left;
  const spanY = box.bottom - box.top;
  const byWidth = inner / Math.max(spanX, minWidthM);
  const unitsPerM = Math.min(byWidth, spanY > 0 ? (maxHeight - 2 * margin) / spanY : byWidth);
  const height = Math.round(Math.min(maxHeight, Math.max(minHeight, spanY * unitsPerM + 2 * margin)));
  const middle = { x: (box.left + box.right) / 2, y: (box.top + box.bottom) / 2 };
  return {
    width,
    height,
    unitsPerM,
    toPicture: ({ x, y }) => ({
      x: width / 2 + (x - middle.x) * unitsPerM,
      y: height / 2 + (y - middle.y) * unitsPerM,
    }),
    toPlane: ({ x, y }) => ({
      x: middle.x + (x - width / 2) / unitsPerM,
      y: middle.y + (y - height / 2) / unitsPerM,
    }),
  };
}

/** A round length for a scale bar, 1, 2 or 5 times a power of ten, of at most `atMostM`. */
export function roundLengthM(atMostM: Metres): Metres {
  if (!(atMostM > 0)) throw new RangeError(`a scale bar of ${atMostM} m cannot be drawn`);
  const ten = 10 ** Math.floor(Math.log10(atMostM));
  const step = [5, 2, 1].find((one) => one * ten <= atMostM) ?? 1;
  return step * ten;
}
