import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  addDays,
  clock,
  dayStart,
  daysBetween,
  daysFrom,
  instantOf,
  isDay,
  isoWeekday,
  isZone,
  localOf,
  localText,
  minuteOf,
  readInstant,
} from '../../../src/core/calendar/zone.ts';

const VIENNA = 'Europe/Vienna';
const iso = (at: number) => new Date(at * 1000).toISOString();
const day = fc.integer({ min: -3000, max: 47_000 }).map((n) => addDays('1970-01-01', n)); // 1961 to 2098
const zone = fc.constantFrom(
  VIENNA,
  'America/New_York',
  'America/Sao_Paulo', // used to change at midnight
  'Australia/Lord_Howe', // half an hour of summer time
  'Pacific/Apia', // left out 30 December 2011
  'Africa/Casablanca', // changes four times in some years
  'Asia/Kathmandu',
);

test('instants agree with Temporal, the repeated and the skipped hour included', () => {
  fc.assert(
    fc.property(zone, day, fc.integer({ min: 0, max: 1439 }), (z, d, minute) => {
      const temporal = Temporal.PlainDateTime.from(`${d}T${clock(minute)}`).toZonedDateTime(z, {
        disambiguation: 'compatible', // first of two, and the offset before a gap
      });
      expect(instantOf(z, d, minute)).toBe(temporal.epochMilliseconds / 1000);
    }),
    { numRuns: 1000, seed: 3 },
  );
});

test('local time agrees with Temporal at any instant', () => {
  fc.assert(
    fc.property(zone, fc.integer({ min: -2e8, max: 4e9 }), (z, at) => {
      const there = Temporal.Instant.fromEpochMilliseconds(at * 1000).toZonedDateTimeISO(z);
      expect(localOf(z, at)).toEqual({
        day: there.toPlainDate().toString(),
        minute: there.hour * 60 + there.minute,
      });
    }),
    { numRuns: 1000, seed: 4 },
  );
});

test('the minutes around each change of summer time agree with Temporal', () => {
  for (const [z, changeDay] of [
    [VIENNA, '2026-03-29'],
    [VIENNA, '2026-10-25'],
    ['America/Sao_Paulo', '2018-11-04'],
    ['Australia/Lord_Howe', '2026-04-05'],
    ['Pacific/Apia', '2011-12-30'],
  ] as const)
    for (let minute = 0; minute < 1440; minute += 10) {
      const wall = Temporal.PlainDateTime.from(`${changeDay}T${clock(minute)}`);
      expect(instantOf(z, changeDay, minute), `${z} ${wall}`).toBe(
        wall.toZonedDateTime(z).epochMilliseconds / 1000,
      );
    }
});

test('a day is 23 hours long in spring, 25 in autumn, and 24 otherwise', () => {
  const hours = (d: string) => (dayStart(VIENNA, addDays(d, 1)) - dayStart(VIENNA, d)) / 3600;
  expect([hours('2026-03-29'), hours('2026-10-25'), hours('2026-06-15')]).toEqual([23, 25, 24]);
});

test('minute 1440 is the next midnight', () => {
  expect(instantOf(VIENNA, '2026-03-29', 1440)).toBe(dayStart(VIENNA, '2026-03-30'));
});

test('days are counted over leap years, months and years', () => {
  expect(addDays('2024-02-28', 1)).toBe('2024-02-29');
  expect(addDays('2026-02-28', 1)).toBe('2026-03-01');
  expect(addDays('2026-01-01', -1)).toBe('2025-12-31');
  expect(daysBetween('2026-12-24', '2027-01-02')).toBe(9);
  expect(daysBetween('2027-01-02', '2026-12-24')).toBe(-9);
  expect(daysFrom('2026-12-31', 2)).toEqual(['2026-12-31', '2027-01-01']);
  fc.assert(
    fc.property(day, fc.integer({ min: -999, max: 999 }), (d, n) => daysBetween(d, addDays(d, n)) === n),
  );
});

test('weekdays are those of ISO 8601', () => {
  expect(isoWeekday('2026-06-15')).toBe(1);
  expect(isoWeekday('1969-12-28')).toBe(7);
  fc.assert(fc.property(day, (d) => isoWeekday(d) === Temporal.PlainDate.from(d).dayOfWeek));
});

test('only real days are days, only zones of the database are zones', () => {
  for (const bad of ['2026-02-29', '2026-13-01', '2026-6-15', '15.06.2026', '', '2026-06-15T00:00', 'x'])
    expect(isDay(bad), bad).toBe(false);
  expect(isDay('2024-02-29')).toBe(true);
  expect(['Europe/Vienna', 'UTC'].map(isZone)).toEqual([true, true]);
  expect(['+01:00', 'Europe/Atlantis', '', 'CEST'].map(isZone)).toEqual([false, false, false, false]);
});

test('local text and text with an offset are read, anything else is not', () => {
  expect(iso(readInstant(VIENNA, '2026-06-15T09:00')!)).toBe('2026-06-15T07:00:00.000Z');
  expect(iso(readInstant(VIENNA, '2026-01-15T09:00:30')!)).toBe('2026-01-15T08:00:30.000Z');
  expect(iso(readInstant(VIENNA, '2026-06-15T09:00Z')!)).toBe('2026-06-15T09:00:00.000Z');
  expect(iso(readInstant(VIENNA, '2026-06-15T09:00:00.75-04:00')!)).toBe('2026-06-15T13:00:00.000Z');
  for (const bad of [
    '2026-06-15',
    '2026-02-30T09:00',
    '2026-06-15T24:00',
    '2026-06-15 09:00',
    '2026-02-30T09:00Z',
    '',
  ])
    expect(readInstant(VIENNA, bad), bad).toBeUndefined();
});

test('an instant written as local text is read back to the minute, outside the repeated hour', () => {
  fc.assert(
    fc.property(zone, fc.integer({ min: 0, max: 60_000_000 }), (z, minutes) => {
      const at = minutes * 60;
      const back = readInstant(z, localText(z, at))!;
      expect([0, -1800, -3600]).toContain(back - at); // the second of a repeated hour is read as the first
      expect(localText(z, back)).toBe(localText(z, at));
    }),
    { seed: 5 },
  );
});

test('clock and minuteOf are inverse, and 24:00 is the end of the day', () => {
  for (let minute = 0; minute <= 1440; minute++) expect(minuteOf(clock(minute))).toBe(minute);
  expect(['24:01', '8', '08:60', ''].map(minuteOf)).toEqual([undefined, undefined, undefined, undefined]);
});
