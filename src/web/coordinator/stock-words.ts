/** When a grade counts as running short, and how cover is said. */
import { kg, number, percent } from '../shared/format.ts';
import { LONG_COVER } from './build-week-sheet.ts';
import type { StockColumn } from './week-sheet-view.ts';

/** From this chance on, or this mass, a shortage is marked, on days when production runs. */
const SHORT_RISK = 0.1;
const SHORT_KG = 1;

export const isShort = (day: Pick<StockColumn, 'drawKg' | 'shortageRisk' | 'shortKg'>): boolean =>
  day.drawKg > 0 && (day.shortageRisk >= SHORT_RISK || day.shortKg >= SHORT_KG);

export const shortWords = (day: StockColumn): string =>
  `Short: ${percent(day.shortageRisk)} chance, about ${kg(day.shortKg)} to buy in`;

export const cover = (days: number): string =>
  days >= LONG_COVER ? `${LONG_COVER} days or more` : days === 1 ? '1 day' : `${number(days)} days`;
