/** What a search finds, each with where it leads. */
import type { LocalDay } from '../../../core/quantity/units.ts';
import type { WorkshopView } from '../week-sheet-view.ts';

export type Found = { readonly name: string; readonly about: string; readonly to: string };

export type SearchView = {
  readonly workshop: WorkshopView;
  /** As typed. */
  readonly text: string;
  readonly day?: LocalDay;
  readonly groups: readonly { readonly title: string; readonly found: readonly Found[] }[];
};
