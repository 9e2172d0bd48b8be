/** Legs without a road map: great circle times a detour factor, at a town's mean speed. */
import { greatCircleM } from '../core/quantity/geodesy.ts';
import type { Position } from '../core/quantity/units.ts';
import type { TravelTable } from '../core/routing/travel-table.ts';

export type GreatCircleOptions = {
  /** Road metres per straight metre. */
  readonly detourFactor: number;
  readonly speedKmh: number;
};

export function greatCircleTable(positions: readonly Position[], options: GreatCircleOptions): TravelTable {
  const places = positions.length;
  const legM = new Int32Array(places * places);
  const legS = new Int32Array(places * places);
  for (let i = 0; i < places; i++)
    for (let j = 0; j < i; j++) {
      const { metres, seconds } = greatCircleLeg(positions[i]!, positions[j]!, options);
      legM[i * places + j] = legM[j * places + i] = metres;
      legS[i * places + j] = legS[j * places + i] = seconds;
    }
  return { places, legM, legS };
}

export function greatCircleLeg(from: Position, to: Position, { detourFactor, speedKmh }: GreatCircleOptions) {
  const metres = Math.round(greatCircleM(from, to) * detourFactor);
  return { metres, seconds: Math.round((metres * 3.6) / speedKmh) };
}
