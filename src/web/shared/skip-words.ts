/** What to leave out when a van is full early, and what never: the same words on the run sheet and the round's page. */
import type { StopReason } from '../../core/planning/plan.ts';
import { type Say, sayIn } from '../messages/say.ts';

const english = sayIn('en');
export const {
  fullEarly: fullEarlySentence,
  trips: tripSentences,
  fullMeans,
  leaveOutFirst,
  never: neverSentence,
} = english.skip;

/** Stops that somebody was told of: they are made whatever the van holds. In the order of the round. */
export const neverLeftOut = <Stop extends { readonly reason?: StopReason }>(
  stops: readonly Stop[],
  { skip: { why: promises } }: Say = english,
): { readonly stop: Stop; readonly why: string }[] =>
  stops.flatMap((stop) => {
    const code = stop.reason?.code;
    return code === 'promised' || code === 'booked' || code === 'pinned'
      ? [{ stop, why: promises[code] }]
      : [];
  });
