/** What production draws from stock: units pressed × film per unit × grade shares, per day and grade. */
import type { Kg, LocalDay } from '../quantity/units.ts';
import type { Grade } from '../vocabulary.ts';

export type Recipe = {
  readonly id: string;
  readonly filmKgPerUnit: Kg;
  readonly yieldShare: number;
  readonly offCutReturnShare: number;
  readonly gradeShares: { readonly [grade in Grade]?: number };
};
export type Run = { readonly productId: string; readonly day: LocalDay; readonly units: number };

/**
 * kg drawn, [day][grade], net of off-cuts that come back the same day. A run of an unknown product throws: a
 * need that is silently dropped would starve an oven.
 */
export function drawByDay(
  days: readonly LocalDay[],
  grades: readonly Grade[],
  recipes: readonly Recipe[],
  runs: readonly Run[],
): Kg[][] {
  const byId = new Map(recipes.map((recipe) => [recipe.id, recipe]));
  return days.map((day) => {
    const today = runs.filter((run) => run.day === day);
    return grades.map((grade) =>
      today.reduce<number>((sum, run) => {
        const recipe = byId.get(run.productId);
        if (!recipe) throw new RangeError(`a run on ${day} is of the unknown product ${run.productId}`);
        return sum + netFilmKg(recipe, run.units) * (recipe.gradeShares[grade] ?? 0);
      }, 0),
    );
  });
}

/** Film that leaves the store for good: what goes in, less the off-cuts that come back. */
export function netFilmKg(recipe: Omit<Recipe, 'id' | 'gradeShares'>, units: number): Kg {
  const inKg = units * recipe.filmKgPerUnit;
  return inKg - inKg * (1 - recipe.yieldShare) * recipe.offCutReturnShare;
}

/** Whole days of draw that stock feeds, counting from the first: Infinity when nothing is ever drawn beyond it. */
export function coverDays(stockKg: Kg, drawKg: readonly Kg[]): number {
  let left = stockKg;
  for (let day = 0; day < drawKg.length; day++) {
    left -= drawKg[day]!;
    if (left < -1e-9) return day;
  }
  return Number.POSITIVE_INFINITY;
}

/**
 * The same after a day of a plan: its own days first, then its last week over and over, day for day. The mean of a week
 * would say too much: where nothing is pressed at weekends, Monday draws more than a seventh of the week.
 *
 * @param dayIndex the day whose evening it is
 * @param most says no more than this
 */
export function coverAfter(stockKg: Kg, drawKg: readonly Kg[], dayIndex: number, most: number): number {
  const week = drawKg.slice(-7);
  const ahead = drawKg.slice(dayIndex + 1, dayIndex + 1 + most);
  while (ahead.length < most) ahead.push(...week);
  return Math.min(most, coverDays(stockKg, ahead));
}
