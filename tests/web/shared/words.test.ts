import { expect, test } from 'vitest';
import { MONEY_PARTS, type Money, type StopReason } from '../../../src/core/planning/plan.ts';
import { GRADES } from '../../../src/core/vocabulary.ts';
import { plainSpaces } from '../../../src/web/shared/format.ts';
import * as words from '../../../src/web/shared/words.ts';

const LOCALE = { zone: 'UTC', currency: 'EUR' };
const money = (parts: Partial<Money>): Money =>
  Object.fromEntries(MONEY_PARTS.map((part) => [part, parts[part] ?? 0])) as Money;
const reason = (over: Partial<StopReason>): StopReason => ({
  code: 'overflow',
  overflowRisk: 0.38,
  riskUntilDay: '2026-03-05',
  extraM: 3100,
  extraS: 1080,
  withoutIt: money({ overflow: 12_710_000, time: -6_110_000, distance: -1_390_000 }),
  worthMicros: 5_210_000,
  ...over,
});
/** 2026-03-02T09:00:00Z. */
const NINE = 1_772_442_000;

test('a reason says its number', () => {
  const say = (over: Partial<StopReason>) => plainSpaces(words.stopReason(reason(over), LOCALE));
  expect(say({})).toBe('38 % chance of overflow by Thu 5 Mar without it');
  expect(say({ code: 'promised', windowFromAt: NINE, windowUntilAt: NINE + 10_800 })).toBe(
    'Promised by rule, 09:00–12:00',
  );
  expect(say({ code: 'feeds-production', grade: 'ldpe-black', shortDay: '2026-03-04' })).toBe(
    'Keeps LDPE black from running short on Wed 4 Mar',
  );
  expect(say({ code: 'on-the-way' })).toBe('On the way: 18 min extra');
});

test('what dropping a stop would do is told in the plan’s own money, largest part first', () => {
  expect(plainSpaces(words.stopConsequence(reason({}), LOCALE))).toBe(
    'It takes 3.1 km and 18 min. Dropping it would cost €5.21 more (overflow +€12.71, drivers’ time −€6.11, driving −€1.39).',
  );
  expect(plainSpaces(words.stopConsequence(reason({ worthMicros: -2_000_000 }), LOCALE))).toContain(
    'Dropping it would save €2.00',
  );
});

test('a site left out says why, how full it gets and what it would cost', () => {
  const out = {
    siteId: 's',
    code: 'far',
    overflowRisk: 0.03,
    expectedKgAtEnd: 34.2,
    bestDay: '2026-03-05',
    addsMicros: 6_150_000,
  } as const;
  expect(plainSpaces(words.leftOut(out, LOCALE))).toBe(
    'Further away than what waits there is worth. About 34 kg at the end, chance of overflow 3 %. Cheapest on Thu 5 Mar: it would add €6.15.',
  );
});

test('a promise that cannot be kept says which, why and what would mend it', () => {
  const told = words.unkeptPromise(
    {
      siteId: 's',
      kind: 'booking',
      windowFromAt: NINE,
      windowUntilAt: NINE + 7200,
      why: 'too-bulky',
      mend: 'bigger-van',
    },
    LOCALE,
  );
  expect(told.what).toBe(
    'An extra collection on Mon 2 Mar, 09:00–11:00 cannot be kept: what waits there is more than any load space holds.',
  );
  expect(told.mend).toBe('Put a bigger van on that day.');
});

test('an estimate says what it rests on', () => {
  const basis = {
    weighIns: 12,
    lastWeighInAt: NINE - 9 * 86_400,
    declaredBagsPerWeek: 40,
    declaredKgPerWeek: 72,
    doubted: [],
  };
  expect(plainSpaces(words.fillBasis({ basis, kgPerWeek: 52.2, bagKg: 1.8, nowAt: NINE }))).toBe(
    '12 weigh-ins, the last 9 days ago. Declared 40 bags a week; comes to about 29 (52 kg).',
  );
  const { lastWeighInAt: _, ...never } = { ...basis, weighIns: 0 };
  expect(words.fillBasis({ basis: never, kgPerWeek: 72, bagKg: 1.8, nowAt: NINE })).toContain(
    'No weigh-in yet.',
  );
});

test('every grade of the vocabulary has a name of its own', () => {
  const names = GRADES.map(words.gradeName);
  expect(new Set(names).size).toBe(GRADES.length);
  expect(words.gradeName('mixed-film-warm')).toBe('mixed film warm colours');
});

test('a container that has probably reached its brim is not said to hold more', () => {
  const fill = { lowKg: 11, highKg: 57, capacityKg: 22, overflowRisk: 0.98, untilDay: '2026-06-22' };
  expect(plainSpaces(words.fillNow({ ...fill, medianKg: 26 }))).toBe(
    'Probably full: about 22 kg waiting (11–22 kg); up to 35 kg more may stand beside it. Chance of overflow by Mon 22 Jun: 98 %.',
  );
  expect(plainSpaces(words.fillNow({ ...fill, medianKg: 11, highKg: 20 }))).toBe(
    'About 11 kg waiting (11–20 kg), 50 % of the brim. Chance of overflow by Mon 22 Jun: 98 %.',
  );
  expect(plainSpaces(words.fillNow({ ...fill, medianKg: 11 }))).toContain('50 % of the brim');
});

test.each([
  [0.33, 'rate about a third of what it was since 14 March 2026'],
  [0.48, 'rate about halved since 14 March 2026'],
  [0.7, 'rate down by about 30 % since 14 March 2026'],
  [1.01, 'rate about the same since 14 March 2026'],
  [1.62, 'rate up by about 60 % since 14 March 2026'],
  [2.1, 'rate about doubled since 14 March 2026'],
  [4.2, 'rate about 4 times what it was since 14 March 2026'],
] as const)('a level that moved by %s', (factor, said) => {
  const at = Date.parse('2026-03-14T09:00:00Z') / 1000;
  expect(plainSpaces(words.levelChangeWords({ at, factor }, 'UTC'))).toBe(said);
});

test('when it is full is said as far as it can be known', () => {
  const said = (days: object) => plainSpaces(words.fullWords(days, NINE, 'UTC'));
  expect(said({})).toBe('Not full within four months, if nobody calls.');
  expect(said({ p10: 0, p50: 0, p90: 3 })).toBe('It is more likely full than not.');
  expect(said({ p10: 1, p50: 3, p90: 6 })).toMatch(
    /^If nobody calls, it may be full from \w+ \d+ \w+ on, most likely about .+, almost surely by .+\.$/,
  );
});

test('opening hours of the import file are said as people write them', () => {
  expect(words.hoursWords('mo-fr 08:00-12:30,14:00-18:00; sa 08:00-12:00')).toBe(
    'Mon–Fri 08:00–12:30, 14:00–18:00; Sat 08:00–12:00',
  );
});

test('the short reason of a narrow column says the same number', () => {
  const say = (over: Partial<StopReason>) => plainSpaces(words.stopReasonShort(reason(over), LOCALE));
  expect(say({})).toBe('38 % overflow by Thu');
  expect(say({ code: 'booked', windowFromAt: NINE, windowUntilAt: NINE + 7200 })).toBe('booked, 09:00–11:00');
  expect(say({ code: 'fill' })).toBe('worth 3.1 km more');
});
