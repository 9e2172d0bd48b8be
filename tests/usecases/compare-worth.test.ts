/** What simulated years say: by hand, and in words. */
import { describe, expect, test } from 'vitest';
import type { PolicyName } from '../../src/core/simulation/policies.ts';
import type { YearResult } from '../../src/core/simulation/year-result.ts';
import { compareWorth } from '../../src/usecases/compare-worth.ts';
import { plainSpaces } from '../../src/web/shared/format.ts';
import { differenceWords, notBetter, roughMicros, worthVerdict } from '../../src/web/shared/worth-words.ts';
import { someWanted } from '../fixtures/worth-view.ts';

const NOTHING = { driving: 0, time: 0, unloading: 0, overflow: 0, 'buying-in': 0, 'full-store': 0 };
/** 73 scored days are a fifth of a year; the fixture's world is half of the workshop: ten times what is said here. */
const year = (
  policy: PolicyName,
  seed: number,
  money: Partial<YearResult['money']>,
  over = {},
): YearResult => {
  const parts = { ...NOTHING, ...money };
  return {
    seed,
    policy,
    scoredDays: 73,
    collectedKg: 2000,
    cameKg: 2500,
    distanceM: 500_000,
    workS: 36_000,
    rounds: 1,
    stops: 1,
    unloadings: 1,
    missedStops: 0,
    overflowEvents: 1,
    overflowDays: 4,
    lostKg: 100,
    neededKg: 1000,
    unavoidableKg: 0,
    boughtInKg: 30,
    shortDays: 1,
    planChanges: 0,
    plannedVisits: 0,
    money: parts,
    costMicros: Object.values(parts).reduce((sum, micros) => sum + micros, 0),
    calls: 0,
    waitingMoreKg: 0,
    ...over,
  };
};
const compare = (years: readonly YearResult[]) => compareWorth({ years, wanted: someWanted() });
const euros = (amount: number) => amount * 1e6;

describe('figures', () => {
  const { policies } = compare([
    year('planner', 1, { driving: euros(100), overflow: euros(20), 'buying-in': euros(5) }),
    year('planner', 2, { driving: euros(120), overflow: euros(40), 'buying-in': euros(5) }),
    year('call', 1, { driving: euros(300) }),
  ]);
  const planner = policies[0]!;

  test('are of the whole workshop and a year', () => {
    // (125 + 165) / 2 = 145, times 365 / 73 = 5 and 32 / 16 = 2.
    expect(planner.figures.moneyMicros.mean).toBe(euros(1450));
    // Without overflow: (105 + 125) / 2.
    expect(planner.figures.cashMicros.mean).toBe(euros(1150));
    expect(planner.figures.overflowDays.mean).toBe(40);
    expect(planner.figures.boughtInKg.mean).toBe(300);
    // Half a thousand km over two tonnes, ten hours over two tonnes, 100 of 2,500 kg: no scale.
    expect(planner.figures.kmPerTonne.mean).toBe(250);
    expect(planner.figures.hoursPerTonne.mean).toBe(5);
    expect(planner.figures.lostShare.mean).toBe(0.04);
  });

  test('money by part adds up to the whole', () => {
    for (const { money, figures } of policies)
      expect(Object.values(money).reduce((sum, micros) => sum + micros, 0)).toBeCloseTo(
        figures.moneyMicros.mean,
        3,
      );
  });

  test('a policy that was not driven is left out', () => {
    expect(policies.map(({ policy }) => policy)).toEqual(['planner', 'call']);
  });
});

test('a rule is set against the planner in the worlds that both drove, with Student’s interval', () => {
  const { rules, worlds } = compare([
    year('planner', 1, { driving: euros(100) }),
    year('planner', 2, { driving: euros(200) }),
    year('fixed', 1, { driving: euros(110) }),
    year('fixed', 2, { driving: euros(230) }),
    year('fixed', 3, { driving: euros(999) }),
  ]);
  expect(worlds).toBe(2);
  const { moneyMicros } = rules[0]!.difference;
  // 10 and 30, mean 20, times 10. s = 14.14, s / sqrt 2 = 10, t = 12.706 (NIST/SEMATECH 1.3.6.7.2): 127.06 each way.
  expect(moneyMicros.mean).toBe(euros(200));
  expect(moneyMicros.low! / euros(10)).toBeCloseTo(20 - 127.06, 1);
  expect(moneyMicros.standing).toBe('open');
});

const three = (policy: PolicyName, driving: number, over = {}) =>
  [1, 2, 3].map((seed) => year(policy, seed, { driving: euros(driving + seed) }, over));

describe('the verdict', () => {
  const say = (years: readonly YearResult[]) => plainSpaces(worthVerdict(compare(years), 'EUR'));

  test('names the rule that costs least, and says what is saved against it', () => {
    expect(say([...three('planner', 100), ...three('fixed', 400), ...three('call', 250)])).toBe(
      'Against “fetch whoever called”, the best rule of thumb at your size, Feedround saves about €1,500 a year (€1,500 to €1,500).',
    );
  });
  test('says so where it does not pay', () => {
    expect(say([...three('planner', 300), ...three('call', 250)])).toBe(
      'At your size Feedround does not pay: “fetch whoever called” costs about €500 a year less (€500 to €500).',
    );
  });
  test('one world decides nothing', () => {
    expect(say([year('planner', 1, { driving: euros(1) }), year('call', 1, { driving: euros(9) })])).toBe(
      'Against “fetch whoever called”, the best rule of thumb at your size, Feedround saves about €80 a year, but one drawn year cannot tell whether that is chance.',
    );
  });
});

test('what is not better is said, the sure things first, and shares in points', () => {
  const comparison = compare([
    ...three('planner', 100, { overflowDays: 6, lostKg: 150 }),
    ...three('call', 250, { distanceM: 500_000 }),
  ]);
  const texts = notBetter(comparison, 'EUR').map(({ standing, text }) => [standing, plainSpaces(text)]);
  expect(texts.slice(0, 2)).toEqual([
    ['more', 'Overflow: 20 days more (20 to 20 days) than “fetch whoever called”'],
    ['more', 'Film lost: 2.0 points of 100 more (2.0 to 2.0 points of 100) than “fetch whoever called”'],
  ]);
  // Equal kilometres are no fault.
  expect(texts).toHaveLength(2);
  expect(plainSpaces(differenceWords('moneyMicros', comparison.rules[0]!, 'EUR'))).toContain('€1,500 less');
});

test('money of a simulated year has three figures', () => {
  expect([9_717, 17_070, 999, 31_955, -1_234].map((amount) => roughMicros(euros(amount)) / 1e6)).toEqual([
    9720, 17_100, 999, 32_000, -1230,
  ]);
});
