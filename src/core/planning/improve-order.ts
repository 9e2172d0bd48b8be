/**
 * Local search on the order of one round: moving a run of one to three stops elsewhere (or-opt, Or 1976) and
 * turning a stretch around (2-opt, Croes 1958), until no move helps. Exact: every change is priced by the
 * timetable, windows, breaks and unloadings included; trips keep their stops, so loads do not change.
 */
import type { Evaluator } from './evaluate.ts';
import { MAX_STOPS, UNLOAD } from './timetable.ts';
import type { Week } from './week.ts';
import type { WeekState } from './week-state.ts';

const trial = new Int32Array(MAX_STOPS);

/** Gives the micros saved (0 or more). */
export function improveOrder(week: Week, state: WeekState, evaluator: Evaluator, shift: number): number {
  const count = state.counts[shift]!;
  if (count < 3) return 0;
  const order = state.orders.subarray(shift * MAX_STOPS, shift * MAX_STOPS + count);
  const start = evaluator.roundMicros(state, shift);
  let now = start;
  const price = (): number => evaluator.timer.cost(week.shifts[shift]!, trial, 0, count);
  const keepIfBetter = (): boolean => {
    const micros = price();
    if (micros >= now) return false;
    order.set(trial.subarray(0, count));
    now = micros;
    return true;
  };
  let isImproving = true;
  while (isImproving) {
    isImproving = false;
    for (const [from, until] of tripsOf(order)) {
      for (let i = from; i < until - 1; i++)
        for (let j = i + 1; j < until; j++) {
          trial.set(order);
          for (let a = i, b = j; a < b; a++, b--) {
            trial[a] = order[b]!;
            trial[b] = order[a]!;
          }
          if (keepIfBetter()) isImproving = true;
        }
      for (let length = 1; length <= 3; length++)
        for (let i = from; i + length <= until; i++)
          for (let to = from; to <= until - length; to++) {
            if (to === i) continue;
            trial.set(order);
            moveRun(trial, i, length, to);
            if (keepIfBetter()) isImproving = true;
          }
    }
  }
  return start - now;
}

/** Positions of each trip's stops, [from, until). */
function tripsOf(order: Int32Array): [number, number][] {
  const trips: [number, number][] = [];
  let from = 0;
  for (let k = 0; k <= order.length; k++)
    if (k === order.length || order[k] === UNLOAD) {
      if (k - from > 1) trips.push([from, k]);
      from = k + 1;
    }
  return trips;
}

/** Moves `order[from .. from + length)` so that it starts at `to` (counted without it). */
function moveRun(order: Int32Array, from: number, length: number, to: number): void {
  const run = Array.from(order.subarray(from, from + length));
  order.copyWithin(from, from + length, order.length);
  order.copyWithin(to + length, to, order.length - length);
  order.set(run, to);
}
