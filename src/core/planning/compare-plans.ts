/** What is different between two plans for those who were told the first: whose day, van or hour is another. */
import type { Instant, LocalDay, Micros } from '../quantity/units.ts';
import type { LeftOut, Plan, StopReason } from './plan.ts';

export type Visit = { readonly day: LocalDay; readonly shiftId: string; readonly startAt: Instant };

export type Difference = {
  readonly siteId: string;
  /** What becomes of it now: why the new visit, or why none. */
  readonly reason?: StopReason;
  readonly leftOut?: LeftOut;
} & (
  | { readonly kind: 'moved'; readonly from: Visit; readonly to: Visit }
  | { readonly kind: 'dropped'; readonly from: Visit }
  | { readonly kind: 'added'; readonly to: Visit }
  /** The same day in another round, or more than half an hour earlier or later. */
  | { readonly kind: 'another-round' | 'another-hour'; readonly from: Visit; readonly to: Visit }
);

export type PlanDifference = {
  /** In order of the day that was told, or is new. */
  readonly differences: readonly Difference[];
  /** Sites whose day is another: moved, dropped or added. */
  readonly changedDaySiteIds: readonly string[];
  /** The new plan's cost less the old one's, as both were made; negative saves. Absent for other days. */
  readonly costMicros?: Micros;
};

/** An arrival that moves by less is no news: methods.md D. */
const HOUR_NEWS_S = 1800;

/** @param told rounds of it on days of `plan` alone are compared, and of those only shifts in `shiftIds` if given */
export function comparePlans(
  told: Pick<Plan, 'rounds' | 'days' | 'costMicros'>,
  plan: Plan,
  shiftIds?: ReadonlySet<string>,
): PlanDifference {
  const isCompared = (day: LocalDay, shiftId: string): boolean =>
    plan.days.includes(day) && (shiftIds === undefined || shiftIds.has(shiftId));
  const before = visitsOf(told, isCompared);
  const after = visitsOf(plan, isCompared);
  const reasons = new Map(
    plan.rounds.flatMap((round) =>
      round.stops.flatMap((stop) =>
        stop.siteId && stop.reason ? [[`${stop.siteId} ${round.day}`, stop.reason] as const] : [],
      ),
    ),
  );
  const leftOut = new Map(plan.leftOut.map((one) => [one.siteId, one]));
  const differences: Difference[] = [];
  for (const siteId of new Set([...before.keys(), ...after.keys()])) {
    const then = before.get(siteId) ?? [];
    const now = after.get(siteId) ?? [];
    const gone = then.filter((visit) => !now.some((one) => one.day === visit.day));
    const fresh = now.filter((visit) => !then.some((one) => one.day === visit.day));
    const why = (to: Visit | undefined) => {
      const reason = to && reasons.get(`${siteId} ${to.day}`);
      const left = leftOut.get(siteId);
      return { ...(reason ? { reason } : {}), ...(!to && left ? { leftOut: left } : {}) };
    };
    gone.forEach((from, i) => {
      const to = fresh[i];
      differences.push(
        to ? { siteId, kind: 'moved', from, to, ...why(to) } : { siteId, kind: 'dropped', from, ...why(to) },
      );
    });
    for (const to of fresh.slice(gone.length)) differences.push({ siteId, kind: 'added', to, ...why(to) });
    for (const to of now) {
      const from = then.find((visit) => visit.day === to.day);
      if (!from) continue;
      if (from.shiftId !== to.shiftId)
        differences.push({ siteId, kind: 'another-round', from, to, ...why(to) });
      else if (Math.abs(from.startAt - to.startAt) > HOUR_NEWS_S)
        differences.push({ siteId, kind: 'another-hour', from, to, ...why(to) });
    }
  }
  differences.sort((a, b) => toldAt(a) - toldAt(b) || (a.siteId < b.siteId ? -1 : 1));
  const changedDaySiteIds = new Set(
    differences
      .filter(({ kind }) => kind === 'moved' || kind === 'dropped' || kind === 'added')
      .map(({ siteId }) => siteId),
  );
  const isSameDays = told.days.join() === plan.days.join();
  return {
    differences,
    changedDaySiteIds: [...changedDaySiteIds],
    ...(isSameDays ? { costMicros: plan.costMicros - told.costMicros } : {}),
  };
}

const toldAt = (difference: Difference): Instant =>
  'from' in difference ? difference.from.startAt : difference.to.startAt;

function visitsOf(
  { rounds }: Pick<Plan, 'rounds'>,
  isCompared: (day: LocalDay, shiftId: string) => boolean,
): Map<string, Visit[]> {
  const visits = new Map<string, Visit[]>();
  for (const { day, shiftId, stops } of rounds) {
    if (!isCompared(day, shiftId)) continue;
    for (const { siteId, startAt } of stops) {
      if (siteId === undefined) continue;
      const own = visits.get(siteId) ?? [];
      own.push({ day, shiftId, startAt });
      visits.set(siteId, own);
    }
  }
  for (const own of visits.values()) own.sort((a, b) => a.startAt - b.startAt);
  return visits;
}
