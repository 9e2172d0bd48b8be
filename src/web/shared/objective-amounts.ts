/**
 * The numbers of the objective as people read and type them: currency, minutes, per cent and days, where the store
 * keeps whole millionths, seconds and shares.
 */
import { type ObjectiveFault, SETTING_KEYS, type SettingKey } from '../../usecases/change-objective.ts';
import { NBSP } from './format.ts';
import { type Measure, REGISTER_WORDS, SETTING_WORDS } from './objective-words.ts';

const isSettingKey = (key: string): key is SettingKey => SETTING_KEYS.some((one) => one === key);

/** Of a setting or of a price in the register (`vans/…`, `drivers/…`, `grades/…`). */
export function measureOf(key: string): Measure {
  if (isSettingKey(key)) return SETTING_WORDS[key].measure;
  return REGISTER_WORDS[key.startsWith('vans/') ? 'van' : key.startsWith('drivers/') ? 'driver' : 'grade']
    .measure;
}

const TIMES: { readonly [kind in Measure['kind']]: number } = {
  money: 1e-6,
  minutes: 1 / 60,
  percent: 100,
  days: 1,
  tries: 1,
};
/** Kept as whole numbers; shares and days may have fractions. */
const WHOLE: ReadonlySet<Measure['kind']> = new Set(['money', 'minutes']);

/** The number as a person types it: "0.45", "45", "3.7". */
export function typedOf(measure: Measure, value: number): string {
  const shown = Math.round(value * TIMES[measure.kind] * 1e6) / 1e6;
  return measure.kind === 'money' && Number.isInteger(shown * 100) ? shown.toFixed(2) : String(shown);
}

export function storedOf(measure: Measure, shown: number): number {
  const value = shown / TIMES[measure.kind];
  return WHOLE.has(measure.kind) ? Math.round(value) : Math.round(value * 1e9) / 1e9;
}

export const unitOf = (measure: Measure, currency: string): string =>
  measure.kind === 'money'
    ? `${currency} ${measure.per}`
    : { minutes: 'min', percent: '%', days: 'days', tries: 'tries' }[measure.kind];

/** "EUR 10.00 each time", "3.7 %". */
export const settingAmount = (key: string, value: number, currency: string): string => {
  const measure = measureOf(key);
  return measure.kind === 'money'
    ? `${currency}${NBSP}${typedOf(measure, value)} ${measure.per}`
    : `${typedOf(measure, value)}${NBSP}${unitOf(measure, currency)}`;
};

/** What is wrong with a value, and what would be right. */
export function objectiveFault({ key, kind, bound }: ObjectiveFault, currency: string): string {
  if (kind === 'unknown') return `There is no setting ${key}.`;
  if (kind === 'not-whole') return 'Write a whole number.';
  const limit = settingAmount(key, bound ?? 0, currency);
  return kind === 'too-small' ? `At least ${limit}.` : `At most ${limit}.`;
}
