/** What the donor's pages need from the rest: two readers, three writers, ids and the clock. */
import type { Result } from '../../core/quantity/result.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { CollectionFacts } from '../../store/quotes.ts';
import type { CancelBookingRefusal } from '../../usecases/cancel-extra-collection.ts';
import type { Taken, TakeOffer, TakeRefusal } from '../../usecases/confirm-extra-collection.ts';
import type { QuoteRefusal } from '../../usecases/quote-extra-collection.ts';
import type { ExtraCollectionRefusal } from '../../usecases/request-extra-collection.ts';
import type { MadeLink } from '../shared/made-link.ts';
import type { BookingPageView, DonorView, OfferView } from './donor-view.ts';

export type DonorDeps = {
  now(): Instant;
  newId(): string;
  /** Nothing when the donor is gone from the register. */
  readDonor(donorId: string, nowAt: Instant): DonorView | undefined;
  /** Nothing for a booking that is not at one of this donor's sites. */
  readBooking(donorId: string, bookingId: string, nowAt: Instant): BookingPageView | undefined;
  reportFull(entry: FullReport): Result<{ readonly reportId: string }, FullRefusal>;
  /** Days for what is asked; with `changesId` for a booking that would become it. */
  quoteExtra(entry: ExtraRequest): Result<{ readonly quoteId: string }, QuoteRefusal>;
  /** Nothing for a quote that is not for one of this donor's sites. */
  readOffer(donorId: string, quoteId: string): OfferView | undefined;
  /** What was typed for a quote. */
  readAsked(donorId: string, quoteId: string): CollectionFacts | undefined;
  takeOffer(entry: OfferTaken): Result<Taken, TakeRefusal>;
  /** Where no day fits: the request stays with the coordinator. */
  leaveRequest(entry: RequestLeft): Result<{ readonly bookingId: string }, ExtraCollectionRefusal>;
  /** The donor's own calendar; an earlier address ends. */
  createCalendar(donorId: string): Result<MadeLink, { readonly kind: 'no-such-person' }>;
  withdrawCalendar(donorId: string): { readonly ended: number };
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

export type ExtraRequest = CollectionFacts & { readonly donorId: string; readonly changesId?: string };
export type OfferTaken = Omit<TakeOffer, 'actor'> & { readonly donorId: string };
export type RequestLeft = { readonly donorId: string; readonly quoteId: string; readonly factId: string };

export type BookingCancel = { readonly donorId: string; readonly bookingId: string; readonly at: Instant };

export type {
  CancelBookingRefusal as CancelRefusal,
  ExtraCollectionRefusal as ExtraRefusal,
  QuoteRefusal,
  TakeRefusal,
};
