/** What a policy is: it sees a morning as the workshop sees it, and says what the van does. */
import type { LoadWeighed, SiteHistory } from '../accumulation/site-history.ts';
import type { Kg } from '../quantity/units.ts';
import type { World } from './world.ts';

/** In a round: empty the van at the workshop, then go on. */
export const TO_WORKSHOP = -1;

/** What anybody in the workshop may know of a site on a morning. */
export type SiteFacts = {
  readonly history: SiteHistory;
  /** Day of the last emptying, -1 at the start; and whether the donor has called since. */
  readonly emptiedDay: number;
  readonly hasCalled: boolean;
};

export type Morning = {
  readonly world: World;
  readonly day: number;
  readonly facts: readonly SiteFacts[];
  readonly loads: readonly LoadWeighed[];
  readonly stockKg: readonly Kg[];
};

export type Policy = {
  readonly name: string;
  /** The day's rounds as stops in order (site index or TO_WORKSHOP); one van, so one round. */
  decide(morning: Morning): readonly number[];
  /**
   * What the driver does when the van is full before a trip is done: so many stops at most wait for another day, for more
   * it unloads and comes back. Absent: it always comes back.
   */
  readonly leavesAtMost?: number;
  /** Visits of today and tomorrow that differ from what was said the day before, and how many were said. */
  readonly changes?: () => { readonly changed: number; readonly said: number };
};
