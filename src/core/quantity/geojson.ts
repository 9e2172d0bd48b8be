/**
 * The few rules of GeoJSON (RFC 7946) that are easily got wrong: order of coordinates, winding of rings, and
 * bounding boxes across the antimeridian. Winding is judged in the plane of longitude and latitude; a ring that
 * crosses the antimeridian is to be cut first (section 3.1.9).
 */
import { isPosition } from './geodesy.ts';
import type { Position } from './units.ts';

/** Longitude first, then latitude, perhaps height (section 3.1.1). */
export type Coordinates = readonly number[];
export type Ring = readonly Coordinates[];
/** West, south, east, north (section 5); across the antimeridian west is greater than east. */
export type BoundingBox = readonly [west: number, south: number, east: number, north: number];

export const toCoordinates = ({ lat, lon }: Position): [lon: number, lat: number] => [lon, lat];

/** Undefined when it is no place on earth: most often latitude and longitude were swapped. */
export function fromCoordinates(coordinates: Coordinates): Position | undefined {
  const [lon, lat] = coordinates;
  if (lon === undefined || lat === undefined || !isPosition({ lat, lon })) return undefined;
  return { lat, lon };
}

/** Closed, and of four positions or more (section 3.1.6). */
export function isLinearRing(ring: Ring): boolean {
  const first = ring[0];
  const last = ring.at(-1);
  return ring.length >= 4 && first![0] === last![0] && first![1] === last![1];
}

/** Twice the signed area in square degrees, by the shoelace formula; positive when counter-clockwise. */
function signedArea2(ring: Ring): number {
  let sum = 0;
  // Measured from the first position, so that a small ring far from 0, 0 keeps its digits.
  const [x0 = 0, y0 = 0] = ring[0] ?? [];
  for (let i = 1; i < ring.length; i++) {
    const [xa = 0, ya = 0] = ring[i - 1]!;
    const [xb = 0, yb = 0] = ring[i]!;
    sum += (xa - x0) * (yb - y0) - (xb - x0) * (ya - y0);
  }
  return sum;
}

export const isCounterClockwise = (ring: Ring): boolean => signedArea2(ring) > 0;

/** Right-hand rule: the outer ring counter-clockwise, holes clockwise (section 3.1.6). For writing; readers take both. */
export const rightHanded = (polygon: readonly Ring[]): Ring[] =>
  polygon.map((ring, i) => (isCounterClockwise(ring) === (i === 0) ? ring : ring.toReversed()));

/** The narrowest box around all positions, over the antimeridian where that is shorter (section 5.2). */
export function boundingBox(positions: readonly Position[]): BoundingBox | undefined {
  if (positions.length === 0) return undefined;
  const lats = positions.map(({ lat }) => lat);
  const lons = positions.map(({ lon }) => lon).sort((a, b) => a - b);
  // The box leaves out the widest gap between neighbours, the one across the antimeridian included.
  let west = lons[0]!;
  let east = lons.at(-1)!;
  let widest = west + 360 - east;
  for (let i = 1; i < lons.length; i++) {
    const gap = lons[i]! - lons[i - 1]!;
    if (gap <= widest) continue;
    widest = gap;
    west = lons[i]!;
    east = lons[i - 1]!;
  }
  return [west, Math.min(...lats), east, Math.max(...lats)];
}

export function isInBox([west, south, east, north]: BoundingBox, { lat, lon }: Position): boolean {
  if (lat < south || lat > north) return false;
  return west <= east ? west <= lon && lon <= east : lon >= west || lon <= east;
}
