/**
 * What the planner answers: a week of rounds in one objective in money, with a reason for each stop and for
 * each site left out. Plain data, stored as JSON and recomputed by the checker; facts only, no sentences.
 */
import type { Instant, Kg, Litres, LocalDay, Metres, Micros, Seconds } from '../quantity/units.ts';
import type { Grade } from '../vocabulary.ts';
import type { TripRisk } from './early-full.ts';

/** The parts of the objective. They add up to a plan's cost to the micro. */
export const MONEY_PARTS = [
  'distance', // van, per km
  'time', // driver, per hour from leaving the workshop to being back
  'overtime', // driver beyond the shift's end
  'unloading', // per trip emptied at the workshop
  'overflow', // film lost and donors annoyed, expected
  'shortage', // buying in what production misses, expected
  'store-overflow', // more than the store holds, expected
  'lateness', // promises kept outside their window, or not at all
  'habit', // `usual` pickups moved or dropped
  'change', // difference from what was published
  'left-at-end', // relative value of what waits at the end of the horizon, so that the plan does not live for today
] as const;
export type MoneyPart = (typeof MONEY_PARTS)[number];
export type Money = { readonly [part in MoneyPart]: Micros };

export type StopReasonCode =
  | 'promised' // a `must` rule
  | 'booked' // an extra collection that was confirmed
  | 'pinned' // the coordinator said so
  | 'overflow' // likely to overflow before the next chance
  | 'feeds-production' // keeps a grade from running short
  | 'on-the-way' // costs little, because the van passes
  | 'fill' // worth the detour for what waits
  | 'habit'; // a `usual` pickup

export type StopReason = {
  readonly code: StopReasonCode;
  /** P(overflow by the plan's next visit to the site, or by the end of the horizon) if this stop were dropped, 0 to 1. */
  readonly overflowRisk: number;
  /** Day up to which that risk is counted. */
  readonly riskUntilDay: LocalDay;
  /** Extra metres and seconds that this stop costs its round. */
  readonly extraM: Metres;
  readonly extraS: Seconds;
  /** What dropping the stop would add to each part (negative: would save). Sums to `worthMicros`. */
  readonly withoutIt: Money;
  readonly worthMicros: Micros;
  /** For `feeds-production`: the grade that would run short, and the day. */
  readonly grade?: Grade;
  readonly shortDay?: LocalDay;
  /** For `promised` and `booked`: the window that was promised. */
  readonly windowFromAt?: Instant;
  readonly windowUntilAt?: Instant;
};

export type PlannedStop = {
  readonly kind: 'site' | 'unload' | 'break';
  readonly siteId?: string;
  readonly arriveAt: Instant;
  /** Waiting for a window to open lies between arriving and starting. */
  readonly startAt: Instant;
  readonly departAt: Instant;
  /** The leg that leads here. */
  readonly legM: Metres;
  readonly legS: Seconds;
  /** Mean of what will be loaded, and the 80 % interval. 0 for unload and break. */
  readonly expectedKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  readonly expectedL: Litres;
  readonly reason?: StopReason;
};

export type PlannedRound = {
  readonly shiftId: string;
  readonly vanId: string;
  readonly driverId: string;
  readonly day: LocalDay;
  readonly startAt: Instant;
  readonly endAt: Instant;
  readonly shiftEndAt: Instant;
  readonly distanceM: Metres;
  readonly driveS: Seconds;
  readonly money: Money;
  /** The fullest trip, at the mean and at the quantile the workshop plans with, against the van. */
  readonly loadKg: Kg;
  readonly loadL: Litres;
  readonly cautiousLoadKg: Kg;
  readonly cautiousLoadL: Litres;
  readonly payloadKg: Kg;
  readonly loadSpaceL: Litres;
  /** P(van full before the last stop of a trip), 0 to 1, the worst trip: see early-full.ts. */
  readonly fullEarlyRisk: number;
  /** One for each trip, up to its unloading. Absent in plans of before November 2026. */
  readonly tripRisks?: readonly TripRisk[];
  /** Which site to pass by first if the van fills early: least loss first, none that was promised. */
  readonly skipFirst: readonly string[];
  readonly stops: readonly PlannedStop[];
};

export type LeftOutCode =
  | 'too-empty' // not worth a visit yet
  | 'far' // worth something, less than the detour
  | 'shift-full' // no time left on any day it is open
  | 'van-full' // no payload or load space left
  | 'closed' // not open on any day that has a shift
  | 'store-full' // the workshop could not take it
  | 'no-shift'; // no van is on the road in the horizon

export type LeftOut = {
  readonly siteId: string;
  readonly code: LeftOutCode;
  /** What the cheapest insertion would add to the plan's cost, by part, and on which day. */
  readonly bestDay?: LocalDay;
  readonly withIt?: Money;
  readonly addsMicros?: Micros;
  readonly overflowRisk: number;
  readonly expectedKgAtEnd: Kg;
};

/** A promise that the plan cannot keep: which, why, and what would mend it. */
export type UnkeptPromise = {
  readonly siteId: string;
  readonly kind: 'rule' | 'booking' | 'pinned';
  readonly windowFromAt: Instant;
  readonly windowUntilAt: Instant;
  readonly why:
    | 'no-shift'
    | 'closed'
    | 'window-outside-shift'
    | 'too-far'
    | 'too-heavy'
    | 'too-bulky'
    | 'no-time'
    | 'no-room';
  readonly mend: 'add-shift' | 'longer-shift' | 'wider-window' | 'bigger-van' | 'second-van' | 'move-another';
};

/** The store and production, day by day, as the plan sees them. */
export type StockDay = {
  readonly day: LocalDay;
  readonly grade: Grade;
  readonly drawKg: Kg;
  readonly arrivingKg: Kg;
  /** End of day: mean and 80 % interval. */
  readonly stockKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  readonly shortageRisk: number;
  /** Expected kilograms that must be bought in on this day. */
  readonly shortKg: Kg;
};

export type Plan = {
  readonly firstDay: LocalDay;
  readonly days: readonly LocalDay[];
  readonly seed: number;
  readonly iterations: number;
  readonly rounds: readonly PlannedRound[];
  readonly leftOut: readonly LeftOut[];
  readonly unkept: readonly UnkeptPromise[];
  readonly stock: readonly StockDay[];
  readonly money: Money;
  readonly moneyByDay: readonly Money[];
  readonly costMicros: Micros;
};
