/** Days as people write them; the weekday of 15 June 2026 (a Monday) by ISO 8601's own week date 2026-W25-1. */
import { expect, test } from 'vitest';
import { readDay } from '../../../src/core/calendar/read-day.ts';

const TODAY = '2026-06-15';
test.each([
  ['2026-12-24', '2026-12-24'],
  ['today', '2026-06-15'],
  ['Tomorrow', '2026-06-16'],
  ['yesterday', '2026-06-14'],
  ['Monday', '2026-06-15'],
  ['tue', '2026-06-16'],
  ['Sunday', '2026-06-21'],
  ['16 June', '2026-06-16'],
  ['Tue 16 Jun', '2026-06-16'],
  ['3rd July 2027', '2027-07-03'],
  ['16.6.', '2026-06-16'],
  ['24/12', '2026-12-24'],
  ['1 may', '2026-05-01'],
  ['2 January', '2026-01-02'],
  ['16.6.2025', '2025-06-16'],
])('%s is %s', (text, day) => {
  expect(readDay(text, TODAY)).toBe(day);
});

test.each(['', 'market', '31 June', '99', '2026-02-30', 'monsoon', '5 bags', '13/13'])(
  '"%s" is no day',
  (text) => {
    expect(readDay(text, TODAY)).toBeUndefined();
  },
);

test('in November, January is next year’s and May is this year’s no more', () => {
  expect(readDay('2 January', '2026-11-25')).toBe('2027-01-02');
  expect(readDay('1 May', '2026-11-25')).toBe('2027-05-01');
  expect(readDay('1 June', '2026-11-25')).toBe('2026-06-01');
});
