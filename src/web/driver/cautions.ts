/**
 * What whoever lifts should hear before lifting. The values are the manual-handling guideline filter of the HSE
 * (INDG143 and L23, figure 20; read second-hand, see facts.md B1): a filter, not a limit. Local rules and the
 * employer's own assessment come first.
 */
import type { Kg } from '../../core/quantity/units.ts';
import type { ContainerKind } from '../../core/vocabulary.ts';
import type { SiteStopView } from './run-view.ts';

/** Inside every close-to-body zone of the filter, for men and women, from the lower leg to the head. */
export const ANY_HEIGHT_KG = 7;
/** Close to the body at the height of the elbow, women and men: above, no zone of the filter holds. */
export const WAIST_WOMEN_KG = 16;
export const WAIST_MEN_KG = 25;

export type LiftCaution = {
  readonly what: 'bag' | ContainerKind;
  readonly kg: Kg;
  /** `assess`: no zone of the filter is certain to hold for one person alone. */
  readonly level: 'heavy' | 'assess';
};

/** One caution per kind of thing at the site that weighs more than the filter passes at any height. */
export function liftCautions(stop: SiteStopView): readonly LiftCaution[] {
  const things: { what: LiftCaution['what']; kg: Kg }[] = [{ what: 'bag', kg: stop.bagKg }];
  for (const { kind, litresEach } of stop.containers) {
    // Cages and wheeled bins roll and are emptied by the bag; the others are lifted as they stand.
    if (kind === 'bulk-bag' || kind === 'crate')
      things.push({ what: kind, kg: litresEach / stop.litresPerKg });
  }
  return things
    .filter(({ kg }) => kg > ANY_HEIGHT_KG)
    .map((thing) => ({ ...thing, level: thing.kg > WAIST_WOMEN_KG ? 'assess' : 'heavy' }));
}
