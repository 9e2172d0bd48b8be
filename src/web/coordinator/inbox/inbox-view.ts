/** What waits for the coordinator, each with the moment from which it is too late. */
import type { UnkeptPromise } from '../../../core/planning/plan.ts';
import type { Instant, Kg, LocalDay } from '../../../core/quantity/units.ts';
import type { Grade } from '../../../core/vocabulary.ts';
import type { Names } from '../../shared/names.ts';
import type { DoubtView } from '../weigh-in-view.ts';

export type InboxItem =
  /** The published plan cannot be kept; a draft that mends it waits, or none was found. */
  | {
      readonly kind: 'plan-in-danger';
      readonly dangers: readonly { readonly kind: string }[];
      readonly draftId: string | undefined;
    }
  | { readonly kind: 'promise-not-kept'; readonly promise: UnkeptPromise }
  | {
      readonly kind: 'booking-waits';
      readonly bookingId: string;
      readonly siteId: string;
      readonly fromAt: Instant;
      readonly untilAt: Instant;
    }
  /** Production waits or buys in: the first day, and kilograms over all days of the plan. */
  | {
      readonly kind: 'runs-short';
      readonly grade: Grade;
      readonly day: LocalDay;
      readonly shortKg: Kg;
      readonly risk: number;
    }
  | { readonly kind: 'van-check'; readonly vanId: string; readonly day: LocalDay }
  /** The last day that is planned; nothing where nothing is. */
  | { readonly kind: 'plan-ends'; readonly lastDay: LocalDay | undefined }
  | {
      readonly kind: 'reaction-parked';
      readonly reaction: string;
      readonly seq: number;
      /** What happened, in a sentence. */
      readonly text: string;
      readonly error: string;
    }
  | { readonly kind: 'word-parked'; readonly person: string; readonly error: string }
  | { readonly kind: 'odd-weigh-in'; readonly doubt: DoubtView };

export type DueItem = { readonly item: InboxItem; readonly dueAt: Instant };

export type InboxView = {
  readonly names: Names;
  readonly nowAt: Instant;
  readonly today: LocalDay;
  /** Most urgent first. */
  readonly items: readonly DueItem[];
};
