/** Phones and scales are not set to the second; what lies further ahead than this is a slip of the date. */
import type { Instant, Seconds } from '../core/quantity/units.ts';

const CLOCK_SKEW_S: Seconds = 15 * 60;

export const isStillToCome = (at: Instant, nowAt: Instant): boolean => at > nowAt + CLOCK_SKEW_S;

export type StillToCome = { readonly kind: 'still-to-come' };
