import type { Metres, Seconds } from '../quantity/units.ts';

/**
 * What it takes to drive from any place to any other: places × places, row-major
 * (`legM[from * places + to]`), whole metres and whole seconds. Need not be symmetric; the diagonal is 0.
 */
export type TravelTable = {
  readonly places: number;
  readonly legM: Int32Array;
  readonly legS: Int32Array;
};

export const legM = (table: TravelTable, from: number, to: number): Metres =>
  table.legM[from * table.places + to]!;
export const legS = (table: TravelTable, from: number, to: number): Seconds =>
  table.legS[from * table.places + to]!;
