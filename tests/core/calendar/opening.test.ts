import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  formatClosures,
  formatHours,
  openWindows,
  parseClosures,
  parseHours,
  type WeeklyHours,
} from '../../../src/core/calendar/opening.ts';
import { addDays, dayStart, instantOf } from '../../../src/core/calendar/zone.ts';

const VIENNA = 'Europe/Vienna';
const hoursOf = (text: string): WeeklyHours[] => {
  const parsed = parseHours(text);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.refusal));
  return parsed.value;
};
const windowsOn = (day: string, hours: string, closures = '') => {
  const parsed = parseClosures(closures);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.refusal));
  return openWindows({ hours: hoursOf(hours), closures: parsed.value }, VIENNA, day);
};
const hoursLong = (day: string, hours: string) =>
  windowsOn(day, hours).map((w) => (w.untilAt - w.fromAt) / 3600);

test('hours are read by weekday, several windows a day', () => {
  expect(hoursOf('mo-tu 08:00-12:00,13:00-18:00; SA 9:00-13:00')).toEqual([
    { weekday: 1, opensMinute: 480, closesMinute: 720 },
    { weekday: 1, opensMinute: 780, closesMinute: 1080 },
    { weekday: 2, opensMinute: 480, closesMinute: 720 },
    { weekday: 2, opensMinute: 780, closesMinute: 1080 },
    { weekday: 6, opensMinute: 540, closesMinute: 780 },
  ]);
  expect(hoursOf('we,fr-mo 00:00-24:00').map((row) => row.weekday)).toEqual([1, 3, 5, 6, 7]);
  expect(hoursOf('')).toEqual([]);
});

test.each([
  ['open', 'bad-form', 'open', 0],
  ['weekdays 8-5', 'unknown-day', 'weekdays', 0],
  ['mo 08:00-12:00; mx 08:00-12:00', 'unknown-day', 'mx', 16],
  ['mo 08:00-25:00', 'bad-time', '08:00-25:00', 3],
  ['mo 08:00', 'bad-time', '08:00', 3],
  ['mo 22:00-02:00', 'closes-first', '22:00-02:00', 3],
  ['mo 08:00-08:00', 'closes-first', '08:00-08:00', 3],
  ['mo-we 08:00-12:00; tu 11:00-13:00', 'overlap', '11:00-13:00', 22],
])('the hours "%s" are refused: %s', (text, code, value, offset) => {
  expect(parseHours(text)).toEqual({ ok: false, refusal: expect.objectContaining({ code, value, offset }) });
});

const someHours = fc
  .uniqueArray(fc.record({ weekday: fc.integer({ min: 1, max: 7 }), slot: fc.integer({ min: 0, max: 5 }) }), {
    selector: (row) => row.weekday * 10 + row.slot,
    maxLength: 20,
  })
  .map((rows) =>
    rows
      .map(({ weekday, slot }) => ({ weekday, opensMinute: slot * 240, closesMinute: slot * 240 + 200 }))
      .sort((a, b) => a.weekday - b.weekday || a.opensMinute - b.opensMinute),
  );

test('hours written and read again are the same', () => {
  fc.assert(
    fc.property(someHours, (hours) => {
      expect(hoursOf(formatHours(hours))).toEqual(hours);
    }),
  );
  expect(formatHours(hoursOf('mo,tu,we,fr 08:00-12:00'))).toBe('mo-we 08:00-12:00; fr 08:00-12:00');
});

test('closures are read with both ends and a reason, and written back the same', () => {
  const text = '2026-05-01; 2026-12-24..2027-01-02 Christmas break';
  const parsed = parseClosures(text);
  expect(parsed).toEqual({
    ok: true,
    value: [
      { fromDay: '2026-05-01', untilDay: '2026-05-01', reason: '' },
      { fromDay: '2026-12-24', untilDay: '2027-01-02', reason: 'Christmas break' },
    ],
  });
  if (parsed.ok) expect(formatClosures(parsed.value)).toBe(text);
  expect(formatClosures([{ fromDay: '2026-05-01', untilDay: '2026-05-01', reason: 'a; b' }])).toBe(
    '2026-05-01 a, b',
  );
});

test.each([
  ['2026-05-01; 2026-02-30', 'bad-day', '2026-02-30', 12],
  ['2026-05-02..2026-05-01', 'ends-first', '2026-05-02..2026-05-01', 0],
  ['May', 'bad-day', 'May', 0],
])('the closures "%s" are refused: %s', (text, code, value, offset) => {
  expect(parseClosures(text)).toEqual({
    ok: false,
    refusal: expect.objectContaining({ code, value, offset }),
  });
});

test('a site without hours is always open, a site with hours is closed on the other days', () => {
  expect(windowsOn('2026-06-15', '')).toEqual([
    { fromAt: dayStart(VIENNA, '2026-06-15'), untilAt: dayStart(VIENNA, '2026-06-16') },
  ]);
  expect(windowsOn('2026-06-15', 'tu 08:00-12:00')).toEqual([]);
});

test('a closure wins over the hours, on its first and its last day', () => {
  const closures = '2026-06-15..2026-06-17';
  const open = ['2026-06-14', '2026-06-15', '2026-06-17', '2026-06-18'].map(
    (day) => windowsOn(day, '', closures).length,
  );
  expect(open).toEqual([1, 0, 0, 1]);
});

test('windows that touch become one, windows apart stay apart', () => {
  expect(hoursLong('2026-06-15', 'mo 08:00-12:00,12:00-18:00')).toEqual([10]);
  expect(hoursLong('2026-06-15', 'mo 08:00-12:00,13:00-18:00')).toEqual([4, 5]);
});

test('on the days of summer time a night is an hour shorter or longer, and the skipped hour is no window', () => {
  expect(hoursLong('2026-03-29', 'su 00:00-06:00')).toEqual([5]);
  expect(hoursLong('2026-10-25', 'su 00:00-06:00')).toEqual([7]);
  expect(hoursLong('2026-03-29', 'su 02:00-03:00')).toEqual([]);
  expect(hoursLong('2026-03-29', '')).toEqual([23]);
  expect(windowsOn('2026-03-29', 'su 08:00-12:00')[0]?.fromAt).toBe(instantOf(VIENNA, '2026-03-29', 480));
});

test('windows lie within their day, in order, and never overlap', () => {
  fc.assert(
    fc.property(someHours, fc.integer({ min: 0, max: 1000 }), (hours, n) => {
      const day = addDays('2025-01-01', n);
      const windows = openWindows({ hours, closures: [] }, VIENNA, day);
      let last = dayStart(VIENNA, day);
      for (const { fromAt, untilAt } of windows) {
        expect(fromAt).toBeGreaterThanOrEqual(last);
        expect(untilAt).toBeGreaterThan(fromAt);
        last = untilAt;
      }
      expect(last).toBeLessThanOrEqual(dayStart(VIENNA, addDays(day, 1)));
    }),
  );
});
