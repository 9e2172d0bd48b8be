/** What the driver writes down at a stop: scale or bags, sorted now and then, with slips of the pen. */
import type { Evidence } from '../accumulation/site-history.ts';
import { dayAt } from './days.ts';
import type { Stop } from './drive-round.ts';
import type { World } from './world.ts';

const SORTED_SHARE = 0.3;
const TYPING_SLIP = 0.01;
const COUNTED_DAYS_SHARE = 0.45;

/** On some days bags are counted at the stops and only the whole load is weighed. */
export const countsBags = ({ sites }: World, day: number): boolean =>
  sites[0]!.slipDraw[day]! < COUNTED_DAYS_SHARE;

/** @param loadId the load that is weighed as a whole; absent where every stop is weighed */
export function weighIn(
  { sites, grades }: World,
  { site, takenKg, leftKg, foundFull }: Stop,
  day: number,
  loadId: string | undefined,
): Evidence {
  const { siteId, slipDraw, shares, known } = sites[site]!;
  const draw = slipDraw[day]!;
  const bags = Math.max(takenKg > 0.2 ? 1 : 0, Math.round(takenKg / known.bagKg));
  const shared = {
    kind: 'picked-up' as const,
    id: `${siteId}-${String(day).padStart(3, '0')}`,
    at: dayAt(day, 12),
    foundFull,
    ...(leftKg > 0 ? { leftKg } : {}),
    ...(draw > 1 - SORTED_SHARE
      ? { gradesKg: Object.fromEntries(grades.map((grade, g) => [grade, takenKg * shares[g]!])) }
      : {}),
  };
  if (loadId !== undefined) return { ...shared, bags, method: 'bag-count', loadId };
  // A point in the wrong place, once in a hundred.
  const slip = draw < TYPING_SLIP / 2 ? 10 : draw < TYPING_SLIP ? 0.1 : 1;
  return { ...shared, bags, netKg: Math.round(takenKg * slip * 10) / 10, method: 'scale' };
}
