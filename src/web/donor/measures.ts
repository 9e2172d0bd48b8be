/**
 * What one guesses an amount by, in litres of loose film. A cage is the common roll cage of about 0.8 m³, a pallet
 * 1.2 m × 0.8 m stacked 1.5 m high, a boot that of an estate car up to the window: common sizes, no source.
 */
import type { Litres } from '../../core/quantity/units.ts';
import type { DonorFill } from './donor-view.ts';

export const MEASURES = ['sacks', 'cages', 'pallets', 'boots'] as const;
export type Measure = (typeof MEASURES)[number];
export const UNITS = [...MEASURES, 'kg'] as const;
export type Unit = (typeof UNITS)[number];

const LITRES: { readonly [measure in Exclude<Measure, 'sacks'>]: Litres } = {
  cages: 800,
  pallets: 1440,
  boots: 400,
};

/** A sack of this site, by the density that its container is reckoned with. */
export const sackL = ({ bagKg, capacityKg, capacityL }: DonorFill): Litres =>
  (bagKg * capacityL) / capacityKg;

export const litresOfOne = (measure: Measure, fill: DonorFill): Litres =>
  measure === 'sacks' ? sackL(fill) : LITRES[measure];

/** How many sacks that is, to a tenth: facts are kept in sacks. */
export const sacksIn = (measure: Measure, amount: number, fill: DonorFill): number =>
  measure === 'sacks' ? amount : Math.round((10 * amount * LITRES[measure]) / sackL(fill)) / 10;
