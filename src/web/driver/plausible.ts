/**
 * Questions about a weigh-in that looks odd. They are asked once and never refuse: the scale may be right and
 * the forecast wrong. Thresholds are common practice, no source: wide enough that an ordinary good week passes,
 * narrow enough that a slipped decimal point never does.
 */
import type { Kg } from '../../core/quantity/units.ts';
import type { SiteStopView } from './run-view.ts';

export type Question =
  | { readonly kind: 'much-more' | 'much-less'; readonly kg: Kg; readonly lowKg: Kg; readonly highKg: Kg }
  | { readonly kind: 'over-payload'; readonly kg: Kg; readonly payloadKg: Kg }
  | { readonly kind: 'odd-bags'; readonly kgPerBag: Kg; readonly bagKg: Kg };

const MANY_TIMES = 2;
const SMALL_PART = 0.25;
/** Below this difference nobody need be asked: a sack more or less. */
const SMALL_KG = 5;
const BAG_FACTOR = 3;

export type Weighed = { readonly netKg?: Kg; readonly bags?: number; readonly foundFull: boolean };

export function questionsOf(
  { netKg, bags, foundFull }: Weighed,
  { lowKg, highKg, bagKg }: Pick<SiteStopView, 'lowKg' | 'highKg' | 'bagKg'>,
  payloadKg: Kg,
): readonly Question[] {
  const asked: Question[] = [];
  const kg = netKg ?? (bags === undefined ? undefined : bags * bagKg);
  if (kg !== undefined) {
    if (kg > payloadKg) asked.push({ kind: 'over-payload', kg, payloadKg });
    else if (kg > MANY_TIMES * highKg && kg > highKg + SMALL_KG && !foundFull)
      asked.push({ kind: 'much-more', kg, lowKg, highKg });
    else if (kg < SMALL_PART * lowKg && kg < lowKg - SMALL_KG)
      asked.push({ kind: 'much-less', kg, lowKg, highKg });
  }
  if (netKg !== undefined && bags !== undefined && bags > 0 && netKg > 0) {
    const kgPerBag = netKg / bags;
    if (kgPerBag > BAG_FACTOR * bagKg || kgPerBag < bagKg / BAG_FACTOR)
      asked.push({ kind: 'odd-bags', kgPerBag, bagKg });
  }
  return asked;
}

/** Names exactly what was asked, so that a "yes" counts for this value and for no other. */
export const questionKey = (asked: readonly Question[]): string =>
  asked.map((q) => `${q.kind}:${(q.kind === 'odd-bags' ? q.kgPerBag : q.kg).toFixed(3)}`).join(' ');
