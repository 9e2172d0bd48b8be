/** When the break and the end of the shift are due, by the workshop's own rule and what the driver said of the round. */
import type { Instant } from '../../../core/quantity/units.ts';
import type { RoundView } from '../../driver/run-view.ts';

export type Due = {
  /** A break starts by then; nothing once one was taken or while one is taken. */
  readonly breakByAt?: Instant;
  readonly isBreakDue: boolean;
  readonly isShiftOver: boolean;
};

/** A quarter of an hour to find a safe place: common practice, no source. */
const AHEAD_S = 900;

export function dueIn(round: RoundView, nowAt: Instant): Due {
  const { last } = round.progress;
  const isShiftOver = nowAt > round.shiftEndAt && last?.mark !== 'finished';
  if (last?.mark === 'paused' || last?.mark === 'finished') return { isBreakDue: false, isShiftOver };
  const since = round.progress.workSinceAt ?? round.startAt;
  const breakByAt = since + round.breakRule.maxWorkS;
  if (breakByAt >= round.endAt && breakByAt >= nowAt) return { isBreakDue: false, isShiftOver };
  return { breakByAt, isBreakDue: nowAt > breakByAt - AHEAD_S, isShiftOver };
}
