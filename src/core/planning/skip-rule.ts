/**
 * Which stops to pass by when a van is full early: those whose film is missed least. What passing a stop by loses is
 * its worth to the plan beside the way it saves, for the driver is out there anyway. A stop that somebody was promised
 * is none of them; a driver who cannot even make those calls the workshop.
 */
import { ROUND_PARTS } from './money.ts';
import type { PlannedStop, StopReasonCode } from './plan.ts';

const PROMISED: ReadonlySet<StopReasonCode> = new Set(['promised', 'booked', 'pinned']);

/** Site ids of the stops that may be passed by, least loss first. */
export function skipFirst(stops: readonly PlannedStop[]): string[] {
  return stops
    .flatMap(({ siteId, reason }) =>
      siteId === undefined || !reason || PROMISED.has(reason.code)
        ? []
        : {
            siteId,
            lossMicros:
              reason.worthMicros - ROUND_PARTS.reduce((sum, part) => sum + reason.withoutIt[part], 0),
          },
    )
    .sort((a, b) => a.lossMicros - b.lossMicros || (a.siteId < b.siteId ? -1 : 1))
    .map(({ siteId }) => siteId);
}
