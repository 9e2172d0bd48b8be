/**
 * The front of a policy: kilometres a tonne against days of overflow as its own parameter moves. Policies are compared on
 * it, for a single setting shows only where somebody chose to stand.
 */

import { callWhenFull, fixedRound, fullestFirst, nearestFirst } from './hand-policies.ts';
import type { PlannerOptions } from './planner-policy.ts';
import { plannerPolicy } from './planner-policy.ts';
import type { Policy } from './policy.ts';
import type { World } from './world.ts';

export type Setting = {
  readonly policy: string;
  /** What the parameter is, in words for a table. */
  readonly setting: string;
  readonly make: (world: World) => Policy;
};

/** What the planner is told that overflow costs, in parts of what it does cost. */
const PRICE_FACTORS = [0.25, 0.5, 1, 2, 4];
/** Every second week from so many weeks to full, twice a week below so many. */
const FIXED: readonly (readonly [setting: string, fortnightlyFrom: number, twiceBelow: number])[] = [
  ['fortnightly from 2.2 weeks to full', 2.2, 0],
  ['fortnightly from 3 weeks to full', 3, 0],
  ['weekly for all', Number.POSITIVE_INFINITY, 0],
  ['twice a week below 1 week to full', Number.POSITIVE_INFINITY, 1],
  ['twice a week below 1.5 weeks to full', Number.POSITIVE_INFINITY, 1.5],
  ['twice a week below 2 weeks to full', Number.POSITIVE_INFINITY, 2],
  ['twice a week for all', Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY],
];
const FROM_SHARES = [0.4, 0.5, 0.6, 0.7, 0.8];
const EVERY_WORKDAYS = [1, 2, 3];

export const settingsOf = (planner: PlannerOptions): readonly Setting[] => [
  ...PRICE_FACTORS.map(
    (factor): Setting => ({
      policy: 'planner',
      setting: `overflow at ${factor} of its price`,
      make: ({ prices }) =>
        plannerPolicy({
          ...planner,
          prices: {
            overflowMicros: Math.round(factor * prices.overflowMicros),
            overflowMicrosPerDay: Math.round(factor * prices.overflowMicrosPerDay),
            overflowMicrosPerKg: Math.round(factor * prices.overflowMicrosPerKg),
          },
        }),
    }),
  ),
  ...FIXED.map(
    ([setting, fortnightlyFrom, twiceBelow]): Setting => ({
      policy: 'fixed',
      setting,
      make: () => fixedRound(fortnightlyFrom, twiceBelow),
    }),
  ),
  ...EVERY_WORKDAYS.map(
    (days): Setting => ({
      policy: 'call',
      setting: days === 1 ? 'every workday' : `every ${days} workdays`,
      make: () => callWhenFull(days),
    }),
  ),
  ...(
    [
      ['fullest', fullestFirst],
      ['nearest', nearestFirst],
    ] as const
  ).flatMap(([policy, make]) =>
    FROM_SHARES.map((share): Setting => ({ policy, setting: `from ${share} full`, make: () => make(share) })),
  ),
];

export type FrontPoint = { readonly kmPerTonne: number; readonly overflowDays: number };

/**
 * Kilometres a tonne that a front needs for so many days of overflow, on straight lines between its points; undefined
 * beyond its ends, where nothing was measured.
 */
export function kmAtOverflow(front: readonly FrontPoint[], overflowDays: number): number | undefined {
  const points = front.toSorted((a, b) => a.overflowDays - b.overflowDays);
  for (let i = 1; i < points.length; i++) {
    const [before, after] = [points[i - 1]!, points[i]!];
    if (overflowDays < before.overflowDays || overflowDays > after.overflowDays) continue;
    const span = after.overflowDays - before.overflowDays;
    const share = span > 0 ? (overflowDays - before.overflowDays) / span : 0;
    return before.kmPerTonne + share * (after.kmPerTonne - before.kmPerTonne);
  }
  return undefined;
}
