/**
 * What a run of simulated years says: figures of every policy for the whole workshop and a year, and how the planner
 * stands against each rule of thumb, world by world (the same year for both), with Student's 95 % interval.
 */

import { POLICY_NAMES, type PolicyName } from '../core/simulation/policies.ts';
import { type Estimate, estimate } from '../core/simulation/report.ts';
import { YEAR_PARTS, type YearPart, type YearResult } from '../core/simulation/year-result.ts';
import type { WorthRun } from '../store/worth-runs.ts';

/** Of all of them less is better. Money in millionths of the currency; days, kg and money a year. */
export const WORTH_FIGURES = [
  'moneyMicros', // all parts, by the workshop's own prices
  'cashMicros', // what leaves the till: driving, hours, unloading, buying in
  'kmPerTonne',
  'hoursPerTonne',
  'overflowDays',
  'lostShare',
  'boughtInKg',
] as const;
export type WorthFigure = (typeof WORTH_FIGURES)[number];
type PerFigure<T> = { readonly [figure in WorthFigure]: T };

export type PolicyWorth = {
  readonly policy: PolicyName;
  readonly figures: PerFigure<Estimate>;
  /** Mean a year, by part; they add up to the mean of `moneyMicros`. */
  readonly money: { readonly [part in YearPart]: number };
};

/** `less`: the planner needs surely less of it; `more`: surely more; `open`: these worlds do not tell. */
export type Standing = 'less' | 'more' | 'open';
export type RuleComparison = {
  readonly rule: PolicyName;
  /** The rule's figure less the planner's: positive where the planner needs less. */
  readonly difference: PerFigure<Estimate & { readonly standing: Standing }>;
};

export type WorthComparison = {
  readonly worlds: number;
  readonly policies: readonly PolicyWorth[];
  /** The rule that costs least on top. */
  readonly rules: readonly RuleComparison[];
};

const CASH: readonly YearPart[] = ['driving', 'time', 'unloading', 'buying-in'];
const DAYS_A_YEAR = 365;

const each = <T>(make: (figure: WorthFigure) => T): PerFigure<T> =>
  Object.fromEntries(WORTH_FIGURES.map((figure) => [figure, make(figure)])) as PerFigure<T>;

export function compareWorth({ years, wanted }: Pick<WorthRun, 'years' | 'wanted'>): WorthComparison {
  /** From one van's part of the town and the scored days to the whole workshop and a year. */
  const times = (year: YearResult): number =>
    (DAYS_A_YEAR / year.scoredDays) * (wanted.size.sites / wanted.world.donors);
  const figuresOf = (year: YearResult): PerFigure<number> => {
    const tonnes = year.collectedKg / 1000;
    const perTonne = (amount: number): number => (tonnes > 0 ? amount / tonnes : 0);
    return {
      moneyMicros: times(year) * year.costMicros,
      cashMicros: times(year) * CASH.reduce((sum, part) => sum + year.money[part], 0),
      kmPerTonne: perTonne(year.distanceM / 1000),
      hoursPerTonne: perTonne(year.workS / 3600),
      overflowDays: times(year) * year.overflowDays,
      lostShare: year.cameKg > 0 ? year.lostKg / year.cameKg : 0,
      boughtInKg: times(year) * year.boughtInKg,
    };
  };
  const yearsOf = (policy: PolicyName): readonly YearResult[] =>
    years.filter((year) => year.policy === policy);
  const policies = POLICY_NAMES.filter((policy) => yearsOf(policy).length > 0).map((policy): PolicyWorth => {
    const own = yearsOf(policy);
    const all = own.map(figuresOf);
    const mean = (part: YearPart): number =>
      own.reduce((sum, year) => sum + times(year) * year.money[part], 0) / own.length;
    return {
      policy,
      figures: each((figure) => estimate(all.map((figures) => figures[figure]))),
      money: Object.fromEntries(YEAR_PARTS.map((part) => [part, mean(part)])) as PolicyWorth['money'],
    };
  });
  const planner = yearsOf('planner');
  const rules = policies
    .filter(({ policy }) => policy !== 'planner')
    .map(({ policy: rule }): RuleComparison => {
      const pairs = yearsOf(rule).flatMap((theirs) => {
        const ours = planner.find((year) => year.seed === theirs.seed);
        return ours ? [[figuresOf(theirs), figuresOf(ours)] as const] : [];
      });
      return {
        rule,
        difference: each((figure) => {
          const of = estimate(pairs.map(([theirs, ours]) => theirs[figure] - ours[figure]));
          return { ...of, standing: standingOf(of) };
        }),
      };
    });
  const cost = (name: PolicyName): number =>
    policies.find(({ policy }) => policy === name)!.figures.moneyMicros.mean;
  return {
    worlds: planner.length,
    policies,
    rules: rules.sort((a, b) => cost(a.rule) - cost(b.rule)),
  };
}

/** One world says nothing of others, whichever way it points. */
function standingOf({ low, high }: Estimate): Standing {
  if (low === undefined || high === undefined) return 'open';
  if (low > 0) return 'less';
  return high < 0 ? 'more' : 'open';
}
