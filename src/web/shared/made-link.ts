/** A link that has just been made, the only time its address is known. */
import type { Instant } from '../../core/quantity/units.ts';

export type MadeLink = { readonly url: string; readonly label: string; readonly expiresAt: Instant };
