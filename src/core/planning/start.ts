/** A week to start from: an earlier plan or what was published, as far as it can still be driven. */
import type { Plan } from './plan.ts';
import { repairLoads } from './ruin.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import type { Week } from './week.ts';
import {
  emptyState,
  insertStop,
  removeStop,
  retimeRound,
  roundFits,
  setVisit,
  type WeekState,
} from './week-state.ts';

/** Per shift the sites in order, with UNLOAD between trips. */
export type Orders = readonly (readonly number[])[];

export function ordersOfPlan(week: Week, plan: Pick<Plan, 'rounds'>): Orders {
  const siteOf = new Map(week.problem.sites.map((site, i) => [site.siteId, i]));
  const orders: number[][] = week.shifts.map(() => []);
  const shiftOf = new Map(week.problem.shifts.map((shift, s) => [shift.shiftId, s]));
  for (const round of plan.rounds) {
    const order = orders[shiftOf.get(round.shiftId) ?? -1];
    if (!order) continue;
    for (const stop of round.stops) {
      const site = stop.siteId === undefined ? undefined : siteOf.get(stop.siteId);
      if (stop.kind === 'unload') order.push(UNLOAD);
      else if (site !== undefined) order.push(site);
    }
  }
  return orders;
}

export const ordersOfState = ({ week, orders, counts }: WeekState): Orders =>
  week.shifts.map(({ index }) => [...orders.subarray(index * MAX_STOPS, index * MAX_STOPS + counts[index]!)]);

export function ordersOfPublished(week: Week): Orders {
  const { problem } = week;
  const siteOf = new Map(problem.sites.map((site, i) => [site.siteId, i]));
  return problem.shifts.map((shift) =>
    problem.published
      .filter((visit) => visit.shiftId === shift.shiftId)
      .sort((a, b) => a.startAt - b.startAt)
      .flatMap((visit) => siteOf.get(visit.siteId) ?? []),
  );
}

/** The orders as they are but for closed days and doubles, even where they cannot be driven: what was promised. */
export function stateAsTold(week: Week, orders: Orders): WeekState {
  const state = emptyState(week);
  for (const { index } of week.shifts) layOrder(state, index, cleaned(state, index, orders[index]!));
  return state;
}

/** The orders as they are, if all of them can be driven; otherwise stop by stop what can. */
export function stateOfOrders(week: Week, orders: Orders): WeekState {
  const state = emptyState(week);
  const shifts = week.shifts
    .map((shift) => shift.index)
    .sort((a, b) => week.shifts[a]!.day - week.shifts[b]!.day || a - b);
  for (const s of shifts) {
    const usable = cleaned(state, s, orders[s]!);
    layOrder(state, s, usable);
    if (state.roundMicros[s]! < Infinity && roundFits(state, s)) continue;
    for (const site of usable) if (site !== UNLOAD) removeStop(state, site, week.shifts[s]!.day);
    for (const site of usable) if (site !== UNLOAD) append(state, s, site);
  }
  repairLoads(state, () => {});
  return state;
}

/** Without sites that are closed that day or come twice, and without unloadings that part nothing. */
function cleaned(state: WeekState, shift: number, order: readonly number[]): number[] {
  const { week } = state;
  const day = week.shifts[shift]!.day;
  const seen = new Set<number>();
  const kept: number[] = [];
  for (const site of order) {
    if (site === UNLOAD) {
      if (kept.length > 0 && kept.at(-1) !== UNLOAD) kept.push(UNLOAD);
    } else if (
      !seen.has(site) &&
      week.spans[site * week.days + day]!.length > 0 &&
      (state.visitDays[site]! & (1 << day)) === 0
    ) {
      seen.add(site);
      kept.push(site);
    }
  }
  while (kept.at(-1) === UNLOAD) kept.pop();
  return kept.slice(0, MAX_STOPS - 2);
}

function layOrder(state: WeekState, shift: number, order: readonly number[]): void {
  const { week } = state;
  const day = week.shifts[shift]!.day;
  state.orders.set(order, shift * MAX_STOPS);
  state.counts[shift] = order.length;
  for (const site of order) {
    if (site !== UNLOAD) setVisit(state, site, day, shift);
  }
  retimeRound(state, shift);
}

function append(state: WeekState, shift: number, site: number): void {
  const isFine = (): boolean => state.roundMicros[shift]! < Infinity && roundFits(state, shift);
  for (const unload of [0, 1] as const) {
    if (unload === 1 && state.counts[shift] === 0) return;
    insertStop(state, shift, state.counts[shift]!, site, unload);
    if (isFine()) return;
    removeStop(state, site, state.week.shifts[shift]!.day);
  }
}
