/** What production could shift, and what would be bought in, in sentences: for the page and for the command line. */
import type { ProductionAdvice, ProductionOutlook, ProductMove } from '../../usecases/production-outlook.ts';
import * as f from './format.ts';
import { gradeName } from './words.ts';

/** Kept in one piece at the end of a line. */
const range = (lowKg: number, highKg: number): string =>
  f.kgRange(lowKg, highKg).replace('\u2013', '\u2060\u2013\u2060');

const units = (count: number): string => (count === 1 ? '1 unit' : `${f.number(count)} units`);

const from = (move: ProductMove): string =>
  `${move.product} on ${f.dayShort(move.fromDay)} (${units(move.units)})`;

/** "Press Planter tray on Thu 18 Jun instead of Tue 16 Jun (42 units)". */
export function adviceWhat({ moves }: ProductionAdvice): string {
  const [first, second] = moves;
  if (!first) return '';
  if (second) return `Exchange ${from(first)} with ${from(second)}`;
  return first.isWhole
    ? `Press ${first.product} on ${f.dayShort(first.toDay)} instead of ${f.dayShort(first.fromDay)} (${units(first.units)})`
    : `Press ${units(first.units)} of ${first.product} on ${f.dayShort(first.toDay)} instead of ${f.dayShort(first.fromDay)}`;
}

/** "avoids buying about 12 kg (3–25 kg), mostly LDPE black, and saves €9.00". */
export function adviceWhy(
  { avoidsKg, lowKg, highKg, savesMicros, grade }: ProductionAdvice,
  currency: string,
): string {
  const saves = `saves ${f.money(savesMicros, currency)}`;
  if (grade === undefined) return `keeps the store from overfilling and ${saves}`;
  return `avoids buying about ${f.kg(avoidsKg)} (${range(lowKg, highKg)}), mostly ${gradeName(grade)}, and ${saves}`;
}

export const adviceSentence = (advice: ProductionAdvice, currency: string): string =>
  `${adviceWhat(advice)}: ${adviceWhy(advice, currency)}.`;

const LEAST_KG = 0.5;

/** What the plan leaves to be bought, in one sentence. */
export function buyInSentence(
  { buyKg, buyMicros, buyLowKg, buyHighKg, days }: ProductionOutlook,
  currency: string,
): string {
  const span = `within these ${f.number(days.length)} days`;
  if (buyHighKg < LEAST_KG && buyKg < LEAST_KG) return `No film will have to be bought ${span}.`;
  return `About ${f.kg(buyKg)} of film (${range(buyLowKg, buyHighKg)}) will have to be bought ${span}, for ${f.money(buyMicros, currency)}.`;
}

/** "all 7 days", "3 days", "not one day". */
export const safeFor = (safeDays: number, ofDays: number): string =>
  safeDays >= ofDays
    ? `all ${f.number(ofDays)} days`
    : safeDays === 0
      ? 'not one day'
      : safeDays === 1
        ? '1 day'
        : `${f.number(safeDays)} days`;
