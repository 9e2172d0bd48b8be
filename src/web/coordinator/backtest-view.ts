/** How good the estimates were, and in which order its table of sites stands. */
import type { ScoreState } from '../../usecases/score-history.ts';
import type { WorkshopView } from './week-sheet-view.ts';

export const SITE_ORDERS = ['error', 'name', 'pickups', 'mass', 'inside', 'crps', 'bias'] as const;
export type SiteOrder = (typeof SITE_ORDERS)[number];

export type BacktestView = {
  readonly workshop: WorkshopView;
  readonly state: ScoreState;
  readonly siteNames: { readonly [siteId: string]: string };
  readonly order: SiteOrder;
  /** False when the reader asked the page not to load itself again. */
  readonly refreshes: boolean;
};
