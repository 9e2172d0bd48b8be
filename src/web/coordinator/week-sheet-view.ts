/** What the week sheet shows: plain data. `build-week-sheet.ts` makes it from the planner's own types. */
import type { LeftOut, Money, PlannedRound, PlannedStop, UnkeptPromise } from '../../core/planning/plan.ts';
import type { Instant, Kg, LocalDay, Micros } from '../../core/quantity/units.ts';
import type { EventKind, Grade, PlanState } from '../../core/vocabulary.ts';
import type { ByHandView } from './change-by-hand.tsx';
import type { DayColumn } from './day-scale.ts';
import type { DoubtView } from './weigh-in-view.ts';

export type WorkshopView = { readonly name: string; readonly zone: string; readonly currency: string };

/** One point of a forecast: median, the middle half, and the 80 % interval. */
export type FanPoint = {
  readonly at: Instant;
  readonly lowKg: Kg;
  readonly q25Kg: Kg;
  readonly medianKg: Kg;
  readonly q75Kg: Kg;
  readonly highKg: Kg;
};

export type SiteMark =
  /** A pickup rule's window (`must` or `usual`), or a confirmed booking's. */
  | {
      readonly kind: 'promise' | 'usual' | 'booking';
      readonly fromAt: Instant;
      readonly untilAt: Instant;
    }
  | {
      readonly kind: 'surge';
      readonly fromAt: Instant;
      readonly untilAt: Instant;
      readonly eventKind: EventKind;
      readonly expectedKg: Kg;
    }
  /** No van may call on this day. */
  | { readonly kind: 'closed'; readonly fromAt: Instant; readonly untilAt: Instant }
  | { readonly kind: 'visit'; readonly at: Instant; readonly expectedKg: Kg; readonly roundId: string };

export type SiteStrip = {
  readonly siteId: string;
  readonly name: string;
  /** Kind and district, for the small print. */
  readonly place: string;
  readonly capacityKg: Kg;
  readonly nowKg: Kg;
  /** Greatest chance of standing over the brim before a visit or the end of the week, and when. */
  readonly overflowRisk: number;
  readonly riskDay: LocalDay;
  /** One fan from each emptying to the next. */
  readonly fans: readonly (readonly FanPoint[])[];
  readonly marks: readonly SiteMark[];
};

export type StockColumn = {
  readonly drawKg: Kg;
  readonly arrivingKg: Kg;
  /** End of day: mean and 80 % interval. */
  readonly stockKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  /** Chance that production has to wait or buy in by the end of this day, 0 to 1. */
  readonly shortageRisk: number;
  readonly shortKg: Kg;
  /** Whole days that the evening’s stock can feed; 30 stands for a month and more. */
  readonly coverDays: number;
};

/** The store over the week, all grades together or one of them; a column per day. */
export type StockLine = {
  readonly grade?: Grade;
  readonly name: string;
  readonly openingKg: Kg;
  readonly days: readonly StockColumn[];
};

export type RoundFoot = {
  readonly id: string;
  readonly vanName: string;
  readonly driverName: string;
  readonly round: Omit<PlannedRound, 'stops'> & {
    readonly stops: readonly (PlannedStop & { readonly id?: string })[];
  };
};

export type PlanHead = {
  readonly id: string;
  readonly state: PlanState;
  readonly createdAt: Instant;
  readonly publishedAt?: Instant;
  readonly seed: number;
  readonly iterations: number;
  readonly costMicros: Micros;
  readonly money: Money;
  readonly moneyByDay: readonly Money[];
  /** Something has been weighed, booked or changed since it was planned. */
  readonly factsChanged: boolean;
  /** Absent where the planner made it. */
  readonly byHand?: ByHandView;
};

export type WeekSheetView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  readonly days: readonly DayColumn[];
  readonly plan?: PlanHead;
  /** The plan that holds while a draft is on the sheet. */
  readonly publishedPlanId?: string;
  readonly storeLimitKg: Kg;
  readonly stock: StockLine;
  readonly grades: readonly StockLine[];
  /** Most urgent first. */
  readonly strips: readonly SiteStrip[];
  readonly rounds: readonly RoundFoot[];
  readonly leftOut: readonly LeftOut[];
  readonly unkept: readonly UnkeptPromise[];
  /** Weigh-ins that do not fit and wait for an answer, newest first. */
  readonly doubts: readonly DoubtView[];
  readonly siteNames: { readonly [siteId: string]: string };
  /** Counts of the register, for the first steps on an empty sheet. */
  readonly register: {
    readonly sites: number;
    readonly shifts: number;
    readonly productionDays: number;
  };
};
