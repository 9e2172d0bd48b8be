/**
 * "What if we skip, add or move this?" answered by the plan's own evaluation: everything else stays where it is,
 * the stop goes where it costs least, and the difference is told in money by part, metres and seconds. What
 * neighbours would do if the week were planned anew could only make it cheaper.
 */
import { ok, type Result, refuse } from '../quantity/result.ts';
import type { LocalDay, Metres, Micros, Seconds } from '../quantity/units.ts';
import { assemblePlan } from './assemble.ts';
import { weekMoney } from './evaluate.ts';
import { makeInserter, type Place } from './insertion.ts';
import { moneyDifference, totalMicros } from './money.ts';
import type { Money, Plan } from './plan.ts';
import type { PlanningProblem } from './problem.ts';
import { withPromises } from './promises.ts';
import { ordersOfPlan, stateOfOrders } from './start.ts';
import { MAX_STOPS } from './timetable.ts';
import { layOutWeek, type Week } from './week.ts';
import {
  copyState,
  emptyState,
  insertStop,
  nodeBefore,
  removeStop,
  roundFits,
  type WeekState,
} from './week-state.ts';

export type Change =
  | { readonly kind: 'skip'; readonly siteId: string; readonly day: LocalDay }
  | { readonly kind: 'add'; readonly siteId: string; readonly day: LocalDay; readonly shiftId?: string }
  | {
      readonly kind: 'move';
      readonly siteId: string;
      readonly fromDay: LocalDay;
      readonly toDay: LocalDay;
      readonly shiftId?: string;
    }
  /** The same day, another van. */
  | { readonly kind: 'hand-over'; readonly siteId: string; readonly day: LocalDay; readonly shiftId: string };

export type Consequence = {
  /** New minus old, by part; negative saves. */
  readonly difference: Money;
  readonly costMicros: Micros;
  readonly extraM: Metres;
  readonly extraS: Seconds;
  /** Shifts whose van would be over its limits, because a stop skipped makes a later one heavier. */
  readonly overfullShiftIds: readonly string[];
};

export type ChangeRefusal = {
  readonly kind:
    | 'unknown-site'
    | 'unknown-day'
    | 'unknown-shift'
    | 'not-planned'
    | 'already-planned'
    | 'closed'
    | 'no-shift'
    | 'no-time'
    | 'no-room';
};

export type WhatIf = {
  /** Some milliseconds an answer. */
  readonly ask: (change: Change) => Result<Consequence, ChangeRefusal>;
  /** The whole plan as it would be, with new reasons; refused where a van would be over its limits. */
  readonly planWith: (change: Change) => Result<Plan, ChangeRefusal>;
};

/** Lays out the week of a plan once, for any number of questions. */
export function whatIf(problem: PlanningProblem, plan: Plan): WhatIf {
  const { week, hopeless } = withPromises(layOutWeek(problem));
  const state = stateOfOrders(week, ordersOfPlan(week, plan));
  const money = weekMoney(state);
  const size = roadSize(state);

  const ask: WhatIf['ask'] = (change) => {
    const changed = withChange(state, change);
    if (!changed.ok) return changed;
    const difference = moneyDifference(weekMoney(changed.value), money);
    const after = roadSize(changed.value);
    return ok({
      difference,
      costMicros: totalMicros(difference),
      extraM: after.distanceM - size.distanceM,
      extraS: after.durationS - size.durationS,
      overfullShiftIds: overfull(changed.value),
    });
  };
  const planWith: WhatIf['planWith'] = (change) => {
    const changed = withChange(state, change);
    if (!changed.ok) return changed;
    if (overfull(changed.value).length > 0) return refuse({ kind: 'no-room' });
    return ok(assemblePlan(changed.value, hopeless, { seed: plan.seed, iterations: plan.iterations }));
  };
  return { ask, planWith };
}

function withChange(state: WeekState, change: Change): Result<WeekState, ChangeRefusal> {
  const { week } = state;
  const { problem, days } = week;
  const site = problem.sites.findIndex((s) => s.siteId === change.siteId);
  if (site < 0) return refuse({ kind: 'unknown-site' });
  const fromDay = change.kind === 'move' ? change.fromDay : change.day;
  const toDay = change.kind === 'move' ? change.toDay : change.day;
  const from = problem.days.indexOf(fromDay);
  const to = problem.days.indexOf(toDay);
  if (from < 0 || to < 0) return refuse({ kind: 'unknown-day' });
  const wanted = change.kind === 'skip' ? undefined : change.shiftId;
  const shift = problem.shifts.findIndex((s) => s.shiftId === wanted && s.dayIndex === to);
  if (wanted !== undefined && shift < 0) return refuse({ kind: 'unknown-shift' });

  const isPlanned = (day: number): boolean => state.shiftOf[site * days + day]! >= 0;
  if (change.kind !== 'add' && !isPlanned(from)) return refuse({ kind: 'not-planned' });
  if ((change.kind === 'add' || (change.kind === 'move' && to !== from)) && isPlanned(to))
    return refuse({ kind: 'already-planned' });

  const changed = emptyState(week);
  copyState(changed, state);
  if (change.kind !== 'add') removeStop(changed, site, from);
  if (change.kind === 'skip') return ok(changed);
  const place = bestPlace(changed, week, site, to, wanted === undefined ? undefined : shift);
  if (typeof place === 'string') return refuse({ kind: place });
  insertStop(changed, place.shift, place.at, site, place.unload);
  return ok(changed);
}

function bestPlace(
  state: WeekState,
  week: Week,
  site: number,
  day: number,
  shift: number | undefined,
): Place | 'closed' | 'no-shift' | 'no-time' | 'no-room' {
  if (week.spans[site * week.days + day]!.length === 0) return 'closed';
  const shifts = week.shiftsOfDay[day]!.filter((s) => shift === undefined || s === shift);
  if (shifts.length === 0) return 'no-shift';
  const inserter = makeInserter();
  const only = {
    ...state,
    week: { ...week, shiftsOfDay: week.shiftsOfDay.map((all, d) => (d === day ? shifts : all)) },
  };
  const places = inserter.scanDay(only, site, day);
  const table = week.tables[site]!;
  const at = nodeBefore(state.visitDays[site]!, day) * table.nodes + day + 1;
  const place = inserter.cheapestPlace(only, places, site, table.massKg[at]!, table.varianceKg2[at]!);
  if (place && place.micros < Infinity) return place;
  return places.plain.some((p) => p.micros < Infinity) ? 'no-room' : 'no-time';
}

function overfull(state: WeekState): string[] {
  return state.week.shifts
    .filter((shift) => !roundFits(state, shift.index))
    .map((shift) => state.week.problem.shifts[shift.index]!.shiftId);
}

function roadSize(state: WeekState): { distanceM: Metres; durationS: Seconds } {
  const { timer, week, orders, counts } = state;
  let distanceM = 0;
  let durationS = 0;
  for (const shift of week.shifts) {
    if (!timer.lay(shift, orders, shift.index * MAX_STOPS, counts[shift.index]!)) continue;
    distanceM += timer.table.distanceM;
    durationS += timer.table.endS - timer.table.startS;
  }
  return { distanceM, durationS };
}
