import { expect, test } from 'vitest';
import { breakBreaches, shiftSpan } from '../../../src/core/calendar/shift.ts';

const HOUR = 3600;
const DAY = { fromAt: 0, untilAt: 9 * HOUR };
/** 45 minutes after four and a half hours: Regulation (EC) 561/2006 Art. 7. */
const RULE = { maxWorkS: 4.5 * HOUR, breakS: 45 * 60 };
const rest = (fromHour: number, minutes: number) => ({
  fromAt: fromHour * HOUR,
  untilAt: fromHour * HOUR + minutes * 60,
});

test('a shift is read on the clock of its day', () => {
  const span = shiftSpan('Europe/Vienna', { day: '2026-06-15', startsMinute: 420, endsMinute: 900 });
  expect(new Date(span.fromAt * 1000).toISOString()).toBe('2026-06-15T05:00:00.000Z');
  expect(span.untilAt - span.fromAt).toBe(8 * HOUR);
});

test('a night shift over the change of summer time lasts an hour less in spring, more in autumn', () => {
  const hours = (day: string) => {
    const span = shiftSpan('Europe/Vienna', { day, startsMinute: 60, endsMinute: 360 });
    return (span.untilAt - span.fromAt) / HOUR;
  };
  expect([hours('2026-03-29'), hours('2026-10-25')]).toEqual([4, 6]);
});

test('a break in the middle of nine hours is enough, and so is none in four and a half', () => {
  expect(breakBreaches(RULE, DAY, [rest(4.5, 45)])).toEqual([]);
  expect(breakBreaches(RULE, { fromAt: 0, untilAt: 4.5 * HOUR }, [])).toEqual([]);
});

test('no break, a late one and a short one are breaches, with when it was due', () => {
  expect(breakBreaches(RULE, DAY, [])).toEqual([{ fromAt: 0, dueAt: 4.5 * HOUR, workS: 9 * HOUR }]);
  expect(breakBreaches(RULE, DAY, [rest(5, 45)])).toEqual([
    { fromAt: 0, dueAt: 4.5 * HOUR, workS: 5 * HOUR },
  ]);
  expect(breakBreaches(RULE, DAY, [rest(4, 44)])).toHaveLength(1);
});

test('a break that is too early leaves too much work behind it', () => {
  const [breach, ...more] = breakBreaches(RULE, DAY, [rest(1, 45)]);
  expect(more).toEqual([]);
  expect(breach).toEqual({ fromAt: 1.75 * HOUR, dueAt: 6.25 * HOUR, workS: 7.25 * HOUR });
});

test('breaks in any order, overlapping, or outside the shift are taken for what they are', () => {
  expect(breakBreaches(RULE, DAY, [rest(8, 60), rest(4, 60), rest(4.25, 60)])).toEqual([]);
  expect(breakBreaches(RULE, DAY, [rest(-2, 60), rest(10, 60)])).toHaveLength(1);
  // The shorter break lies inside the longer one, which ends at five.
  expect(breakBreaches(RULE, { fromAt: 0, untilAt: 9.25 * HOUR }, [rest(3, 120), rest(3.5, 45)])).toEqual([]);
});
