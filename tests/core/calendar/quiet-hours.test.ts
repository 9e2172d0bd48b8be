/** Quiet hours by hand, and over both nights of the year when the clock jumps (tz database, Europe/Vienna 2026). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { afterQuiet, nextClock } from '../../../src/core/calendar/quiet-hours.ts';
import { seedOf, tryAgainAt } from '../../../src/core/calendar/try-again.ts';
import { instantOf, localOf, localText } from '../../../src/core/calendar/zone.ts';

const ZONE = 'Europe/Vienna';
const night = { fromMinute: 20 * 60, untilMinute: 7 * 60 };
const noon = { fromMinute: 12 * 60, untilMinute: 13 * 60 };
const then = (quiet: typeof night, text: string): string => {
  const [day = '', clock = ''] = text.split('T');
  const [h = 0, m = 0] = clock.split(':').map(Number);
  return localText(ZONE, afterQuiet(ZONE, instantOf(ZONE, day, h * 60 + m), quiet));
};

describe('after quiet hours', () => {
  test.each([
    [night, '2026-06-15T19:59', '2026-06-15T19:59'],
    [night, '2026-06-15T20:00', '2026-06-16T07:00'],
    [night, '2026-06-16T06:59', '2026-06-16T07:00'],
    [night, '2026-06-16T07:00', '2026-06-16T07:00'],
    [noon, '2026-06-16T12:30', '2026-06-16T13:00'],
    [noon, '2026-06-16T13:00', '2026-06-16T13:00'],
    // 02:00 to 03:00 does not exist on 29 March, and comes twice on 25 October.
    [night, '2026-03-28T23:00', '2026-03-29T07:00'],
    [night, '2026-10-24T23:00', '2026-10-25T07:00'],
    [{ fromMinute: 120, untilMinute: 150 }, '2026-03-29T02:10', '2026-03-29T03:10'],
  ])('%o: %s becomes %s', (quiet, at, expected) => {
    expect(then(quiet, at)).toBe(expected);
  });

  test('is never before, never quiet but in the hour that comes twice, and less than a day and an hour later', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1_767_225_600, max: 1_798_761_600 }),
        fc.integer({ min: 0, max: 1439 }),
        fc.integer({ min: 0, max: 1439 }),
        (at, fromMinute, untilMinute) => {
          const after = afterQuiet(ZONE, at, { fromMinute, untilMinute });
          expect(after).toBeGreaterThanOrEqual(at);
          expect(after - at).toBeLessThanOrEqual(25 * 3600);
          // Applied again nothing changes: it was loud already.
          if (localOf(ZONE, after).day !== '2026-10-25')
            expect(afterQuiet(ZONE, after, { fromMinute, untilMinute })).toBe(after);
        },
      ),
      { seed: 6, numRuns: 500 },
    );
  });
});

test('the next time that the clock shows an hour is ahead, at most two days, and shows it', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1_767_225_600, max: 1_798_761_600 }),
      fc.integer({ min: 180, max: 1439 }),
      (at, minute) => {
        const next = nextClock(ZONE, at, minute);
        expect(next).toBeGreaterThan(at);
        expect(next - at).toBeLessThanOrEqual(25 * 3600);
        expect(localOf(ZONE, next).minute).toBe(minute);
      },
    ),
    { seed: 6, numRuns: 300 },
  );
});

describe('trying again', () => {
  const backOff = { firstS: 2, mostS: 60, tries: 8 };
  test('waits between half and the whole of a doubling span, up to the bound, and then no more', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 7 }), fc.nat(), (failures, seed) => {
        const wholeS = Math.min(60, 2 ** failures);
        const waitS = tryAgainAt(backOff, failures, 1000, seed)! - 1000;
        expect(waitS).toBeGreaterThanOrEqual(wholeS / 2);
        expect(waitS).toBeLessThanOrEqual(wholeS);
        expect(tryAgainAt(backOff, failures, 1000, seed)).toBe(1000 + waitS);
      }),
      { seed: 6 },
    );
    expect(tryAgainAt(backOff, 8, 1000, 1)).toBeUndefined();
    expect(() => tryAgainAt(backOff, 0, 1000, 1)).toThrow(/at least 1/);
  });

  test('seeds from text are FNV-1a, 32 bits', () => {
    // Published test vectors of the algorithm (Fowler, Noll, Vo; draft-eastlake-fnv, section 5.2 and appendix).
    expect(seedOf('')).toBe(0x811c9dc5);
    expect(seedOf('a')).toBe(0xe40c292c);
    expect(seedOf('foobar')).toBe(0xbf9cf968);
  });
});
