/** Money by part, added up. */
import { MONEY_PARTS, type Money, type MoneyPart } from '../plan.ts';

export const sumOf = (money: Money): number => MONEY_PARTS.reduce((sum, part) => sum + money[part], 0);
export const nothing = (): MoneySums => Object.fromEntries(MONEY_PARTS.map((part) => [part, 0])) as MoneySums;

export type MoneySums = Record<MoneyPart, number>;
