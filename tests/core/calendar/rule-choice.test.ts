/** Choices against the plain words that the `rrule` package gives the same rule; and there and back, nothing is lost. */
import fc from 'fast-check';
import * as rrulePackage from 'rrule';
import { expect, test } from 'vitest';
import { choiceOf, type RuleChoice, rruleOf } from '../../../src/core/calendar/rule-choice.ts';

const { RRule } = (rrulePackage as unknown as { default?: typeof rrulePackage }).default ?? rrulePackage;

test.each<[RuleChoice, string]>([
  [{ how: 'weeks', everyWeeks: 1, weekdays: [2] }, 'every week on Tuesday'],
  [{ how: 'weeks', everyWeeks: 2, weekdays: [1, 4] }, 'every 2 weeks on Monday, Thursday'],
  [{ how: 'month-weekday', everyMonths: 1, nth: 1, weekday: 3 }, 'every month on the 1st Wednesday'],
  [{ how: 'month-weekday', everyMonths: 3, nth: -1, weekday: 5 }, 'every 3 months on the last Friday'],
  [{ how: 'month-day', everyMonths: 1, monthDay: 15 }, 'every month on the 15th'],
])('%o is what another program calls "%s"', (choice, words) => {
  expect(RRule.fromString(rruleOf(choice)).toText()).toBe(words);
});

const interval = fc.integer({ min: 1, max: 12 });
const weekday = fc.integer({ min: 1, max: 7 });
const choice: fc.Arbitrary<RuleChoice> = fc.oneof(
  fc.constant<RuleChoice>({ how: 'none' }),
  fc.record({
    how: fc.constant('weeks' as const),
    everyWeeks: interval,
    weekdays: fc.uniqueArray(weekday).map((days) => days.sort((a, b) => a - b)),
  }),
  fc.record({
    how: fc.constant('month-weekday' as const),
    everyMonths: interval,
    nth: fc.constantFrom(1, 2, 3, 4, 5, -1),
    weekday,
  }),
  fc.record({
    how: fc.constant('month-day' as const),
    everyMonths: interval,
    monthDay: fc.constantFrom(1, 15, 31, -1),
  }),
);

test('a choice comes back from its rule as it was', () => {
  fc.assert(
    fc.property(choice, (one) => {
      expect(choiceOf(rruleOf(one))).toEqual(one);
    }),
  );
});

test.each([
  'FREQ=WEEKLY;BYDAY=TU;UNTIL=20261231',
  'FREQ=WEEKLY;BYDAY=TU;COUNT=5',
  'FREQ=WEEKLY;BYDAY=MO;BYMONTH=6,7',
  'FREQ=WEEKLY;INTERVAL=2;BYDAY=TU;WKST=SU',
  'FREQ=MONTHLY;BYDAY=1MO,3MO',
  'FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1',
  'FREQ=DAILY',
  'FREQ=YEARLY;BYMONTH=1;BYMONTHDAY=6',
  'nonsense',
])('%s is more than a choice can say, and stays a text', (rrule) => {
  expect(choiceOf(rrule)).toEqual({ how: 'text', rrule });
});

test('the order of parts and days does not matter', () => {
  expect(choiceOf('BYDAY=FR,MO;FREQ=WEEKLY')).toEqual({ how: 'weeks', everyWeeks: 1, weekdays: [1, 5] });
});
