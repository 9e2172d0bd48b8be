/** What a coordinator may change in a plan by hand, and what of it the next planning run respects. */
import type { Instant, Kg, Litres, LocalDay, Seconds } from '../quantity/units.ts';
import type { PlanningProblem, SitePromise } from './problem.ts';

export type StopChange =
  | { readonly kind: 'skip'; readonly siteId: string; readonly day: LocalDay }
  | {
      readonly kind: 'add';
      readonly siteId: string;
      readonly day: LocalDay;
      /** Absent: the van of that day where it costs least. */
      readonly shiftId?: string | undefined;
      /** Among the site stops of the round, 1 is first; beyond the last is last. Absent: where it costs least. */
      readonly position?: number | undefined;
    }
  /** To another day, another van or another position; what is absent stays open and goes where it costs least. */
  | {
      readonly kind: 'move';
      readonly siteId: string;
      readonly day: LocalDay;
      readonly toDay?: LocalDay | undefined;
      readonly shiftId?: string | undefined;
      readonly position?: number | undefined;
    };

export type Change =
  | StopChange
  /** Later planning runs leave the stop on its day. A pin goes along when its stop is moved, and ends when it is skipped. */
  | { readonly kind: 'pin' | 'unpin'; readonly siteId: string; readonly day: LocalDay }
  | { readonly kind: 'swap-drivers'; readonly shiftId: string; readonly withShiftId: string };

/** What was fixed by hand and stays with a plan. */
export type Wishes = {
  readonly pins: readonly { readonly siteId: string; readonly day: LocalDay }[];
  /** Who drives a shift instead of the one it was given to; void once it is given to somebody else. */
  readonly drivers: readonly DriverWish[];
};
export type DriverWish = {
  readonly shiftId: string;
  readonly driverId: string;
  readonly insteadOfId: string;
};
export const NO_WISHES: Wishes = { pins: [], drivers: [] };

/** The request itself cannot be read against this plan. `change` is its place in the list, from 0. */
export type ChangeRefusal = {
  readonly kind:
    | 'unknown-site'
    | 'unknown-day'
    | 'unknown-shift'
    | 'not-planned'
    | 'already-planned'
    | 'not-pinned'
    | 'driver-has-other-shift';
  readonly change: number;
};

/** Why a changed week cannot be driven. */
export type Obstacle =
  | { readonly kind: 'closed' | 'no-shift'; readonly siteId: string; readonly day: LocalDay }
  /** Later than the shift and its overtime allow. */
  | {
      readonly kind: 'shift-exceeded';
      readonly shiftId: string;
      readonly endAt: Instant;
      readonly latestAt: Instant;
      readonly byS: Seconds;
    }
  /** In this order somebody is closed when the van comes, or the workshop when it is back. */
  | { readonly kind: 'hours-missed'; readonly day: LocalDay; readonly shiftId?: string }
  /** At the quantile that loads are held at. */
  | {
      readonly kind: 'van-over-payload';
      readonly shiftId: string;
      readonly cautiousLoadKg: Kg;
      readonly payloadKg: Kg;
    }
  | {
      readonly kind: 'van-over-space';
      readonly shiftId: string;
      readonly cautiousLoadL: Litres;
      readonly loadSpaceL: Litres;
    };

/** What of them concerns the days and shifts of a problem: the rest is over. */
export const wishesWithin = ({ pins, drivers }: Wishes, { days, shifts }: PlanningProblem): Wishes => ({
  pins: pins.filter(({ day }) => days.includes(day)),
  drivers: drivers.filter(({ shiftId }) => shifts.some((shift) => shift.shiftId === shiftId)),
});

/** The problem with these pins in the place of those it had: each is a promise for its whole day. */
export function withPins(problem: PlanningProblem, pins: Wishes['pins']): PlanningProblem {
  const { days, dayStartsAt } = problem;
  const daysOf = Map.groupBy(pins, (pin) => pin.siteId);
  return {
    ...problem,
    sites: problem.sites.map((site) => {
      const promises: SitePromise[] = site.promises.filter((promise) => promise.kind !== 'pinned');
      for (const pin of daysOf.get(site.siteId) ?? []) {
        const d = days.indexOf(pin.day);
        // Emptied since the day began: what was pinned is done.
        if (d < 0 || site.model.emptiedAt >= dayStartsAt[d]!) continue;
        promises.push({
          kind: 'pinned',
          windows: [{ fromAt: dayStartsAt[d]!, untilAt: dayStartsAt[d + 1]! }],
        });
      }
      return { ...site, promises };
    }),
  };
}
