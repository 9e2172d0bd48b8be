/** What bookings hold of a week, so that a quote can count it, or leave it out where that booking is to be changed. */
import type { KnownSurge } from '../accumulation/site-model.ts';
import type { TimeWindow } from '../quantity/units.ts';
import type { Plan, PlannedRound } from './plan.ts';
import type { PlanningProblem, PlanningSite } from './problem.ts';
import type { Rounds } from './quote.ts';

/** What a booking holds: to leave it out when it is changed. */
export type HeldBooking = {
  readonly siteId: string;
  readonly window: TimeWindow;
  readonly surge: KnownSurge | undefined;
};

/** Announced amounts scatter by some 40 % (methods.md A.9): sacks beside a container have room for half as much again. */
export const ROOM_FOR_MORE = 1.5;
/** The facts without a booking and what it announced. */
export function withoutBooking(problem: PlanningProblem, held: HeldBooking): PlanningProblem {
  const { siteId, window, surge } = held;
  return withSite(problem, siteId, (site) => ({
    ...site,
    promises: site.promises.filter(
      (promise) => promise.kind !== 'booking' || !promise.windows.every((own) => overlap(own, window)),
    ),
    ...(surge === undefined
      ? {}
      : {
          model: { ...site.model, surges: site.model.surges.filter((own) => !isSameSurge(own, surge)) },
          besideKg: Math.max(0, (site.besideKg ?? 0) - ROOM_FOR_MORE * surge.expectedKg),
        }),
  }));
}

/** The plan without the stop that only a booking was the reason for. */
export const roundsWithout = (plan: Pick<Plan, 'rounds'>, { siteId, window }: HeldBooking) =>
  plan.rounds.map((round) => ({
    ...round,
    stops: round.stops.filter(
      (stop) =>
        stop.siteId !== siteId ||
        stop.reason?.code !== 'booked' ||
        stop.startAt < window.fromAt ||
        stop.startAt >= window.untilAt,
    ),
  })) satisfies readonly PlannedRound[];

/** Only bookings that were confirmed hold room; those that wait for a day do not. */
export const withBookingsOf = (
  problem: PlanningProblem,
  confirmed: readonly { readonly siteId: string; readonly window: TimeWindow }[],
): PlanningProblem => ({
  ...problem,
  sites: problem.sites.map((site) => ({
    ...site,
    promises: site.promises.filter(
      (promise) =>
        promise.kind !== 'booking' ||
        confirmed.some(
          ({ siteId, window }) =>
            siteId === site.siteId && promise.windows.every((own) => overlap(own, window)),
        ),
    ),
  })),
});

/** The stops of each round, for `planOfRounds`. */
export const roundsOfPlan = ({ rounds }: Pick<Plan, 'rounds'>): Rounds =>
  new Map(
    rounds.map(({ shiftId, stops }) => [
      shiftId,
      // The last unloading of a round is not written.
      stops
        .filter((stop) => stop.kind !== 'break')
        .slice(0, -1)
        .map((stop) => stop.siteId),
    ]),
  );

export const withSite = (
  problem: PlanningProblem,
  siteId: string,
  change: (site: PlanningSite) => PlanningSite,
): PlanningProblem => ({
  ...problem,
  sites: problem.sites.map((site) => (site.siteId === siteId ? change(site) : site)),
});

const overlap = (a: TimeWindow, b: TimeWindow): boolean => a.fromAt < b.untilAt && b.fromAt < a.untilAt;
const isSameSurge = (a: KnownSurge, b: KnownSurge): boolean =>
  a.endsAt === b.endsAt && a.eventKind === b.eventKind && Math.abs(a.expectedKg - b.expectedKg) < 1e-6;
