/**
 * Local search on the order of one round, first improvement: a segment of up to three stops moves elsewhere,
 * turned or not (Or 1976), or a stretch is reversed (2-opt, Croes 1958). Every candidate is timed exactly, with
 * windows, break and loads, so what is kept is an improvement of the round as it will be driven. Unloadings take
 * part like stops.
 */
import { MAX_STOPS, UNLOAD } from './steps.ts';
import { retimeRound, roundFits, type WeekState } from './week-state.ts';

const MAX_SEGMENT = 3;

export function improveOrder(state: WeekState, shift: number): void {
  const { orders, counts, week, timer } = state;
  const base = shift * MAX_STOPS;
  const count = counts[shift]!;
  if (count < 2) return;
  const trial = new Int32Array(count);
  const kept = orders.slice(base, base + count);
  let best = state.roundMicros[shift]!;

  const accept = (): boolean => {
    const micros = timer.cost(week.shifts[shift]!, trial, 0, count, best);
    if (!(micros < best)) return false;
    for (let k = 0; k < count; k++)
      if (trial[k] === UNLOAD && (k === 0 || k === count - 1 || trial[k - 1] === UNLOAD)) return false;
    orders.set(trial, base);
    if (!roundFits(state, shift)) {
      orders.set(kept, base);
      return false;
    }
    kept.set(trial);
    best = micros;
    return true;
  };

  let improved = true;
  while (improved) {
    improved = false;
    for (let i = 0; i < count - 1 && !improved; i++)
      for (let j = i + 1; j < count && !improved; j++) {
        trial.set(kept);
        trial.subarray(i, j + 1).reverse();
        improved = accept();
      }
    for (let length = 1; length <= MAX_SEGMENT && !improved; length++)
      for (let i = 0; i + length <= count && !improved; i++)
        for (let to = 0; to <= count - length && !improved; to++) {
          if (to === i) continue;
          moveSegment(kept, trial, i, length, to, false);
          improved = accept();
          if (!improved && length > 1) {
            moveSegment(kept, trial, i, length, to, true);
            improved = accept();
          }
        }
  }
  retimeRound(state, shift);
}

/** Takes `length` stops at `from` out and puts them back so that they start at `to`. */
function moveSegment(
  order: Int32Array,
  into: Int32Array,
  from: number,
  length: number,
  to: number,
  turned: boolean,
): void {
  let read = 0;
  for (let write = 0; write < order.length; write++) {
    if (write >= to && write < to + length) {
      const k = write - to;
      into[write] = order[from + (turned ? length - 1 - k : k)]!;
      continue;
    }
    if (read === from) read += length;
    into[write] = order[read++]!;
  }
}
