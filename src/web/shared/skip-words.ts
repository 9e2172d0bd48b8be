/** What to leave out when a van is full early, and what never: the same words on the run sheet and the round's page. */
import type { TripRisk } from '../../core/planning/early-full.ts';
import type { StopReason, StopReasonCode } from '../../core/planning/plan.ts';
import { kg, litres, percent } from './format.ts';

const PROMISES: { readonly [code in StopReasonCode]?: string } = {
  promised: 'promised',
  booked: 'booked',
  pinned: 'fixed by the coordinator',
};

/** Stops that somebody was told of: they are made whatever the van holds. In the order of the round. */
export const neverLeftOut = <Stop extends { readonly reason?: StopReason }>(
  stops: readonly Stop[],
): { readonly stop: Stop; readonly why: string }[] =>
  stops.flatMap((stop) => {
    const why = stop.reason && PROMISES[stop.reason.code];
    return why === undefined ? [] : { stop, why };
  });

/** "4 % chance that the van is full before its last stop." */
export const fullEarlySentence = (risk: number): string =>
  `${percent(risk)} chance that the van is full before its last stop.`;

/**
 * Trip by trip: "Trip 1: 4 % chance of being full before its last stop, 11 % that not everything fits; space runs out
 * first." Without a number where the round is one trip.
 */
export const tripSentences = (trips: readonly TripRisk[]): string[] =>
  trips.map(({ fullEarlyRisk, leftBehindRisk, fullBy }, i) => {
    const start = trips.length === 1 ? '' : `Trip ${i + 1}: `;
    const first = fullBy === 'payload' ? 'weight' : 'space';
    return `${start}${percent(fullEarlyRisk)} chance of being full before the last stop, ${percent(leftBehindRisk)} that not everything fits; ${first} runs out first.`;
  });

/** "Full is 720 kg or 6,500 L, whichever comes first." With the caution that belongs to every load. */
export const fullMeans = ({
  payloadKg,
  loadSpaceL,
}: {
  readonly payloadKg: number;
  readonly loadSpaceL: number;
}): string =>
  `Full is ${kg(payloadKg)} or ${litres(loadSpaceL)}, whichever comes first. Never load above the weight on the van’s plate, even with space left; what the plate and local rules say comes before this sheet.`;

/** Whoever must leave out more than this should not decide it alone. */
const MOST_LEFT_OUT = 4;

/** "Leave out Alder Hall first, then Briar Shop." Beyond a few stops the workshop decides. */
export function leaveOutFirst(names: readonly string[]): string {
  const [first, ...rest] = names.slice(0, MOST_LEFT_OUT);
  if (first === undefined)
    return 'Every stop of this round was promised: none may be left out. Call the workshop.';
  const more = names.length > MOST_LEFT_OUT ? ' If that is not enough, call the workshop.' : '';
  return `Leave out ${first} first${rest.map((name) => `, then ${name}`).join('')}.${more}`;
}

/** "Never Mossop (promised) or Quay (booked)." Empty where nothing was promised. */
export const neverSentence = (kept: readonly { readonly name: string; readonly why: string }[]): string =>
  kept.length === 0 ? '' : `Never ${kept.map(({ name, why }) => `${name} (${why})`).join(' or ')}.`;
