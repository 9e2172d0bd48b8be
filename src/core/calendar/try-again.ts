/**
 * When to try again what has failed. The wait doubles with each failure up to a bound, and half of it is drawn: what
 * failed together does not come back together. Common practice ("exponential back-off with equal jitter").
 */
import { seededRandom } from '../quantity/random.ts';
import type { Instant, Seconds } from '../quantity/units.ts';

export type BackOff = { readonly firstS: Seconds; readonly mostS: Seconds; readonly tries: number };

/**
 * @param failures how often it has failed by now, 1 or more
 * @returns nothing once the tries are used up
 */
export function tryAgainAt(
  { firstS, mostS, tries }: BackOff,
  failures: number,
  nowAt: Instant,
  seed: number,
): Instant | undefined {
  if (!(failures >= 1)) throw new RangeError(`failures must be at least 1, not ${failures}`);
  if (failures >= tries) return undefined;
  const wholeS = Math.min(mostS, firstS * 2 ** (failures - 1));
  const drawnS = (wholeS / 2) * seededRandom(seed + failures).next();
  return nowAt + Math.max(1, Math.round(wholeS / 2 + drawnS));
}

/** A whole number that is always the same for the same text (FNV-1a, 32 bits), to seed with. */
export function seedOf(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return hash >>> 0;
}
