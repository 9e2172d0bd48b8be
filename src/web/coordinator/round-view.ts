/** What the page of one round shows. */
import type { LeftOut } from '../../core/planning/plan.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { PlanState } from '../../core/vocabulary.ts';
import type { MapView } from './map/map-view.ts';
import type { RoundFoot, WorkshopView } from './week-sheet-view.ts';

export type RoundView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  readonly planId: string;
  readonly roundId: string;
  readonly planState: PlanState;
  readonly foot: RoundFoot;
  readonly map: MapView;
  readonly siteNames: { readonly [siteId: string]: string };
  readonly siteAddresses: { readonly [siteId: string]: string };
  /** Sites that wait although this round's day was the cheapest for them. */
  readonly leftOut: readonly LeftOut[];
};
