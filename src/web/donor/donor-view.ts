/** What a donor's pages show: plain data of this donor's own sites and nobody else's. */
import type { Basis } from '../../core/accumulation/site-model.ts';
import type { PickupRule } from '../../core/calendar/pickup-rule.ts';
import type { StopReason } from '../../core/planning/plan.ts';
import type { Slot } from '../../core/planning/quote.ts';
import type { Instant, Kg, Litres, LocalDay } from '../../core/quantity/units.ts';
import type { BookingState, Commitment, EventKind } from '../../core/vocabulary.ts';

export type DonorView = {
  readonly workshop: DonorWorkshop;
  readonly donorName: string;
  readonly nowAt: Instant;
  readonly todayDay: LocalDay;
  readonly sites: readonly DonorSiteView[];
};

export type DonorWorkshop = {
  readonly name: string;
  readonly zone: string;
  /** Empty when the workshop gave none. */
  readonly phone: string;
};

export type DonorSiteView = {
  readonly siteId: string;
  readonly name: string;
  readonly address: string;
  /** The next stop here in the published plan, if it has one. */
  readonly next?: {
    readonly startAt: Instant;
    readonly day: LocalDay;
    readonly reason?: StopReason;
  };
  readonly fill: DonorFill;
  readonly lastPickup?: { readonly at: Instant; readonly netKg?: Kg; readonly bags?: number };
  readonly rules: readonly PickupRule[];
  /** Days that the pickup rules give, closures and exceptions taken out: the next five or so. */
  readonly nextDates: readonly {
    readonly fromAt: Instant;
    readonly untilAt: Instant;
    readonly commitment: Commitment;
  }[];
  readonly closures: readonly {
    readonly fromDay: LocalDay;
    readonly untilDay: LocalDay;
    readonly reason: string;
  }[];
  /** Newest first. */
  readonly bookings: readonly BookingView[];
  /** Months in order of time, oldest first; a month without a pickup is there with zeros. */
  readonly months: readonly DonorMonth[];
};

/** How full, now: median and 80 % interval. Bags follow from `bagKg`, litres from the capacity. */
export type DonorFill = {
  readonly medianKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  readonly bagKg: Kg;
  readonly capacityKg: Kg;
  readonly capacityL: Litres;
  /** When it will be full with a chance of one half, if that lies within the forecast. */
  readonly fullAt?: Instant;
  /** The donor's last "it is full" since the container was last emptied. */
  readonly saidFullAt?: Instant;
  readonly basis: Basis;
};

export type BookingView = {
  readonly bookingId: string;
  readonly siteId: string;
  readonly siteName: string;
  readonly state: BookingState;
  readonly fromAt: Instant;
  readonly untilAt: Instant;
  readonly requestedAt: Instant;
  readonly remarks: string;
  readonly hazards: string;
  readonly eventKind?: EventKind;
  readonly eventEndsAt?: Instant;
  readonly expectedBags?: number;
  readonly expectedKg?: Kg;
  /** The planned visit, once it has one. */
  readonly plannedAt?: Instant;
};

/** Kilograms by calendar month in the workshop's zone. Diverted is what was accepted, not what was collected. */
export type DonorMonth = {
  /** `YYYY-MM`. */
  readonly month: string;
  readonly pickups: number;
  readonly collectedKg: Kg;
  readonly rejectedKg: Kg;
  readonly acceptedKg: Kg;
  /** Part of what was collected that was not weighed but worked out from bags or a full container. */
  readonly estimatedKg: Kg;
};

/** Days that are offered for what was asked. */
export type OfferView = {
  readonly workshop: DonorWorkshop & { readonly currency: string };
  readonly quoteId: string;
  readonly siteId: string;
  readonly siteName: string;
  readonly asked: Pick<BookingView, 'expectedBags' | 'expectedKg' | 'eventKind' | 'fromAt' | 'untilAt'>;
  readonly slots: readonly Slot[];
  readonly expiresAt: Instant;
  /** A booking stays as it is until an offer is taken. */
  readonly isChange: boolean;
  /** Where the form is, filled with what was typed. */
  readonly editPath: string;
};

export type BookingPageView = {
  readonly workshop: DonorWorkshop;
  readonly donorName: string;
  readonly nowAt: Instant;
  readonly booking: BookingView;
};
