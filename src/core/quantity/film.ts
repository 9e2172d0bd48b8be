/** Plastic film in figures: bags, kilograms and litres, with the source of each figure. */
import type { Kg, Litres } from './units.ts';

/**
 * One thin HDPE carrier bag. Environment Agency (2011), Life cycle assessment of supermarket carrier bags, report
 * SC030148, tables 3.1 and 5.1, as quoted in a research note (the tables themselves were not opened).
 */
export const CARRIER_BAG_KG: Kg = 0.00812;

/**
 * Loose film as collected. GOV.UK, EPR for packaging, Annex C (updated 14 July 2025): 0.02 t/m³; the US EPA's
 * volume-to-weight factors of 2016 give 35 lb/yd³, 20.76 kg/m³. Rough: handling and moisture change it.
 */
export const LOOSE_FILM_KG_PER_M3 = 20;

/** Film in bales: 1,100 lb in 30 × 42 × 48 in (a US state's volume-to-weight sheet). */
export const BALED_FILM_KG_PER_M3 = 503;

/** kg of so many thin carrier bags. */
export const carrierBagsKg = (bags: number): Kg => bags * CARRIER_BAG_KG;

/** Litres that a mass takes at a bulk density in kg/m³, which is g/L. */
export function litresOf(kg: Kg, kgPerM3: number): Litres {
  if (!(kgPerM3 > 0)) throw new RangeError(`a bulk density is above 0 kg/m³, got ${kgPerM3}`);
  return (kg * 1000) / kgPerM3;
}

export type Part = { readonly massShare: number; readonly kgPerM3: number };

/**
 * Bulk density of a mixture given by mass shares: volumes add, so it is the harmonic mean, not the arithmetic one.
 *
 * @throws RangeError unless the shares sum to 1
 */
export function mixtureKgPerM3(parts: readonly Part[]): number {
  const sum = parts.reduce((total, part) => total + part.massShare, 0);
  if (Math.abs(sum - 1) > 1e-9) throw new RangeError(`mass shares sum to ${sum}, not 1`);
  return 1 / parts.reduce((volume, { massShare, kgPerM3 }) => volume + massShare / kgPerM3, 0);
}
