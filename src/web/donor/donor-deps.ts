/** What the donor's pages need from the rest: readers and writers of this donor's own, ids and the clock. */
import type { Closure } from '../../core/calendar/opening.ts';
import type { Result } from '../../core/quantity/result.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { CollectionFacts } from '../../store/quotes.ts';
import type { Contact } from '../../store/sites.ts';
import type { CancelBookingRefusal } from '../../usecases/cancel-extra-collection.ts';
import type { PauseRefusal } from '../../usecases/change-own-site.ts';
import type { Taken, TakeOffer, TakeRefusal } from '../../usecases/confirm-extra-collection.ts';
import type { YearRecord } from '../../usecases/donor-records/year-record.ts';
import type { QuoteRefusal } from '../../usecases/quote-extra-collection.ts';
import type { ExtraCollectionRefusal } from '../../usecases/request-extra-collection.ts';
import type { Say } from '../messages/say.ts';
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
  /** An event without a visit of its own. */
  announceSurge(entry: Announced): Result<{ readonly surgeId: string }, AnnounceRefusal>;
  /** Whether there was one of this donor's own to be called off. */
  callOffSurge(donorId: string, surgeId: string): boolean;
  pauseSite(entry: OwnSite & Closure): Result<{ readonly siteId: string }, PauseRefusal>;
  resumeSite(entry: OwnSite & Pick<Closure, 'fromDay' | 'untilDay'>): Result<object, NoSite>;
  changeContact(
    entry: OwnSite & { readonly accessNotes: string; readonly contact: Contact },
  ): Result<object, NoSite>;
  /** Whether it was one of this donor's own links. */
  endLink(donorId: string, hash: string): boolean;
  /** An iCalendar file with the one visit; nothing for a booking that is not this donor's. */
  bookingCalendar(donorId: string, bookingId: string, say: Say): string | undefined;
  /** Nothing for a year in which nothing was taken. */
  readYear(donorId: string, year: number): YearRecord | undefined;
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

export type OwnSite = { readonly donorId: string; readonly siteId: string };
type NoSite = { readonly kind: 'site-not-found' };
export type Announced = ExtraRequest & { readonly factId: string };
export type AnnounceRefusal = { readonly kind: 'site-not-found' | 'fact-differs' };

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
