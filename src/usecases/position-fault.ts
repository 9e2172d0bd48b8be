/** Whether a site may lie there: most slips of a coordinate put it on another continent. */
import type { Position } from '../core/quantity/units.ts';

/** Further from the workshop than a van drives in a day. */
const FAR_DEGREES = 3;

/** Undefined where all is well; `swapped` where it would be well the other way about. */
export function positionFault(at: Position, workshop: Position): 'swapped' | 'far' | undefined {
  const isNear = (lat: number, lon: number): boolean =>
    Math.abs(lat - workshop.lat) < FAR_DEGREES && Math.abs(lon - workshop.lon) < FAR_DEGREES * 2;
  if (isNear(at.lat, at.lon)) return undefined;
  return isNear(at.lon, at.lat) ? 'swapped' : 'far';
}
