/** What the driver's pages show: plain data, made by a reader. No markup, no sentence, no clock. */
import type { TripRisk } from '../../core/planning/early-full.ts';
import type { StopReason } from '../../core/planning/plan.ts';
import type { Instant, Kg, Litres, LocalDay, Metres, Position, Seconds } from '../../core/quantity/units.ts';
import type {
  ContainerKind,
  Grade,
  MissedReason,
  RejectReason,
  SiteKind,
  WeighMethod,
} from '../../core/vocabulary.ts';

import type { RoundProgress } from './round-progress.ts';

/** The published rounds of one driver: today's first, then the next ones, each with its stops in order. */
export type RunView = {
  readonly workshop: WorkshopFacts;
  readonly driverName: string;
  readonly nowAt: Instant;
  readonly todayDay: LocalDay;
  readonly rounds: readonly RoundView[];
};

export type WorkshopFacts = {
  readonly name: string;
  /** IANA zone: every time on the sheet is written in it. */
  readonly zone: string;
  readonly address: string;
  readonly position: Position;
  /** Empty when the workshop gave none: then the sheet says "call the workshop" without a number. */
  readonly phone: string;
};

export type RoundView = {
  readonly roundId: string;
  readonly day: LocalDay;
  readonly vanName: string;
  readonly payloadKg: Kg;
  readonly loadSpaceL: Litres;
  readonly startAt: Instant;
  readonly endAt: Instant;
  readonly shiftEndAt: Instant;
  readonly distanceM: Metres;
  /** The workshop's break rule: a break of `breakS` starts before `maxWorkS` of work. */
  readonly breakRule: { readonly maxWorkS: Seconds; readonly breakS: Seconds };
  /** P(van full before its last stop), 0 to 1. */
  readonly fullEarlyRisk: number;
  /** The same trip by trip; empty in old plans. */
  readonly tripRisks: readonly TripRisk[];
  /** Sites to pass by first if the van fills early, least loss first. */
  readonly skipFirst: readonly { readonly siteId: string; readonly name: string }[];
  readonly stops: readonly StopView[];
  /** What its driver said of it last, and what may be said next; nothing next where it is not for today. */
  readonly progress: RoundProgress;
};

export type StopView = SiteStopView | PauseView;

/** A stop with no site: the workshop's door, or a break. */
export type PauseView = {
  readonly kind: 'unload' | 'break';
  readonly stopId: string;
  readonly arriveAt: Instant;
  readonly startAt: Instant;
  readonly departAt: Instant;
  readonly legM: Metres;
};

export type SiteStopView = {
  readonly kind: 'site';
  readonly stopId: string;
  readonly siteId: string;
  readonly name: string;
  readonly siteKind: SiteKind;
  readonly address: string;
  readonly district: string;
  readonly position: Position;
  readonly arriveAt: Instant;
  readonly startAt: Instant;
  readonly departAt: Instant;
  readonly legM: Metres;
  /** When a van may call on this day; empty means that no hours are known. */
  readonly open: readonly { readonly fromAt: Instant; readonly untilAt: Instant }[];
  readonly contact?: { readonly name: string; readonly phone: string };
  readonly containers: readonly {
    readonly kind: ContainerKind;
    readonly count: number;
    readonly litresEach: Litres;
  }[];
  /** Mean and 80 % interval of what waits; bags and litres follow from the two factors below. */
  readonly expectedKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  readonly bagKg: Kg;
  readonly litresPerKg: number;
  readonly reason?: StopReason;
  readonly accessNotes: string;
  readonly handlingNotes: string;
  /** What the donor said when it asked for this collection. */
  readonly booking?: { readonly remarks: string; readonly hazards: string };
  readonly outcome?: StopOutcome;
};

export type StopOutcome =
  | ({ readonly kind: 'weighed' } & RecordedWeighIn)
  | { readonly kind: 'missed'; readonly at: Instant; readonly reason: MissedReason; readonly note: string };

/** The weigh-in that stands; one that was replaced by a correction is not shown here. */
export type RecordedWeighIn = {
  readonly weighInId: string;
  readonly at: Instant;
  readonly method: WeighMethod;
  readonly grossKg?: Kg;
  readonly tareKg?: Kg;
  readonly netKg?: Kg;
  readonly bags?: number;
  readonly foundFull: boolean;
  readonly rejectedKg: Kg;
  readonly rejectReason?: RejectReason;
  readonly grades: readonly { readonly grade: Grade; readonly kg: Kg }[];
  readonly note: string;
  /** How often it was corrected. */
  readonly corrections: number;
};

/** One stop of the driver's own, with what its forms need. */
export type StopPageView = {
  readonly workshop: WorkshopFacts;
  readonly nowAt: Instant;
  readonly round: RoundView;
  readonly stop: SiteStopView;
  /** Grades that the workshop keeps apart, for the split by eye. */
  readonly grades: readonly { readonly grade: Grade; readonly name: string }[];
};
