/**
 * Segments of a round: duration D of the shortest schedule, and the earliest (E) and latest (L) start that give it.
 * Concatenation after Vidal, Crainic, Gendreau & Prins (2013), Computers & OR 40(1), section 4.2, for hard windows.
 */

/** The segment being built. Three cells are quicker than three variables that outlive a call. */
export const E = 0;
export const L = 1;
export const D = 2;
export const seg = new Int32Array(3);

/** Appends a segment, `legS` away, to `seg`; false if it cannot be reached in time. */
export function join(legS: number, fromE: number, untilL: number, durationS: number): boolean {
  const d = seg[D]! + legS;
  const e = seg[E]!;
  const l = seg[L]!;
  if (e + d > untilL) return false;
  const early = fromE - d;
  const waitS = early > l ? early - l : 0;
  seg[D] = d + durationS + waitS;
  seg[E] = Math.max(early, e) - waitS;
  seg[L] = Math.min(untilL - d, l);
  return true;
}
