/**
 * Where and when each promise can be kept at all, asked of lone trips before any search: out to the site and
 * straight back. What no lone trip can do, no round can; such a promise is named with its reason.
 */
import type { PlanningProblem, PlanningSite, SitePromise } from './problem.ts';
import type { UnkeptPromise } from './plan.ts';
import { makeTimer } from './timetable.ts';
import { commonSpans, layOutWeek, type StartSpan, startSpans, type Week, type WeekShift } from './week.ts';

/** The whole week laid out, with the windows of promises cut into the opening hours. */
export function makeWeek(problem: PlanningProblem): Week {
  const base = layOutWeek(problem);
  const { days, sites, originAt } = base;
  const spans: (readonly StartSpan[])[] = new Array(sites * days);
  problem.sites.forEach((site, i) => {
    for (let day = 0; day < days; day++) {
      const open = site.barredDays.includes(day) ? [] : startSpans(site.openByDay[day]!, originAt);
      spans[i * days + day] = promisedSpans(site, day, open, base);
    }
  });
  const timer = makeTimer({ ...base, spans });
  const order = new Int32Array(1);
  const isReachable = (site: number, day: number): boolean =>
    base.shiftsOfDay[day]!.some((s) => {
      order[0] = site;
      const shift = base.shifts[s]!;
      return fitsAlone(base, site, day, shift) && timer.cost(shift, order, 0, 1) < Number.POSITIVE_INFINITY;
    });
  const keepDays = problem.sites.map((site, i) =>
    site.promises.map((promise) => {
      let mask = 0;
      for (const window of promise.windows)
        for (let day = 0; day < days; day++) {
          const inside = commonSpans(startSpans([window], originAt), spans[i * days + day]!);
          if (inside.length > 0 && isReachable(i, day)) mask |= 1 << day;
        }
      return mask;
    }),
  );
  return { ...base, spans, keepDays };
}

/** On a promised day a visit starts inside the promised window; promises that exclude each other: the first. */
function promisedSpans(
  site: PlanningSite,
  day: number,
  open: readonly StartSpan[],
  base: { readonly originAt: number; readonly problem: PlanningProblem },
): readonly StartSpan[] {
  const fromS = base.problem.dayStartsAt[day]! - base.originAt;
  const untilS = base.problem.dayStartsAt[day + 1]! - base.originAt;
  let spans = open;
  for (const promise of site.promises) {
    const today = startSpans(promise.windows, base.originAt).filter((w) => w.untilS >= fromS && w.fromS < untilS);
    if (today.length === 0) continue;
    const narrowed = commonSpans(spans, today);
    if (narrowed.length > 0) spans = narrowed;
  }
  return spans;
}

/** Whether what waits on that day fits into the empty van, cautiously. */
function fitsAlone(
  week: Pick<Week, 'tables' | 'cautionZ' | 'problem'>,
  site: number,
  day: number,
  shift: WeekShift,
): boolean {
  const table = week.tables[site]!;
  // A visit before would make it lighter; from now on is the heaviest it can be.
  const lightest = day + 1 > 1 ? day : 0;
  const entry = lightest * table.nodes + day + 1;
  const kg = table.massKg[entry]! + week.cautionZ * Math.sqrt(table.varianceKg2[entry]!);
  return kg <= shift.payloadKg && kg * week.problem.sites[site]!.model.litresPerKg <= shift.loadSpaceL;
}

/** Why a promise that the plan does not keep is not kept, and what would mend it: the first wall that it hits. */
export function explainUnkept(week: Week, site: number, index: number): UnkeptPromise {
  const { problem, days, originAt } = week;
  const planning = problem.sites[site]!;
  const promise = planning.promises[index]!;
  const first = promise.windows[0]!;
  const last = promise.windows.at(-1)!;
  const named = {
    siteId: planning.siteId,
    kind: promise.kind,
    windowFromAt: first.fromAt,
    windowUntilAt: last.untilAt,
  };
  const daysOf = (p: SitePromise): number[] =>
    problem.days.flatMap((_, day) =>
      p.windows.some((w) => w.fromAt < problem.dayStartsAt[day + 1]! && problem.dayStartsAt[day]! < w.untilAt)
        ? [day]
        : [],
    );
  const promised = daysOf(promise);
  const shifts = promised.flatMap((day) => week.shiftsOfDay[day]!.map((s) => week.shifts[s]!));
  if (shifts.length === 0) return { ...named, why: 'no-shift', mend: 'add-shift' };
  const open = promised.filter((day) => {
    const hours = startSpans(planning.openByDay[day]!, originAt);
    return !planning.barredDays.includes(day) && commonSpans(hours, startSpans(promise.windows, originAt)).length > 0;
  });
  if (open.length === 0) return { ...named, why: 'closed', mend: 'wider-window' };

  const overlaps = open.some((day) =>
    week.spans[site * days + day]!.some((span) =>
      week.shiftsOfDay[day]!.some((s) => span.fromS <= week.shifts[s]!.lastS && span.untilS >= week.shifts[s]!.startS),
    ),
  );
  if (!overlaps) return { ...named, why: 'window-outside-shift', mend: 'longer-shift' };
  const fits = (dimension: 'kg' | 'L'): boolean =>
    open.some((day) =>
      week.shiftsOfDay[day]!.some((s) => {
        const shift = week.shifts[s]!;
        const table = week.tables[site]!;
        const entry = (day + 1 > 1 ? day : 0) * table.nodes + day + 1;
        const kg = table.massKg[entry]! + week.cautionZ * Math.sqrt(table.varianceKg2[entry]!);
        return dimension === 'kg' ? kg <= shift.payloadKg : kg * planning.model.litresPerKg <= shift.loadSpaceL;
      }),
    );
  if (!fits('kg')) return { ...named, why: 'too-heavy', mend: 'bigger-van' };
  if (!fits('L')) return { ...named, why: 'too-bulky', mend: 'second-van' };
  if (week.keepDays[site]![index] === 0) return { ...named, why: 'too-far', mend: 'longer-shift' };
  return { ...named, why: 'no-time', mend: 'move-another' };
}
