/** What the donor's pages need from the rest: two readers, three writers, ids and the clock. */
import type { Result } from '../../core/quantity/result.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { CancelBookingRefusal } from '../../usecases/cancel-extra-collection.ts';
import type { ExtraCollection, ExtraCollectionRefusal } from '../../usecases/request-extra-collection.ts';
import type { BookingPageView, DonorView } from './donor-view.ts';

export type DonorDeps = {
  now(): Instant;
  newId(): string;
  /** Nothing when the donor is gone from the register. */
  readDonor(donorId: string, nowAt: Instant): DonorView | undefined;
  /** Nothing for a booking that is not at one of this donor's sites. */
  readBooking(donorId: string, bookingId: string, nowAt: Instant): BookingPageView | undefined;
  reportFull(entry: FullReport): Result<{ readonly reportId: string }, FullRefusal>;
  requestExtra(entry: ExtraRequest): Result<{ readonly bookingId: string }, ExtraCollectionRefusal>;
  cancelBooking(entry: BookingCancel): Result<{ readonly bookingId: string }, CancelBookingRefusal>;
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
export type FullRefusal =
  | { readonly kind: 'site-not-found' }
  | { readonly kind: 'fact-differs' | 'still-to-come' };

export type ExtraRequest = Omit<ExtraCollection, 'requestedBy'> & {
  readonly donorId: string;
  readonly at: Instant;
};

export type BookingCancel = { readonly donorId: string; readonly bookingId: string; readonly at: Instant };

export type { CancelBookingRefusal as CancelRefusal, ExtraCollectionRefusal as ExtraRefusal };
