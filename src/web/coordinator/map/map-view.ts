/** What a map shows: the rounds of a day with their stops in order, the sites that wait, and the ground under them. */
import type { StopReason } from '../../../core/planning/plan.ts';
import type {
  Instant,
  Kg,
  Litres,
  LocalDay,
  Metres,
  Position,
  TimeWindow,
} from '../../../core/quantity/units.ts';
import type { PlanState } from '../../../core/vocabulary.ts';
import type { Ground } from '../../../usecases/map-ground.ts';
import type { WorkshopView } from '../week-sheet-view.ts';

export type MapStop = {
  readonly siteId: string;
  readonly name: string;
  readonly at: Position;
  /** From 1, in the order of the round. */
  readonly number: number;
  readonly startAt: Instant;
  readonly departAt: Instant;
  readonly expectedKg: Kg;
  readonly lowKg: Kg;
  readonly highKg: Kg;
  readonly expectedL: Litres;
  /** What was promised, or else when the site is open on that day. */
  readonly windows: readonly TimeWindow[];
  readonly isPromise: boolean;
  readonly reason?: StopReason;
};

export type MapRound = {
  readonly roundId: string;
  /** A, B, C in the order in which they leave. */
  readonly letter: string;
  readonly vanName: string;
  readonly driverName: string;
  readonly startAt: Instant;
  readonly endAt: Instant;
  readonly distanceM: Metres;
  /** Times at the workshop to unload, the last one included. */
  readonly unloadings: number;
  /** One line a leg, in the order driven, from the workshop and back to it. */
  readonly legs: readonly (readonly Position[])[];
  readonly stops: readonly MapStop[];
};

export type WaitingSite = {
  readonly siteId: string;
  readonly name: string;
  readonly at: Position;
  /** In the plan that is shown, after this day. */
  readonly nextDay?: LocalDay;
};

export type MapView = {
  readonly workshop: WorkshopView & { readonly at: Position; readonly address: string };
  readonly nowAt: Instant;
  readonly day: LocalDay;
  readonly planId?: string;
  readonly planState?: PlanState;
  readonly rounds: readonly MapRound[];
  readonly waiting: readonly WaitingSite[];
  readonly ground: Ground;
  /** Draws around this place alone, however far the rest lies. */
  readonly around?: Position;
};

/** One site on the map, to be put where it lies. */
export type PositionView = {
  readonly workshop: WorkshopView;
  readonly siteId: string;
  readonly name: string;
  readonly address: string;
  /** As the register has it. */
  readonly at: Position;
  readonly map: MapView;
};

export type DayMapView = MapView & {
  /** The days of the plan, each with the number of its rounds. */
  readonly days: readonly { readonly day: LocalDay; readonly rounds: number }[];
};
