/** What the page of private links shows. Never a token: those are shown once, when they are made. */
import type { Instant } from '../../core/quantity/units.ts';
import type { Role } from '../../core/vocabulary.ts';
import type { WorkshopView } from './week-sheet-view.ts';

export type LinkRow = {
  /** Names the link for withdrawing it; of no use to get in. */
  readonly hash: string;
  readonly role: Role | 'van';
  readonly opens: 'pages' | 'calendar';
  readonly label: string;
  readonly createdAt: Instant;
  readonly expiresAt: Instant;
  readonly revokedAt?: Instant;
};

export type LinksView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  readonly links: readonly LinkRow[];
  readonly drivers: readonly { readonly id: string; readonly name: string }[];
  readonly vans: readonly { readonly id: string; readonly name: string }[];
  readonly donors: readonly { readonly id: string; readonly name: string }[];
};
