/**
 * Sums of money by part. Every amount is rounded to a whole micro once, where it arises (a round's distance, a
 * site's interval, a day's shortage), and only added from there on: whole numbers below 2^53 add exactly, so a
 * difference found by a move equals the difference of the two totals, in any order.
 */
import type { Micros } from '../quantity/units.ts';
import { MONEY_PARTS, type Money, type MoneyPart } from './plan.ts';

export type MoneySum = { -readonly [part in MoneyPart]: Micros };

export function noMoney(): MoneySum {
  const sum = {} as MoneySum;
  for (const part of MONEY_PARTS) sum[part] = 0;
  return sum;
}

/** `sum` += `times` × `money`; `times` is a whole number. */
export function addMoney(sum: MoneySum, money: Money, times = 1): MoneySum {
  for (const part of MONEY_PARTS) sum[part] += times * money[part];
  return sum;
}

/** What `after` costs more than `before`, by part. */
export function moneyDifference(after: Money, before: Money): MoneySum {
  const difference = noMoney();
  // `|| 0` turns -0 into 0, which JSON would otherwise hide and `toEqual` would not.
  for (const part of MONEY_PARTS) difference[part] = after[part] - before[part] || 0;
  return difference;
}

export function totalMicros(money: Money): Micros {
  let total = 0;
  for (const part of MONEY_PARTS) total += money[part];
  return total;
}

/** The parts that a round itself costs; the others belong to sites, stock and promises. */
export const ROUND_PARTS = [
  'distance',
  'time',
  'overtime',
  'unloading',
] as const satisfies readonly MoneyPart[];
