/**
 * Distance on the sphere. One place for the geographic package, so that its degrees, order of coordinates and
 * earth radius are looked at once.
 */
import { distance } from '@turf/turf';
import type { Metres, Position } from './units.ts';

/** Mean earth radius R1 = (2a + b) / 3 of WGS84, metres (Moritz 2000, Geodetic Reference System 1980). */
export const EARTH_RADIUS_M: Metres = 6_371_008.7714;

/**
 * Great-circle distance by the haversine formula. Within 0.56 % of the WGS84 ellipsoid. Exactly 0 for equal
 * points; near the antipode good to half a metre.
 *
 * @throws RangeError when a coordinate is not a number within ±90, ±180 degrees
 */
export function greatCircleM(from: Position, to: Position): Metres {
  requirePosition(from);
  requirePosition(to);
  if (from.lat === to.lat && from.lon === to.lon) return 0;
  return distance([from.lon, from.lat], [to.lon, to.lat], { units: 'radians' }) * EARTH_RADIUS_M;
}

export function isPosition({ lat, lon }: Position): boolean {
  return lat >= -90 && lat <= 90 && lon >= -180 && lon <= 180;
}

function requirePosition(position: Position): void {
  if (!isPosition(position))
    throw new RangeError(`latitude ${position.lat}, longitude ${position.lon} is no place on earth`);
}
