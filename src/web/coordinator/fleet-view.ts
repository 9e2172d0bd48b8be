/** What the pages of vans, drivers and shifts show. */
import type { Instant, Kg, Litres, LocalDay, Micros, Seconds } from '../../core/quantity/units.ts';

export type Frame = { readonly name: string; readonly zone: string; readonly currency: string };

export type ShiftChip = {
  readonly shiftId: string;
  readonly driverName: string;
  readonly startsMinute: number;
  readonly endsMinute: number;
  /** The driver cannot take it. */
  readonly isAway: boolean;
  /** Stops of the published round, or nothing while there is none. */
  readonly stops: number | undefined;
};

export type VanRow = {
  readonly vanId: string;
  readonly name: string;
  readonly payloadKg: Kg;
  readonly loadSpaceL: Litres;
  readonly checkDueDay: LocalDay | undefined;
  readonly offRoadFromAt: Instant | undefined;
  /** The first day on which it cannot drive at all. */
  readonly offRoadFromDay: LocalDay | undefined;
  readonly shifts: ReadonlyMap<LocalDay, readonly ShiftChip[]>;
};

export type DriverRow = {
  readonly driverId: string;
  readonly name: string;
  readonly email: string;
  /** Hours of shifts that are not called off, one entry a week shown; a clock change counts. */
  readonly weekS: readonly Seconds[];
  readonly awayDays: readonly LocalDay[];
};

export type FleetView = {
  readonly workshop: Frame;
  readonly today: LocalDay;
  /** Mondays. */
  readonly weeks: readonly LocalDay[];
  readonly vans: readonly VanRow[];
  readonly drivers: readonly DriverRow[];
};

export type ShiftView = {
  readonly workshop: Frame;
  readonly shiftId: string;
  readonly day: LocalDay;
  readonly vanId: string;
  readonly vanName: string;
  readonly driverId: string;
  readonly driverName: string;
  readonly startsMinute: number;
  readonly endsMinute: number;
  readonly isAway: boolean;
  readonly isOver: boolean;
  readonly isOnTheRoad: boolean;
  readonly round: { readonly id: string; readonly stops: number } | undefined;
  readonly vans: readonly { readonly id: string; readonly name: string }[];
  readonly drivers: readonly { readonly id: string; readonly name: string }[];
};

export type VanView = {
  readonly workshop: Frame;
  readonly vanId: string;
  readonly name: string;
  readonly payloadKg: Kg;
  readonly loadSpaceL: Litres;
  readonly costMicrosPerKm: Micros;
  readonly checkDueDay: LocalDay | undefined;
  readonly offRoadFromAt: Instant | undefined;
};

export type DriverView = {
  readonly workshop: Frame;
  readonly driverId: string;
  readonly name: string;
  readonly email: string;
  readonly costMicrosPerHour: Micros;
};
