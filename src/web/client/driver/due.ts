/** When the break and the end of the shift are due, by the workshop's own rule and what the driver said of the round. */
import type { Instant, Seconds } from '../../../core/quantity/units.ts';
import type { RoundView } from '../../driver/run-view.ts';

export type Due = {
  /** A break starts by then; nothing once one was taken or while one is taken. */
  readonly breakByAt?: Instant;
  readonly isBreakDue: boolean;
  readonly isShiftOver: boolean;
};

/** A quarter of an hour to find a safe place: common practice, no source. */
const AHEAD_S: Seconds = 900;

export function dueIn(round: RoundView, nowAt: Instant): Due {
  const { last } = round.progress;
  const isShiftOver = nowAt > round.shiftEndAt && last?.mark !== 'finished';
  if (last?.mark === 'paused' || last?.mark === 'finished') return { isBreakDue: false, isShiftOver };
  const since = round.progress.workSinceAt ?? round.startAt;
  const breakByAt = since + round.breakRule.maxWorkS;
  if (breakByAt >= round.endAt && breakByAt >= nowAt) return { isBreakDue: false, isShiftOver };
  return { breakByAt, isBreakDue: nowAt > breakByAt - AHEAD_S, isShiftOver };
}

/** Below this nobody need be told: common practice, no source. */
const WORTH_SAYING_S: Seconds = 600;

/**
 * How much later than planned the round runs, told by the last stop that was done and by the clock; 0 where it is hardly
 * late, or early (nobody should come before the hours that were promised).
 */
export function lateS(round: RoundView, nowAt: Instant): Seconds {
  const sites = round.stops.filter((stop) => stop.kind === 'site');
  const next = sites.find((stop) => !stop.outcome);
  if (!next || nowAt < round.startAt) return 0;
  const last = sites
    .filter((stop) => stop.outcome)
    .sort((a, b) => (a.outcome?.at ?? 0) - (b.outcome?.at ?? 0))
    .at(-1);
  const atLast = last?.outcome ? last.outcome.at - last.departAt : 0;
  const late = Math.max(atLast, nowAt - next.startAt);
  return late >= WORTH_SAYING_S ? late : 0;
}
