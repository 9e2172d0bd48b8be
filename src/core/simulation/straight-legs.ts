/** Legs in a plane: straight lines times a detour factor at one speed, and a minute to park. */
import type { TravelTable } from '../routing/travel-table.ts';

const PARK_S = 60;

/** @param points metres east and north, per place */
export function straightLegs(
  points: readonly (readonly [number, number])[],
  { detourFactor, speedKmh }: { readonly detourFactor: number; readonly speedKmh: number },
): TravelTable {
  const places = points.length;
  const legM = new Int32Array(places * places);
  const legS = new Int32Array(places * places);
  points.forEach(([x, y], i) => {
    points.forEach(([u, v], j) => {
      if (i === j) return;
      legM[i * places + j] = Math.round(detourFactor * Math.hypot(x - u, y - v));
      legS[i * places + j] = Math.round(legM[i * places + j]! / (speedKmh / 3.6)) + PARK_S;
    });
  });
  return { places, legM, legS };
}
