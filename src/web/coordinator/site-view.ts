/** What the register's pages show: the list of sites and one site. */

import type { Explanation } from '../../core/accumulation/explain.ts';
import type { Basis } from '../../core/accumulation/site-model.ts';
import type { PickupRule } from '../../core/calendar/pickup-rule.ts';
import type { Instant, Kg, Litres, LocalDay, Seconds, TimeWindow } from '../../core/quantity/units.ts';
import type { BookingState, ContainerKind, Grade, SiteKind, WeighMethod } from '../../core/vocabulary.ts';
import type { LearntCalls } from '../../usecases/learn-calls.ts';
import type { WorkshopView } from './week-sheet-view.ts';
import type { ConfirmedView, DoubtView } from './weigh-in-view.ts';

export type SiteRow = {
  readonly siteId: string;
  readonly name: string;
  readonly kind: SiteKind;
  readonly district: string;
  readonly capacityKg: Kg;
  readonly medianKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  /** What may stand beside the container or be lost: the 90 % quantile over the brim. */
  readonly besideKg: Kg;
  /** Within the next seven days, if nobody calls. */
  readonly overflowRisk: number;
  readonly lastWeighInAt?: Instant;
  readonly nextVisitAt?: Instant;
};

export type SitesView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  /** What was searched for, as typed. */
  readonly search: string;
  /** Weigh-ins that do not fit and wait for an answer, newest first. */
  readonly doubts: readonly DoubtView[];
  /** How many there are without the search. */
  readonly registered: number;
  readonly rows: readonly SiteRow[];
};

/** Median with the intervals that hold half, four fifths and nineteen of twenty. */
export type ForecastPoint = {
  readonly at: Instant;
  readonly q025: Kg;
  readonly q10: Kg;
  readonly q25: Kg;
  readonly q50: Kg;
  readonly q75: Kg;
  readonly q90: Kg;
  readonly q975: Kg;
};

export type SiteWeighIn = {
  readonly weighInId: string;
  readonly at: Instant;
  readonly netKg?: Kg;
  readonly bags?: number;
  readonly foundFull: boolean;
  readonly rejectedKg: Kg;
  readonly method: WeighMethod;
  readonly note: string;
  /** What the estimate takes it for, and the 80 % interval that was expected just before; not of a first one. */
  readonly expected?: { readonly kg: Kg; readonly lowKg: Kg; readonly medianKg: Kg; readonly highKg: Kg };
  /** A person has said that the figure is right. */
  readonly confirmed?: ConfirmedView;
  /** Counts at this weight in the estimate, when it did not fit the rest; 0 to 1. */
  readonly weight?: number;
};

export type RuleView = {
  readonly rule: PickupRule;
  readonly next: readonly TimeWindow[];
};

export type SiteView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  readonly siteId: string;
  readonly name: string;
  readonly kind: SiteKind;
  readonly donorId: string;
  readonly donorName: string;
  readonly address: string;
  readonly district: string;
  readonly lat: number;
  readonly lon: number;
  readonly accessNotes: string;
  readonly handlingNotes: string;
  readonly serviceS: Seconds;
  readonly capacityKg: Kg;
  readonly capacityL: Litres;
  readonly containers: readonly {
    readonly kind: ContainerKind;
    readonly count: number;
    readonly litresEach: Litres;
  }[];
  /** Hours in the importer's own words, `mo-fr 08:00-18:00`; empty is always open. */
  readonly hoursText: string;
  readonly closures: readonly {
    readonly fromDay: LocalDay;
    readonly untilDay: LocalDay;
    readonly reason: string;
  }[];
  /** What the planner counts on: that the donor calls before it overflows. */
  readonly calls: LearntCalls;
  readonly contacts: readonly { readonly name: string; readonly phone: string; readonly email: string }[];
  readonly rules: readonly RuleView[];
  readonly bookings: readonly (TimeWindow & { readonly state: BookingState; readonly remarks: string })[];
  readonly gradeShares: readonly { readonly grade: Grade; readonly share: number }[];
  readonly basis: Basis;
  readonly explanation: Explanation;
  /** Of this site. */
  readonly doubts: readonly DoubtView[];
  readonly kgPerWeek: Kg;
  readonly bagKg: Kg;
  /** From the last emptying on, past now, to some weeks ahead. */
  readonly forecast: readonly ForecastPoint[];
  /** Chance of standing over the brim a week from now, if nobody calls. */
  readonly overflowRisk: number;
  readonly riskDay: LocalDay;
  /** Newest first. */
  readonly weighIns: readonly SiteWeighIn[];
  readonly nextVisit?: { readonly at: Instant; readonly roundId: string };
};
