/** The figures of a simulated year. */
import type { Kg, Metres, Micros, Seconds } from '../quantity/units.ts';

export const YEAR_PARTS = [
  'driving', // per km
  'time', // drivers, overtime included
  'unloading',
  'overflow', // events, days and kilograms lost
  'buying-in',
  'full-store', // whoever fetches more than production presses pays it
] as const;
export type YearPart = (typeof YEAR_PARTS)[number];

export type YearResult = {
  readonly seed: number;
  readonly policy: string;
  /** Days that were scored; the first weeks are for learning, the same for all. */
  readonly scoredDays: number;
  readonly collectedKg: Kg;
  readonly cameKg: Kg;
  readonly distanceM: Metres;
  readonly workS: Seconds;
  readonly rounds: number;
  readonly stops: number;
  readonly unloadings: number;
  readonly missedStops: number;
  readonly overflowEvents: number;
  /** Site-days on which film was lost. */
  readonly overflowDays: number;
  readonly lostKg: Kg;
  readonly neededKg: Kg;
  readonly boughtInKg: Kg;
  /** The part of it that no round could have helped, from where the policy stood when scoring began. */
  readonly unavoidableKg: Kg;
  /** Grade-days on which production had to buy. */
  readonly shortDays: number;
  readonly planChanges: number;
  readonly plannedVisits: number;
  /** By part; `costMicros` is their sum. */
  readonly money: { readonly [part in YearPart]: Micros };
  readonly costMicros: Micros;
  readonly calls: number;
  /** What waits at sites and beside them at the end, less what waited when scoring began. */
  readonly waitingMoreKg: Kg;
};

/** What is counted day by day, before the first. */
export const NOTHING_YET = {
  collectedKg: 0,
  cameKg: 0,
  distanceM: 0,
  workS: 0,
  rounds: 0,
  stops: 0,
  unloadings: 0,
  missedStops: 0,
  overflowEvents: 0,
  overflowDays: 0,
  lostKg: 0,
  neededKg: 0,
  boughtInKg: 0,
  shortDays: 0,
  planChanges: 0,
  plannedVisits: 0,
  calls: 0,
};

export const NO_MONEY_YET = Object.fromEntries(YEAR_PARTS.map((part) => [part, 0])) as {
  readonly [part in YearPart]: Micros;
};
