/** What the donor's pages need from the rest: two readers, three writers, ids and the clock. */
import type { Result } from '../../core/quantity/result.ts';
import type { Instant, Kg } from '../../core/quantity/units.ts';
import type { EventKind } from '../../core/vocabulary.ts';
import type { BookingPageView, DonorView } from './donor-view.ts';

export type DonorDeps = {
  now(): Instant;
  newId(): string;
  /** Nothing when the donor is gone from the register. */
  readDonor(donorId: string, nowAt: Instant): DonorView | undefined;
  /** Nothing for a booking that is not at one of this donor's sites. */
  readBooking(donorId: string, bookingId: string, nowAt: Instant): BookingPageView | undefined;
  reportFull(entry: FullReport): Result<{ readonly reportId: string }, FullRefusal>;
  requestExtra(entry: ExtraRequest): Result<{ readonly bookingId: string }, ExtraRefusal>;
  cancelBooking(entry: BookingCancel): Result<{ readonly bookingId: string }, CancelRefusal>;
};

export type FullReport = {
  /** Made by the form: the same id again changes nothing and answers the first outcome. */
  readonly factId: string;
  readonly donorId: string;
  readonly siteId: string;
  readonly at: Instant;
  /** 1 is full to the brim. */
  readonly fraction: number;
};
export type FullRefusal = { readonly kind: 'site-not-found' };

export type ExtraRequest = {
  readonly factId: string;
  readonly donorId: string;
  readonly siteId: string;
  readonly at: Instant;
  readonly eventKind: EventKind;
  readonly eventEndsAt: Instant;
  /** One of the two is given, or both. */
  readonly expectedBags?: number;
  readonly expectedKg?: Kg;
  readonly fromAt: Instant;
  readonly untilAt: Instant;
  readonly remarks: string;
  /** What the donor said about sharp, wet or unknown contents; empty means asked and none. */
  readonly hazards: string;
};
export type ExtraRefusal =
  | { readonly kind: 'site-not-found' }
  /** Nobody is there on any day of the window, by the site's hours and closures. */
  | { readonly kind: 'closed-all-window' }
  | { readonly kind: 'window-over'; readonly untilAt: Instant }
  | { readonly kind: 'fact-differs' };

export type BookingCancel = { readonly donorId: string; readonly bookingId: string; readonly at: Instant };
export type CancelRefusal =
  | { readonly kind: 'booking-not-found' }
  | { readonly kind: 'booking-closed'; readonly state: 'done' | 'cancelled' };
