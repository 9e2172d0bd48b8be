/** Links that a phone opens with its own programs: a map and the dialler. */
import type { Position } from '../../core/quantity/units.ts';

/**
 * RFC 5870: latitude before longitude (the opposite of GeoJSON), WGS84, plain decimals without an exponent.
 * Six decimals are about a decimetre. At a pole the longitude says nothing and is written 0 (3.4.2).
 */
export function geoUri({ lat, lon }: Position): string {
  const shown = Math.abs(lat) === 90 ? 0 : lon;
  return `geo:${decimals(lat)},${decimals(shown)}`;
}

/** A tenth of a millionth and less is written 0, so that no exponent and no "-0" can appear. */
const decimals = (degrees: number): string => {
  const text = degrees.toFixed(6).replace(/\.?0+$/, '');
  return text === '-0' ? '0' : text;
};

/** RFC 3966: digits and a leading plus; what else people type into a number is left out. */
export function telUri(phone: string): string | undefined {
  const digits = phone
    .replace(/\(0\)/, '')
    .replace(/[^\d+]/g, '')
    .replace(/(?!^)\+/g, '');
  return /\d{3}/.test(digits) ? `tel:${digits}` : undefined;
}
