/**
 * The mass of one bag at a site, learnt where bags and kg were both recorded, and the splitting of a whole load
 * over its stops by their bag counts. A scalar Kalman filter per site; a load is one measurement of a weighted
 * sum of several sites' bag masses. Formulas: README, "Bags and loads".
 */
import type { Kg } from '../quantity/units.ts';

export type BagMass = {
  readonly kg: Kg;
  /** Variance of `kg` as the site's mean bag, kg². */
  readonly varianceKg2: number;
};

/** One bag against the next at the same site: coefficient of variation. */
const BAG_TO_BAG_CV = 0.36;
const START_CV = 0.2;
/** A workshop scale: relative standard deviation of a load's total. */
const LOAD_SCALE_CV = 0.01;

export const startBagMass = (kg: Kg): BagMass => ({ kg, varianceKg2: (START_CV * kg) ** 2 });

/** Relative variance of the mass of `bags` bags that were counted, not weighed. */
export const countedRelativeVariance = (bag: BagMass, bags: number): number =>
  bag.varianceKg2 / (bag.kg * bag.kg) + BAG_TO_BAG_CV ** 2 / bags;

/** A stop where both bags and kg are known. Counts that cannot be right (0.3 to 3 bag masses) teach nothing. */
export function learnBagMass(bag: BagMass, bags: number, netKg: Kg): BagMass {
  if (!(bags > 0)) return bag;
  const eachKg = netKg / bags;
  if (eachKg < 0.3 * bag.kg || eachKg > 3 * bag.kg) return bag;
  const noise = (BAG_TO_BAG_CV * bag.kg) ** 2 / bags;
  const gain = bag.varianceKg2 / (bag.varianceKg2 + noise);
  return { kg: bag.kg + gain * (eachKg - bag.kg), varianceKg2: bag.varianceKg2 * (1 - gain) };
}

export type CountedStop = { readonly bags: number; readonly bag: BagMass };
export type ApportionedStop = {
  readonly netKg: Kg;
  /** Squared relative error that splitting adds. */
  readonly relativeVariance: number;
  readonly bag: BagMass;
};

/**
 * Splits a load's total over its stops in proportion to bags × bag mass, so that the parts sum to the total,
 * and lets the total correct all the bag masses at once. A total more than four deviations off corrects none.
 */
export function apportionLoad(totalKg: Kg, stops: readonly CountedStop[]): readonly ApportionedStop[] {
  if (!(totalKg >= 0)) throw new RangeError(`a load's total is a mass in kg, got ${totalKg}`);
  let expectedKg = 0;
  let spreadKg2 = (LOAD_SCALE_CV * totalKg) ** 2;
  for (const { bags, bag } of stops) {
    expectedKg += bags * bag.kg;
    spreadKg2 += bags * bags * bag.varianceKg2 + (BAG_TO_BAG_CV * bag.kg) ** 2 * bags;
  }
  if (!(expectedKg > 0)) {
    const evenKg = stops.length === 0 ? 0 : totalKg / stops.length;
    return stops.map(({ bag }) => ({ netKg: evenKg, relativeVariance: 1, bag }));
  }
  const errorKg = totalKg - expectedKg;
  const isBelievable = Math.abs(errorKg) < 4 * Math.sqrt(spreadKg2);
  return stops.map(({ bags, bag }) => {
    const gain = isBelievable ? (bags * bag.varianceKg2) / spreadKg2 : 0;
    return {
      netKg: (totalKg * bags * bag.kg) / expectedKg,
      relativeVariance: bags > 0 ? countedRelativeVariance(bag, bags) : 0,
      bag: {
        kg: Math.max(0.05 * bag.kg, bag.kg + gain * errorKg),
        varianceKg2: bag.varianceKg2 * (1 - gain * bags),
      },
    };
  });
}
