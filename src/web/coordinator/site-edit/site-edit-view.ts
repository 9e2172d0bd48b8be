/** What the form of a site shows beside what was typed. */
import type { PickupRule } from '../../../core/calendar/pickup-rule.ts';
import type { TimeWindow } from '../../../core/quantity/units.ts';
import type { Typed } from '../../shared/form.ts';
import type { WorkshopView } from '../week-sheet-view.ts';

export type SiteEditView = {
  readonly workshop: WorkshopView;
  /** Absent for a new site. */
  readonly site?: { readonly id: string; readonly name: string; readonly seen: string };
  /** What stands in the form before anybody types. */
  readonly typed: Typed;
  readonly donors: readonly { readonly key: string; readonly name: string }[];
};

/** The rule that the form means, and its next dates. */
export type RulePreview = { readonly rule: PickupRule; readonly next: readonly TimeWindow[] };
