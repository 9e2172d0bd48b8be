/** What a driver must hear before touching it: kept as English words, told to donors in their language. */
import type { Say } from '../messages/say.ts';

export const HAZARDS = {
  hazardSharp: 'sharp things possible',
  hazardWet: 'wet',
  hazardUnknown: 'not sorted by hand, contents unknown',
} as const;
export type HazardField = keyof typeof HAZARDS;
export const HAZARD_FIELDS = Object.keys(HAZARDS) as HazardField[];

const JOINED = '; ';
export const joinHazards = (fields: readonly HazardField[]): string =>
  fields.map((field) => HAZARDS[field]).join(JOINED);
export const splitHazards = (text: string): readonly HazardField[] =>
  HAZARD_FIELDS.filter((field) => text.split(JOINED).includes(HAZARDS[field]));

/** What was said in words of its own stays as it was said. */
export const hazardWords = (text: string, { booking }: Say): string =>
  text
    .split(JOINED)
    .map((part) => {
      const field = HAZARD_FIELDS.find((one) => HAZARDS[one] === part);
      return field ? booking.hazards[field].toLocaleLowerCase() : part;
    })
    .join(JOINED);
