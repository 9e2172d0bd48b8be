/** What a donor's pages show: plain data of this donor's own sites and nobody else's. */
import type { Basis } from '../../core/accumulation/site-model.ts';
import type { PickupRule } from '../../core/calendar/pickup-rule.ts';
import type { StopReason } from '../../core/planning/plan.ts';
import type { Slot } from '../../core/planning/quote.ts';
import type { Instant, Kg, Litres, LocalDay } from '../../core/quantity/units.ts';
import type { BookingState, Commitment, EventKind } from '../../core/vocabulary.ts';
import type { Contact } from '../../store/sites.ts';
import type { Became } from '../../usecases/donor-records/what-it-became.ts';

export type DonorView = {
  readonly workshop: DonorWorkshop;
  readonly donorName: string;
  readonly nowAt: Instant;
  readonly todayDay: LocalDay;
  readonly sites: readonly DonorSiteView[];
  /** Of all the donor's places together. */
  readonly became: Became;
  /** Private links that open this page, oldest first. */
  readonly people: readonly DonorPerson[];
};

export type DonorPerson = {
  readonly hash: string;
  readonly label: string;
  readonly createdAt: Instant;
  readonly expiresAt: Instant;
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
  /** Events told of without a visit of their own, that are still to count. */
  readonly announced: readonly AnnouncedView[];
  readonly accessNotes: string;
  readonly contact: Contact;
};

export type AnnouncedView = {
  readonly surgeId: string;
  readonly eventKind: EventKind;
  readonly eventEndsAt: Instant;
  readonly expectedBags: number;
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
  /** The most that the donor said since the container was last emptied; 1 is full to the brim. */
  readonly said?: { readonly at: Instant; readonly fraction: number };
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
