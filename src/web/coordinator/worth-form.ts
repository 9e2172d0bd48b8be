/** The form that starts simulated years. */
import { z } from 'zod';

export const USUAL_WORLDS = 3;
export const USUAL_WEEKS = 52;

const whole = (min: number, max: number, what: string) =>
  z.coerce
    .number({ error: `Write a whole number of ${what}.` })
    .int({ error: `Write a whole number of ${what}.` })
    .min(min, { error: `At least ${min}.` })
    .max(max, { error: `At most ${max}.` });

/** Below 16 weeks half of a year would be learning; 50 worlds is a night. */
export const WorthForm = z.strictObject({
  worlds: whole(1, 50, 'worlds').default(USUAL_WORLDS),
  weeks: whole(16, 104, 'weeks').default(USUAL_WEEKS),
});
