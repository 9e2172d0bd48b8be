/**
 * What would make an extra collection possible that nothing can be offered for: each limit is eased on its own and
 * the week asked again, so that whatever is named would really do.
 */
import { addDays } from '../calendar/zone.ts';
import type { Kg, Litres, LocalDay, Seconds } from '../quantity/units.ts';
import type { Plan, PlannedStop } from './plan.ts';
import type { PlanningProblem, PlanningShift } from './problem.ts';
import { quoteCollection, type WantedCollection } from './quote.ts';

export type Help =
  /** A day outside of the window that was asked for. */
  | { readonly kind: 'another-day'; readonly day: LocalDay }
  | { readonly kind: 'open-longer'; readonly day: LocalDay }
  | { readonly kind: 'longer-shift'; readonly day: LocalDay; readonly byS: Seconds }
  | {
      readonly kind: 'bigger-van';
      readonly day: LocalDay;
      readonly payloadKg: Kg;
      readonly loadSpaceL: Litres;
    }
  /** A van and a driver more on that day. */
  | { readonly kind: 'another-shift'; readonly day: LocalDay }
  /** Nobody was promised this other visit; without it there is room. */
  | { readonly kind: 'move-another'; readonly day: LocalDay; readonly siteId: string };

/** What a driver may be asked for, and the next size of van. Own judgement. */
const LONGER_S = 7200;
const BIGGER = 2;
/** Visits that are tried in turn, least loss first. */
const MOST_MOVED = 5;
const PROMISED: readonly string[] = ['promised', 'booked', 'pinned'];

type Told = Pick<Plan, 'rounds'> | undefined;

/** At most one of each kind, the earliest day that would do. */
export function whatWouldHelp(problem: PlanningProblem, told: Told, wanted: WantedCollection): Help[] {
  const firstDay = (eased: PlanningProblem, asked = wanted, plan = told): LocalDay | undefined =>
    quoteCollection(eased, plan, asked)[0]?.slot.day;
  const helps: Help[] = [];
  const { dayStartsAt, days } = problem;

  const later = firstDay(problem, {
    ...wanted,
    window: { fromAt: wanted.window.fromAt, untilAt: dayStartsAt.at(-1)! },
  });
  if (later !== undefined) helps.push({ kind: 'another-day', day: later });

  const open = firstDay({
    ...problem,
    sites: problem.sites.map((site) =>
      site.siteId === wanted.siteId
        ? {
            ...site,
            openByDay: days.map((_, day) => [{ fromAt: dayStartsAt[day]!, untilAt: dayStartsAt[day + 1]! }]),
          }
        : site,
    ),
  });
  if (open !== undefined) helps.push({ kind: 'open-longer', day: open });

  const longer = firstDay(withShifts(problem, (shift) => ({ ...shift, endAt: shift.endAt + LONGER_S })));
  if (longer !== undefined) helps.push({ kind: 'longer-shift', day: longer, byS: LONGER_S });

  const bigger = withShifts(problem, (shift) => ({
    ...shift,
    payloadKg: shift.payloadKg * BIGGER,
    loadSpaceL: shift.loadSpaceL * BIGGER,
  }));
  const roomy = quoteCollection(bigger, told, wanted)[0]?.slot;
  const van = bigger.shifts.find((shift) => shift.shiftId === roomy?.shiftId);
  if (roomy && van)
    helps.push({
      kind: 'bigger-van',
      day: roomy.day,
      payloadKg: van.payloadKg,
      loadSpaceL: van.loadSpaceL,
    });

  const another = firstDay({ ...problem, shifts: [...problem.shifts, ...oneMoreADay(problem)] });
  if (another !== undefined) helps.push({ kind: 'another-shift', day: another });

  const moved = anotherMoved(problem, told, wanted);
  return moved ? [...helps, moved] : helps;
}

const withShifts = (
  problem: PlanningProblem,
  change: (shift: PlanningShift) => PlanningShift,
): PlanningProblem => ({ ...problem, shifts: problem.shifts.map(change) });

/** On every day a copy of the roomiest van's shift, at the same time of day. */
function oneMoreADay({ shifts, days, dayStartsAt }: PlanningProblem): PlanningShift[] {
  const roomiest = [...shifts].sort((a, b) => b.loadSpaceL - a.loadSpaceL)[0];
  if (!roomiest) return [];
  const dayAt = dayStartsAt[roomiest.dayIndex]!;
  return days.map((day, dayIndex) => ({
    ...roomiest,
    shiftId: `one-more-${day}`,
    dayIndex,
    startAt: dayStartsAt[dayIndex]! + roomiest.startAt - dayAt,
    endAt: dayStartsAt[dayIndex]! + roomiest.endAt - dayAt,
  }));
}

function anotherMoved(problem: PlanningProblem, told: Told, wanted: WantedCollection): Help | undefined {
  const { fromAt, untilAt } = wanted.window;
  const loss = ({ reason }: PlannedStop): number => reason?.worthMicros ?? 0;
  const stops = (told?.rounds ?? [])
    .flatMap((round) => round.stops.map((stop) => ({ stop, day: round.day })))
    .filter(
      ({ stop }) =>
        stop.siteId !== undefined &&
        stop.siteId !== wanted.siteId &&
        stop.reason !== undefined &&
        !PROMISED.includes(stop.reason.code) &&
        stop.startAt >= fromAt &&
        stop.startAt < untilAt,
    )
    .sort((a, b) => loss(a.stop) - loss(b.stop))
    .slice(0, MOST_MOVED);
  for (const { stop, day } of stops) {
    const rounds = told!.rounds.map((round) => ({
      ...round,
      stops: round.stops.filter((one) => one.siteId !== stop.siteId || round.day !== day),
    }));
    if (quoteCollection(problem, { rounds }, wanted).length > 0)
      return { kind: 'move-another', day, siteId: stop.siteId! };
  }
  return undefined;
}

/** A horizon that reaches the window's end, so that days ahead can be offered. */
export function daysToQuote(firstDay: LocalDay, lastDay: LocalDay, least: number, most: number): number {
  let days = least;
  while (days < most && addDays(firstDay, days - 1) < lastDay) days++;
  return days;
}
