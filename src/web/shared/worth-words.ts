/** What simulated years say, in words: for the page and for the command line. */

import type { PolicyName } from '../../core/simulation/policies.ts';
import type { Estimate } from '../../core/simulation/report.ts';
import type { YearPart } from '../../core/simulation/year-result.ts';
import type { RuleComparison, Standing, WorthComparison, WorthFigure } from '../../usecases/compare-worth.ts';
import * as f from './format.ts';

export const POLICY_WORDS: {
  readonly [name in PolicyName]: { readonly name: string; readonly does: string };
} = {
  planner: { name: 'Feedround', does: 'Learns from every weigh-in and plans anew each morning.' },
  fixed: {
    name: 'Same round every week',
    does: 'Each site on its weekday, weekly or every second week, thought over once a quarter.',
  },
  call: { name: 'Fetch whoever called', does: 'On the next day, the longest waiting first.' },
  fullest: { name: 'Fullest first', does: 'Whatever seems well over half full, the fullest first.' },
  nearest: { name: 'Nearest first', does: 'Of those well over half full always the nearest.' },
};

export const FIGURE_WORDS: {
  readonly [figure in WorthFigure]: { readonly name: string; readonly means: string };
} = {
  moneyMicros: { name: 'Everything counted', means: 'a year, by your own prices, goodwill included' },
  cashMicros: { name: 'Out of the till', means: 'a year: driving, hours, unloading, buying in' },
  kmPerTonne: { name: 'Driving', means: 'km for each tonne collected' },
  hoursPerTonne: { name: 'Driver’s time', means: 'hours for each tonne collected' },
  overflowDays: { name: 'Overflow', means: 'days a year on which a site lost film' },
  lostShare: { name: 'Film lost', means: 'of all that came' },
  boughtInKg: { name: 'Bought in', means: 'kg a year because production ran short' },
};

export const PART_WORDS: { readonly [part in YearPart]: string } = {
  driving: 'Driving',
  time: 'Drivers’ time',
  unloading: 'Unloading',
  overflow: 'Overflow',
  'buying-in': 'Buying in',
  'full-store': 'Full store',
};

const UNIT: { readonly [figure in WorthFigure]: string } = {
  moneyMicros: '',
  cashMicros: '',
  kmPerTonne: 'km/t',
  hoursPerTonne: 'h/t',
  overflowDays: 'days',
  lostShare: '%',
  boughtInKg: 'kg',
};

const bare = (figure: WorthFigure, value: number): string =>
  figure === 'lostShare'
    ? f.number(100 * value, 1)
    : figure === 'hoursPerTonne'
      ? f.number(value, 1)
      : f.number(value);

/** Three figures of it: nobody knows a simulated year to the unit. */
export function roughMicros(micros: number): number {
  const units = Math.abs(micros) / 1e6;
  const step = units < 1000 ? 1 : 10 ** (Math.floor(Math.log10(units)) - 2);
  return Math.sign(micros) * Math.round(units / step) * step * 1e6;
}

const isMoney = (figure: WorthFigure): boolean => figure === 'moneyMicros' || figure === 'cashMicros';

/** "€12,300", "252 km/t", "3.7 %". */
export const figureAmount = (figure: WorthFigure, value: number, currency: string): string =>
  isMoney(figure)
    ? f.money(roughMicros(value), currency).replace(/\.00$/, '')
    : `${bare(figure, value)}${f.NBSP}${UNIT[figure]}`;

/** "€1,200 to €2,600"; empty for one world, which says nothing of others. */
export const intervalOf = (figure: WorthFigure, { low, high }: Estimate, currency: string): string =>
  low === undefined || high === undefined
    ? ''
    : isMoney(figure)
      ? `${figureAmount(figure, low, currency)} to ${figureAmount(figure, high, currency)}`
      : `${bare(figure, low)} to ${figureAmount(figure, high, currency)}`;

const lower = (name: string): string => name.charAt(0).toLowerCase() + name.slice(1);
const inBrackets = (text: string): string => (text === '' ? '' : ` (${text})`);
const worldsWords = (worlds: number): string =>
  worlds === 1 ? 'one drawn year' : `${f.number(worlds)} drawn years`;

/** The one sentence on top. */
export function worthVerdict({ rules, worlds }: WorthComparison, currency: string): string {
  const best = rules[0];
  if (!best) return 'No rule of thumb was simulated, so there is nothing to set the planner against.';
  const { mean, standing } = best.difference.moneyMicros;
  const name = `“${lower(POLICY_WORDS[best.rule].name)}”`;
  const amount = figureAmount('moneyMicros', Math.abs(mean), currency);
  const of = mean >= 0 ? best.difference.moneyMicros : turned(best.difference.moneyMicros);
  const between = inBrackets(intervalOf('moneyMicros', of, currency));
  if (standing === 'less')
    return `Against ${name}, the best rule of thumb at your size, Feedround saves about ${amount} a year${between}.`;
  if (standing === 'more')
    return `At your size Feedround does not pay: ${name} costs about ${amount} a year less${between}.`;
  const way = mean >= 0 ? `saves about ${amount} a year` : `costs about ${amount} a year more`;
  return `Against ${name}, the best rule of thumb at your size, Feedround ${way}, but ${worldsWords(worlds)} cannot tell whether that is chance${between}.`;
}

const turned = ({ mean, low, high }: Estimate): Estimate =>
  low === undefined || high === undefined ? { mean: -mean } : { mean: -mean, low: -high, high: -low };

/** "needs 63 km/t less (40 to 86 km/t)". */
export function differenceWords(
  figure: WorthFigure,
  { difference }: RuleComparison,
  currency: string,
): string {
  const estimated = difference[figure];
  const isLess = estimated.mean >= 0;
  const of = isLess ? estimated : turned(estimated);
  const words = `${figureAmount(figure, of.mean, currency)} ${isLess ? 'less' : 'more'}${inBrackets(intervalOf(figure, of, currency))}`;
  // What two shares of a hundred differ by are points, not per cent of either.
  return figure === 'lostShare' ? words.replaceAll('%', 'points of 100') : words;
}

export type WorthPoint = { readonly figure: WorthFigure; readonly rule: PolicyName; readonly text: string };

/** Every figure in which the tool is not surely better than a rule, the sure ones first. */
export function notBetter(
  { rules }: WorthComparison,
  currency: string,
): (WorthPoint & { readonly standing: Standing })[] {
  const points = rules.flatMap((comparison) =>
    (Object.keys(FIGURE_WORDS) as WorthFigure[]).flatMap((figure) => {
      const { standing, mean } = comparison.difference[figure];
      // Nothing on either side is no fault.
      if (standing === 'less' || (standing === 'open' && mean === 0)) return [];
      const { name } = FIGURE_WORDS[figure];
      const text = `${name}: ${differenceWords(figure, comparison, currency)} than “${lower(POLICY_WORDS[comparison.rule].name)}”`;
      return [{ figure, rule: comparison.rule, standing, text }];
    }),
  );
  return points.sort((a, b) => Number(b.standing === 'more') - Number(a.standing === 'more'));
}
