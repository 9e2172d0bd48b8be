/**
 * What the planner is given: plain data, no clock, no store; built by a use case, sent to a planner thread.
 * Everything is in the workshop's own units (kg, litres, metres, seconds, micros); calendar logic is already
 * done, so windows are instants.
 */
import type { SiteModel } from '../accumulation/site-model.ts';
import type { Instant, Kg, Litres, LocalDay, Micros, Seconds, TimeWindow } from '../quantity/units.ts';
import type { TravelTable } from '../routing/travel-table.ts';
import type { Grade } from '../vocabulary.ts';

export type SitePromise = {
  readonly kind: 'rule' | 'booking' | 'pinned';
  /** The visit must start inside one of these (alternatives, in order of time). */
  readonly windows: readonly TimeWindow[];
};

/**
 * A donor who says when the container is getting full: waiting there is less dangerous than the fill alone says,
 * for a visit can follow the call. What it costs then is a premium over a planned visit.
 */
export type DonorCalls = {
  /** P(the donor calls before it overflows), 0 to 1. */
  readonly reliability: number;
  /** Share of the container that makes the donor call. */
  readonly fromShare: number;
  readonly premiumMicros: Micros;
};

export type PlanningSite = {
  readonly siteId: string;
  /** Row in the travel table. */
  readonly place: number;
  readonly serviceS: Seconds;
  readonly model: SiteModel;
  /**
   * Room beside the container for sacks that an event leaves: they are fetched, not lost, and fill the van. The
   * risk of overflow still counts from the container's own brim: nobody wants them to stand there for long.
   */
  readonly besideKg?: Kg;
  /** Absent: nobody calls, only the fill counts. */
  readonly calls?: DonorCalls;
  /** Per day of the horizon, when a van may call; empty on closed days. */
  readonly openByDay: readonly (readonly TimeWindow[])[];
  readonly promises: readonly SitePromise[];
  /** Days (index in the horizon) of `usual` pickups. */
  readonly usualDays: readonly number[];
  /** Days on which the coordinator forbids a visit. */
  readonly barredDays: readonly number[];
};

export type PlanningShift = {
  readonly shiftId: string;
  readonly vanId: string;
  readonly driverId: string;
  /** Index in the horizon. */
  readonly dayIndex: number;
  readonly startAt: Instant;
  readonly endAt: Instant;
  readonly payloadKg: Kg;
  readonly loadSpaceL: Litres;
  readonly costMicrosPerKm: Micros;
  readonly costMicrosPerHour: Micros;
};

/** A break of `breakS` must start before `maxWorkS` of work since the shift's start (or the last break). */
export type BreakRule = {
  readonly maxWorkS: Seconds;
  readonly breakS: Seconds;
};

export type Prices = {
  readonly overtimeMicrosPerHour: Micros;
  readonly maxOvertimeS: Seconds;
  readonly unloadS: Seconds;
  readonly unloadMicros: Micros;
  /** A container that overflows: once, per day that it stays so, and per kg lost. */
  readonly overflowMicros: Micros;
  readonly overflowMicrosPerDay: Micros;
  readonly overflowMicrosPerKg: Micros;
  readonly storeOverflowMicrosPerKgDay: Micros;
  readonly brokenPromiseMicros: Micros;
  readonly brokenHabitMicros: Micros;
  readonly changeMicros: Micros;
  /** Stock at the end of the horizon is worth this share of its buying price, up to `endCoverDays` of draw. */
  readonly endValueShare: number;
  readonly endCoverDays: number;
  /** Part of what comes that is thrown out, 0 to 1. */
  readonly contaminationShare: number;
  /** Common factor of all sites (weather, season): relative standard deviation. */
  readonly commonSd: number;
};

export type PublishedVisit = {
  readonly siteId: string;
  readonly dayIndex: number;
  readonly shiftId: string;
  readonly startAt: Instant;
};

export type PlanningProblem = {
  readonly zone: string;
  readonly nowAt: Instant;
  readonly days: readonly LocalDay[];
  /** Start of each local day of the horizon, and of the day after the last: days + 1 instants. */
  readonly dayStartsAt: readonly Instant[];
  readonly workshopPlace: number;
  /** Per day, when the workshop can take a load. */
  readonly unloadByDay: readonly (readonly TimeWindow[])[];
  readonly storeLimitKg: Kg;
  readonly breakRule: BreakRule;
  readonly prices: Prices;
  /** Loads are held against payload and space at this quantile, e.g. 0.8. */
  readonly loadQuantile: number;
  readonly sites: readonly PlanningSite[];
  readonly shifts: readonly PlanningShift[];
  readonly travel: TravelTable;
  readonly grades: readonly Grade[];
  readonly stockKg: readonly Kg[]; // per grade
  readonly drawKg: readonly (readonly Kg[])[]; // [day][grade]
  readonly buyPriceMicrosPerKg: readonly Micros[]; // per grade
  readonly published: readonly PublishedVisit[];
};

export type PlanningBudget = {
  readonly seed: number;
  readonly iterations: number;
};
