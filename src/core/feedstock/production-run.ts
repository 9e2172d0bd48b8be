/** What a run of the press does to stock: film in, products, off-cuts back, loss. Mass is conserved. */
import type { Kg } from '../quantity/units.ts';
import type { Grade } from '../vocabulary.ts';
import type { Recipe } from './need.ts';

export type RunResult = {
  readonly usedKg: Kg;
  readonly finishedKg: Kg;
  readonly offCutsReturnedKg: Kg;
  readonly lossKg: Kg;
  /** By grade: what leaves the store for the press, and what comes back as off-cuts of the same grade. */
  readonly byGrade: readonly {
    readonly grade: Grade;
    readonly usedKg: Kg;
    readonly offCutsReturnedKg: Kg;
  }[];
};

/** @throws RangeError on a negative or fractional number of units, or grade shares that do not sum to 1 */
export function runOf(recipe: Recipe, units: number): RunResult {
  if (!(Number.isInteger(units) && units >= 0))
    throw new RangeError(`a run makes a whole number of units, got ${units}`);
  const shares = Object.entries(recipe.gradeShares) as [Grade, number][];
  const sum = shares.reduce((total, [, share]) => total + share, 0);
  if (Math.abs(sum - 1) > 1e-6)
    throw new RangeError(`grade shares of product ${recipe.id} sum to ${sum}, not 1`);
  const usedKg = units * recipe.filmKgPerUnit;
  const finishedKg = usedKg * recipe.yieldShare;
  const offCutsReturnedKg = (usedKg - finishedKg) * recipe.offCutReturnShare;
  return {
    usedKg,
    finishedKg,
    offCutsReturnedKg,
    lossKg: usedKg - finishedKg - offCutsReturnedKg,
    byGrade: shares
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([grade, share]) => ({
        grade,
        usedKg: usedKg * share,
        offCutsReturnedKg: offCutsReturnedKg * share,
      })),
  };
}

/** Film to collect for each kg of finished goods in the long run, with contamination c, off-cuts o and return r: (1 - o r) / ((1 - c)(1 - o)). */
export function collectedPerFinished(
  contaminationShare: number,
  { yieldShare, offCutReturnShare }: Pick<Recipe, 'yieldShare' | 'offCutReturnShare'>,
): number {
  const offCut = 1 - yieldShare;
  return (1 - offCut * offCutReturnShare) / ((1 - contaminationShare) * (1 - offCut));
}
