/**
 * The cheapest week by trying everything: every set of visit days of every site, every order, every place for an
 * unloading. For a handful of sites, days with one van each. It shares the planner's evaluation of a given week
 * (held to the checker elsewhere), not its search.
 */
import { weekMoney } from '../../../src/core/planning/evaluate.ts';
import { totalMicros } from '../../../src/core/planning/money.ts';
import type { PlanningProblem } from '../../../src/core/planning/problem.ts';
import { withPromises } from '../../../src/core/planning/promises.ts';
import { stateOfOrders } from '../../../src/core/planning/start.ts';
import { UNLOAD } from '../../../src/core/planning/steps.ts';
import { layOutWeek, type Week } from '../../../src/core/planning/week.ts';
import {
  emptyState,
  retimeRound,
  roundFits,
  setVisit,
  stateMicros,
  type WeekState,
} from '../../../src/core/planning/week-state.ts';

export type Optimum = {
  readonly searchMicros: number;
  readonly costMicros: number;
  readonly orders: number[][];
};

/** Every day has at most one shift. */
export function cheapestWeek(problem: PlanningProblem): Optimum {
  const { week } = withPromises(layOutWeek(problem));
  const state = emptyState(week);
  const perShift = week.shifts.map((shift) => timedOrders(week, state, shift.index));
  let best = Infinity;
  let bestOrders: number[][] = [];

  const tryMasks = (site: number): void => {
    if (site < week.sites) {
      const free = week.shifts.filter((shift) => week.spans[site * week.days + shift.day]!.length > 0);
      for (let pick = 0; pick < 1 << free.length; pick++) {
        free.forEach((shift, k) => {
          setVisit(state, site, shift.day, pick & (1 << k) ? shift.index : -1);
        });
        tryMasks(site + 1);
      }
      return;
    }
    const orders: number[][] = [];
    state.counts.fill(0);
    state.roundMicros.fill(0);
    const base = stateMicros(state);
    let total = base;
    for (const shift of week.shifts) {
      let set = 0;
      for (let i = 0; i < week.sites; i++) if (state.visitDays[i]! & (1 << shift.day)) set |= 1 << i;
      const fitting = perShift[shift.index]![set]!.find(({ micros, order }) => {
        if (total + micros >= best) return true;
        put(state, shift.index, order);
        return roundFits(state, shift.index);
      });
      if (!fitting) return;
      total += fitting.micros;
      if (total >= best) return;
      orders.push([...fitting.order]);
    }
    best = total;
    bestOrders = orders;
  };
  tryMasks(0);
  const found = stateOfOrders(week, bestOrders);
  return { searchMicros: best, costMicros: totalMicros(weekMoney(found)), orders: bestOrders };
}

type Timed = { readonly micros: number; readonly order: readonly number[] };

/** For each set of sites, its drivable orders with unloadings anywhere between, cheapest first. */
function timedOrders(week: Week, state: WeekState, shift: number): Timed[][] {
  const sets: Timed[][] = [];
  for (let set = 0; set < 1 << week.sites; set++) {
    const members = Array.from({ length: week.sites }, (_, i) => i).filter((i) => set & (1 << i));
    const timed: Timed[] = [];
    for (const order of permutations(members))
      for (let cuts = 0; cuts < 1 << Math.max(0, order.length - 1); cuts++) {
        const withCuts = order.flatMap((site, k) =>
          k > 0 && cuts & (1 << (k - 1)) ? [UNLOAD, site] : [site],
        );
        put(state, shift, withCuts);
        retimeRound(state, shift);
        if (state.roundMicros[shift]! < Infinity)
          timed.push({ micros: state.roundMicros[shift]!, order: withCuts });
      }
    sets.push(timed.sort((a, b) => a.micros - b.micros));
  }
  state.counts.fill(0);
  state.roundMicros.fill(0);
  return sets;
}

function put(state: WeekState, shift: number, order: readonly number[]): void {
  state.orders.set(order, shift * (state.orders.length / state.counts.length));
  state.counts[shift] = order.length;
}

function permutations(items: readonly number[]): number[][] {
  if (items.length === 0) return [[]];
  return items.flatMap((item, k) =>
    permutations([...items.slice(0, k), ...items.slice(k + 1)]).map((rest) => [item, ...rest]),
  );
}
