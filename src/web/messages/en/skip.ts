/** What to leave out when a van is full early, and what never. */
import type { TripRisk } from '../../../core/planning/early-full.ts';
import type { Kg, Litres } from '../../../core/quantity/units.ts';
import { formatsIn } from '../formats.ts';

const f = formatsIn('en');

/** Whoever must leave out more than this should not decide it alone. */
const MOST_LEFT_OUT = 4;

export const skip = {
  why: { promised: 'promised', booked: 'booked', pinned: 'fixed by the coordinator' },
  /** "4 % chance that the van is full before its last stop." */
  fullEarly: (risk: number): string => `${f.percent(risk)} chance that the van is full before its last stop.`,
  /**
   * Trip by trip: "Trip 1: 4 % chance of being full before its last stop, 11 % that not everything fits; space runs out
   * first." Without a number where the round is one trip.
   */
  trips: (trips: readonly TripRisk[]): string[] =>
    trips.map(({ fullEarlyRisk, leftBehindRisk, fullBy }, i) => {
      const start = trips.length === 1 ? '' : `Trip ${i + 1}: `;
      const first = fullBy === 'payload' ? 'weight' : 'space';
      return `${start}${f.percent(fullEarlyRisk)} chance of being full before the last stop, ${f.percent(leftBehindRisk)} that not everything fits; ${first} runs out first.`;
    }),
  /** "Full is 720 kg or 6,500 L, whichever comes first." With the caution that belongs to every load. */
  fullMeans: ({ payloadKg, loadSpaceL }: { readonly payloadKg: Kg; readonly loadSpaceL: Litres }): string =>
    `Full is ${f.kg(payloadKg)} or ${f.litres(loadSpaceL)}, whichever comes first. Never load above the weight on the van’s plate, even with space left; what the plate and local rules say comes before this sheet.`,
  /** "Leave out Alder Hall first, then Briar Shop." Beyond a few stops the workshop decides. */
  leaveOutFirst(names: readonly string[]): string {
    const [first, ...rest] = names.slice(0, MOST_LEFT_OUT);
    if (first === undefined)
      return 'Every stop of this round was promised: none may be left out. Call the workshop.';
    const more = names.length > MOST_LEFT_OUT ? ' If that is not enough, call the workshop.' : '';
    return `Leave out ${first} first${rest.map((name) => `, then ${name}`).join('')}.${more}`;
  },
  /** "Never Mossop (promised) or Quay (booked)." Empty where nothing was promised. */
  never: (kept: readonly { readonly name: string; readonly why: string }[]): string =>
    kept.length === 0 ? '' : `Never ${kept.map(({ name, why }) => `${name} (${why})`).join(' or ')}.`,
};
