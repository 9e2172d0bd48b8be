import type { Week } from './week.ts';

/** A mass that fills the van to the brim, counted in quanta, may be over by less than this. */
const LITRE_ROUNDING = 1e-3;

/**
 * Whether a trip with these sums may be driven: mean + z sd against payload and load space. A site that may fill the
 * van, alone on its trip (`isAlone`), is held at its mean: nobody after it goes short, and what does not fit stays.
 */
export function tripFits(
  week: Week,
  shift: number,
  isAlone: boolean,
  massKg: number,
  varianceKg2: number,
  litres: number,
  varianceL2: number,
): boolean {
  const { payloadKg, loadSpaceL } = week.shifts[shift]!;
  if (isAlone) return massKg <= payloadKg && litres <= loadSpaceL + LITRE_ROUNDING;
  const common = week.problem.prices.commonSd * week.problem.prices.commonSd;
  return (
    massKg + week.cautionZ * Math.sqrt(varianceKg2 + common * massKg * massKg) <= payloadKg &&
    litres + week.cautionZ * Math.sqrt(varianceL2 + common * litres * litres) <= loadSpaceL
  );
}
