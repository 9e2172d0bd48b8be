/** Promises kept or named, sites left out, and reasons that add up. */
import type { Plan } from '../plan.ts';
import type { PlanningProblem, PlanningSite } from '../problem.ts';
import type { Fault, Visit } from './faults.ts';
import { sumOf } from './sums.ts';

/** Promises whose last chance lies in this horizon, and whether a visit starts inside one of their windows. */
export function duePromises(
  problem: PlanningProblem,
  visits: readonly Visit[],
): { site: PlanningSite; kind: string; lastUntilAt: number; firstFromAt: number; isKept: boolean }[] {
  const horizonEnd = problem.dayStartsAt[problem.days.length]!;
  return problem.sites.flatMap((site, i) =>
    site.promises
      .filter((promise) => !promise.windows.some((w) => w.untilAt > horizonEnd))
      .map(({ kind, windows }) => ({
        site,
        kind,
        firstFromAt: windows[0]?.fromAt ?? problem.nowAt,
        lastUntilAt: Math.max(Number.NEGATIVE_INFINITY, ...windows.map((w) => w.untilAt)),
        isKept: visits.some(
          (visit) =>
            visit.site === i && windows.some((w) => w.fromAt <= visit.startAt && visit.startAt < w.untilAt),
        ),
      })),
  );
}

export function checkPromises(
  problem: PlanningProblem,
  plan: Plan,
  visits: readonly Visit[],
  faults: Fault[],
): void {
  const named = plan.unkept.map((u) => `${u.siteId} ${u.kind} from ${u.windowFromAt}`);
  for (const { site, kind, firstFromAt, isKept } of duePromises(problem, visits)) {
    const what = `${site.siteId} ${kind} from ${firstFromAt}`;
    const at = named.indexOf(what);
    if (at >= 0) named.splice(at, 1);
    if (isKept === at >= 0)
      faults.push({
        code: 'promise',
        where: what,
        says: at >= 0 ? 'unkept' : 'kept',
        is: isKept ? 'kept' : 'unkept',
      });
  }
  for (const what of named) faults.push({ code: 'promise', where: what, says: 'unkept', is: 'not promised' });
}

export function checkLeftOut(
  problem: PlanningProblem,
  plan: Plan,
  visits: readonly Visit[],
  faults: Fault[],
): void {
  const named = new Set(plan.leftOut.map((left) => left.siteId));
  problem.sites.forEach((site, i) => {
    const isVisited = visits.some((visit) => visit.site === i);
    if (isVisited === named.has(site.siteId))
      faults.push({
        code: 'left-out',
        where: site.siteId,
        says: String(named.has(site.siteId)),
        is: String(!isVisited),
      });
  });
  for (const left of plan.leftOut)
    if (left.withIt && sumOf(left.withIt) !== left.addsMicros)
      faults.push({
        code: 'left-out',
        where: left.siteId,
        says: left.addsMicros ?? 0,
        is: sumOf(left.withIt),
      });
}

export function checkReasons(plan: Plan, faults: Fault[]): void {
  for (const round of plan.rounds)
    for (const stop of round.stops) {
      if (stop.kind !== 'site') continue;
      const reason = stop.reason;
      if (!reason) faults.push({ code: 'reason', where: `${stop.siteId} on ${round.day}`, is: 'missing' });
      else if (sumOf(reason.withoutIt) !== reason.worthMicros)
        faults.push({
          code: 'reason',
          where: `${stop.siteId} on ${round.day}`,
          says: reason.worthMicros,
          is: sumOf(reason.withoutIt),
        });
    }
}
