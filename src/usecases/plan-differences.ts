/** Who would notice that one plan took another's place. */
import type { LocalDay } from '../core/quantity/units.ts';
import type { StoredPlan, StoredRound } from '../store/plans.ts';

/** Drivers whose days, times, van or stops from `today` on are not what they were. */
export const driversWithOtherRounds = (
  before: StoredPlan | undefined,
  plan: StoredPlan,
  today: LocalDay,
): Set<string> =>
  differing(before, plan, today, ({ driverId, day, startAt, vanId, stops }) => [
    [driverId, [day, startAt, vanId, stops.map((stop) => stop.siteId ?? stop.kind)]],
  ]);

/** Sites that are visited at other times from `today` on than they were. */
export const sitesWithOtherVisits = (
  before: StoredPlan | undefined,
  plan: StoredPlan,
  today: LocalDay,
): Set<string> =>
  differing(before, plan, today, ({ stops }) =>
    stops.flatMap(({ siteId, startAt }) => (siteId === undefined ? [] : [[siteId, startAt]])),
  );

/** @param notes of a round: whose it is, and what that one would notice */
function differing(
  before: StoredPlan | undefined,
  plan: StoredPlan,
  today: LocalDay,
  notes: (round: StoredRound) => (readonly [whose: string, what: unknown])[],
): Set<string> {
  const toldBy = (told: StoredPlan | undefined): ReadonlyMap<string, string> => {
    const all = new Map<string, string>();
    for (const round of told?.rounds ?? [])
      if (round.day >= today)
        for (const [whose, what] of notes(round))
          all.set(whose, (all.get(whose) ?? '') + JSON.stringify(what));
    return all;
  };
  const [now, then] = [toldBy(plan), toldBy(before)];
  return new Set([...now.keys(), ...then.keys()].filter((whose) => now.get(whose) !== then.get(whose)));
}
