/** How a round stands after what its driver said of it: what may be said next, and since when work has gone on. */
import type { Instant, Seconds } from '../../core/quantity/units.ts';
import { NEXT_MARKS, type RoundMark } from '../../core/vocabulary.ts';

export type RoundProgress = {
  readonly last?: { readonly mark: RoundMark; readonly at: Instant };
  readonly next: readonly RoundMark[];
  /** Since leaving, or since the last pause that was as long as a break. */
  readonly workSinceAt?: Instant;
};

export const NOT_STARTED: RoundProgress = { next: NEXT_MARKS.none };

/** @param breakS how long a pause must be to count as the break */
export function afterMark(
  before: RoundProgress,
  mark: RoundMark,
  at: Instant,
  breakS: Seconds,
): RoundProgress {
  const pausedS = before.last?.mark === 'paused' && mark === 'resumed' ? at - before.last.at : 0;
  const startsAnew = mark === 'started' || (mark === 'resumed' && pausedS >= breakS);
  const workSinceAt = startsAnew ? at : before.workSinceAt;
  return {
    last: { mark, at },
    next: NEXT_MARKS[mark],
    ...(workSinceAt === undefined ? {} : { workSinceAt }),
  };
}
