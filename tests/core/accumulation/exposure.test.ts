import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { exposureBetween } from '../../../src/core/accumulation/exposure.ts';
import { dayNumberOf, localDayOf, weekdayOf } from '../../../src/core/accumulation/local-days.ts';
import type { Exposure } from '../../../src/core/accumulation/site-model.ts';

const at = (text: string, zone = 'Europe/London') =>
  Temporal.PlainDateTime.from(text).toZonedDateTime(zone).epochMilliseconds / 1000;

const every: Exposure = {
  zone: 'Europe/London',
  weekdayWeight: [1 / 7, 1 / 7, 1 / 7, 1 / 7, 1 / 7, 1 / 7, 1 / 7],
  closedDays: [],
  monthFactor: Array(12).fill(1),
};
const weekdaysOnly: Exposure = { ...every, weekdayWeight: [0.2, 0.2, 0.2, 0.2, 0.2, 0, 0] };

describe('exposure', () => {
  test('a whole week counts one, whatever the profile', () => {
    expect(exposureBetween(every, at('2026-11-02T09:00'), at('2026-11-09T09:00'))).toBeCloseTo(1, 12);
    expect(exposureBetween(weekdaysOnly, at('2026-11-04T09:00'), at('2026-11-11T09:00'))).toBeCloseTo(1, 12);
  });

  test('from Friday noon to Monday noon a weekday shop fills half a Friday and half a Monday', () => {
    const exposure = exposureBetween(weekdaysOnly, at('2026-11-06T12:00'), at('2026-11-09T12:00'));
    expect(exposure).toBeCloseTo(0.2, 12);
  });

  test('the day that loses an hour to summer time counts as one day, and its noon lies after 11 of 23 hours', () => {
    const day = exposureBetween(every, at('2026-03-29T00:00'), at('2026-03-30T00:00'));
    const morning = exposureBetween(every, at('2026-03-29T00:00'), at('2026-03-29T12:00'));
    expect(day).toBeCloseTo(1 / 7, 12);
    expect(morning).toBeCloseTo(11 / 23 / 7, 12);
  });

  test('the day that gains an hour counts as one day', () => {
    expect(exposureBetween(every, at('2026-10-25T00:00'), at('2026-10-26T00:00'))).toBeCloseTo(1 / 7, 12);
  });

  test('closed days count nothing, both ends included', () => {
    const closed = { ...every, closedDays: [{ fromDay: '2026-12-24', untilDay: '2026-12-26' }] };
    expect(exposureBetween(closed, at('2026-12-21T00:00'), at('2026-12-28T00:00'))).toBeCloseTo(4 / 7, 12);
    expect(exposureBetween(closed, at('2026-12-24T00:00'), at('2026-12-27T00:00'))).toBe(0);
  });

  test('a month factor of two doubles that month alone', () => {
    const busy = { ...every, monthFactor: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2] };
    expect(exposureBetween(busy, at('2026-11-30T00:00'), at('2026-12-02T00:00'))).toBeCloseTo(3 / 7, 12);
  });

  test('a backward or empty span counts nothing', () => {
    expect(exposureBetween(every, 1000, 1000)).toBe(0);
    expect(exposureBetween(every, 2000, 1000)).toBe(0);
  });

  test('a span that is cut anywhere adds up, asked in any order', () => {
    const instant = fc.integer({ min: at('2024-01-01T00:00'), max: at('2028-01-01T00:00') });
    const zones = fc.constantFrom(
      'Europe/London',
      'Pacific/Auckland',
      'America/St_Johns',
      'Pacific/Apia',
      'UTC',
    );
    fc.assert(
      fc.property(zones, fc.array(instant, { minLength: 3, maxLength: 8 }), (zone, instants) => {
        const exposure = { ...weekdaysOnly, zone };
        const sorted = [...instants].sort((a, b) => a - b);
        let sum = 0;
        // Newest pieces first, so that the table has to grow backward.
        for (let i = sorted.length - 1; i > 0; i--)
          sum += exposureBetween(exposure, sorted[i - 1]!, sorted[i]!);
        expect(sum).toBeCloseTo(exposureBetween(exposure, sorted[0]!, sorted.at(-1)!), 9);
      }),
      { numRuns: 60 },
    );
  });

  test('a profile without seven weekdays is refused with the count', () => {
    const short = { ...every, weekdayWeight: [1] };
    expect(() => exposureBetween(short, 0, 10)).toThrow(
      /7 weekday weights and 12 month factors, got 1 and 12/,
    );
  });
});

test('day numbers go to local days and back, with the right weekday', () => {
  expect(localDayOf(dayNumberOf('2026-11-25'))).toBe('2026-11-25');
  expect(weekdayOf(dayNumberOf('2026-11-25'))).toBe(2); // a Wednesday
  expect(weekdayOf(dayNumberOf('1969-12-29'))).toBe(0); // a Monday before the epoch
  expect(() => dayNumberOf('25.11.2026')).toThrow(/YYYY-MM-DD/);
});
