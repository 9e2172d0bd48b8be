/**
 * Recurrence and local time against the standard's own examples and against another implementation.
 * Source of the dates: RFC 5545 section 3.8.5.3 unless a line says otherwise.
 */
import fc from 'fast-check';
import { RRuleTemporal } from 'rrule-temporal';
import { expect, test } from 'vitest';
import { occurrences, type PickupRule, parsePickupRule } from '../../src/core/calendar/pickup-rule.ts';
import { addDays, instantOf, localOf } from '../../src/core/calendar/zone.ts';

const NEW_YORK = 'America/New_York';

function ruleOf(
  rrule: string,
  startsLocal: string,
  more: { except?: string; extra?: string } = {},
): PickupRule {
  const parsed = parsePickupRule({
    rrule,
    startsLocal,
    windowMin: '60',
    commitment: 'must',
    exceptDays: more.except ?? '',
    extraDays: more.extra ?? '',
  });
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.refusal));
  return parsed.value;
}

const daysOf = (rule: PickupRule, until: string) =>
  occurrences(rule, NEW_YORK, '1997-01-01', until).map((o) => o.day);

/** `1997: 9/2 9/9; 1998: 1/2` spelled out. */
const dates = (text: string): string[] =>
  text.split(';').flatMap((part) => {
    const [year, days = ''] = part.trim().split(':');
    return days
      .trim()
      .split(/\s+/)
      .map(
        (day) =>
          `${year}-${day
            .split('/')
            .map((n) => n.padStart(2, '0'))
            .join('-')}`,
      );
  });

test.each([
  [
    '1 ten weeks',
    'FREQ=WEEKLY;COUNT=10',
    '1997-09-02',
    '1998-12-31',
    '1997: 9/2 9/9 9/16 9/23 9/30 10/7 10/14 10/21 10/28 11/4',
  ],
  [
    '2 until Christmas Eve',
    'FREQ=WEEKLY;UNTIL=19971224T000000Z',
    '1997-09-02',
    '1998-12-31',
    '1997: 9/2 9/9 9/16 9/23 9/30 10/7 10/14 10/21 10/28 11/4 11/11 11/18 11/25 12/2 12/9 12/16 12/23',
  ],
  [
    '3 every other week',
    'FREQ=WEEKLY;INTERVAL=2;WKST=SU',
    '1997-09-02',
    '1998-02-28',
    '1997: 9/2 9/16 9/30 10/14 10/28 11/11 11/25 12/9 12/23; 1998: 1/6 1/20 2/3 2/17',
  ],
  [
    '4 Tuesday and Thursday, until',
    'FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH',
    '1997-09-02',
    '1998-12-31',
    '1997: 9/2 9/4 9/9 9/11 9/16 9/18 9/23 9/25 9/30 10/2',
  ],
  [
    '4 Tuesday and Thursday, count',
    'FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH',
    '1997-09-02',
    '1998-12-31',
    '1997: 9/2 9/4 9/9 9/11 9/16 9/18 9/23 9/25 9/30 10/2',
  ],
  [
    '5 three days every other week',
    'FREQ=WEEKLY;INTERVAL=2;UNTIL=19971224T000000Z;WKST=SU;BYDAY=MO,WE,FR',
    '1997-09-01',
    '1998-12-31',
    '1997: 9/1 9/3 9/5 9/15 9/17 9/19 9/29 10/1 10/3 10/13 10/15 10/17 10/27 10/29 10/31 11/10 11/12 11/14 11/24 11/26 11/28 12/8 12/10 12/12 12/22',
  ],
  [
    '6 two days every other week',
    'FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH',
    '1997-09-02',
    '1998-12-31',
    '1997: 9/2 9/4 9/16 9/18 9/30 10/2 10/14 10/16',
  ],
  [
    '7 first Friday',
    'FREQ=MONTHLY;COUNT=10;BYDAY=1FR',
    '1997-09-05',
    '1998-12-31',
    '1997: 9/5 10/3 11/7 12/5; 1998: 1/2 2/6 3/6 4/3 5/1 6/5',
  ],
  [
    '8 first and last Sunday every other month',
    'FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU',
    '1997-09-07',
    '1998-12-31',
    '1997: 9/7 9/28 11/2 11/30; 1998: 1/4 1/25 3/1 3/29 5/3 5/31',
  ],
  [
    '9 second-to-last Monday',
    'FREQ=MONTHLY;COUNT=6;BYDAY=-2MO',
    '1997-09-22',
    '1998-12-31',
    '1997: 9/22 10/20 11/17 12/22; 1998: 1/19 2/16',
  ],
  [
    '10 third-to-last day',
    'FREQ=MONTHLY;BYMONTHDAY=-3',
    '1997-09-28',
    '1998-02-28',
    '1997: 9/28 10/29 11/28 12/29; 1998: 1/29 2/26',
  ],
  [
    '12 second-to-last working day',
    'FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2',
    '1997-09-29',
    '1998-03-31',
    '1997: 9/29 10/30 11/27 12/30; 1998: 1/29 2/26 3/30',
  ],
  [
    '13 week begins on Monday',
    'FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO',
    '1997-08-05',
    '1998-12-31',
    '1997: 8/5 8/10 8/19 8/24',
  ],
  [
    '13 week begins on Sunday',
    'FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU',
    '1997-08-05',
    '1998-12-31',
    '1997: 8/5 8/17 8/19 8/31',
  ],
  [
    '14 no 30 February, and it is not counted',
    'FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5',
    '2007-01-15',
    '2008-12-31',
    '2007: 1/15 1/30 2/15 3/15 3/30',
  ],
  [
    '15 third of Tuesday to Thursday',
    'FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3',
    '1997-09-04',
    '1998-12-31',
    '1997: 9/4 10/7 11/6',
  ],
  // Not in the RFC; worked out with Python's date rules (facts.md F1).
  [
    'last Friday',
    'FREQ=MONTHLY;BYDAY=-1FR;COUNT=6',
    '1997-09-26',
    '1998-12-31',
    '1997: 9/26 10/31 11/28 12/26; 1998: 1/30 2/27',
  ],
])('RFC 5545 example %s', (_name, rrule, startsDay, until, expected) => {
  expect(daysOf(ruleOf(rrule, `${startsDay}T09:00`), until)).toEqual(dates(expected));
});

test('RFC 5545 example 11: Friday the thirteenth, with the start itself taken out', () => {
  const rule = ruleOf('FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13', '1997-09-02T09:00', { except: '1997-09-02' });
  expect(daysOf(rule, '2000-12-31')).toEqual(dates('1998: 2/13 3/13 11/13; 1999: 8/13; 2000: 10/13'));
});

test('nine in New York stays nine across the end of summer time (example 1: EDT, then EST)', () => {
  const found = occurrences(
    ruleOf('FREQ=WEEKLY;COUNT=10', '1997-09-02T09:00'),
    NEW_YORK,
    '1997-01-01',
    '1998-01-01',
  );
  const utc = found.map((o) => new Date(o.fromAt * 1000).toISOString().slice(11, 16));
  expect(utc).toEqual([...Array(8).fill('13:00'), '14:00', '14:00']);
});

test('nine in London is 09:00Z in winter and 08:00Z in summer', () => {
  // Worked out with Python's zone data (facts.md F1).
  const found = occurrences(
    ruleOf('FREQ=WEEKLY', '2026-03-26T09:00'),
    'Europe/London',
    '2026-03-26',
    '2026-10-29',
  );
  const at = new Map(found.map((o) => [o.day, new Date(o.fromAt * 1000).toISOString().slice(11, 17)]));
  expect(at.get('2026-03-26')).toBe('09:00:');
  expect(at.get('2026-04-02')).toBe('08:00:');
  expect(at.get('2026-10-22')).toBe('08:00:');
  expect(at.get('2026-10-29')).toBe('09:00:');
});

test('a local time that happens twice means the first (RFC 5545 section 3.3.5)', () => {
  expect(new Date(instantOf(NEW_YORK, '2007-11-04', 90) * 1000).toISOString()).toBe(
    '2007-11-04T05:30:00.000Z',
  ); // -04:00
  expect(new Date(instantOf('Europe/London', '2026-10-25', 90) * 1000).toISOString()).toBe(
    '2026-10-25T00:30:00.000Z',
  );
});

test('a skipped local time is read with the offset before the gap (RFC 5545 section 3.3.5)', () => {
  const at = instantOf(NEW_YORK, '2007-03-11', 150); // 02:30, which the clocks leave out
  expect(new Date(at * 1000).toISOString()).toBe('2007-03-11T07:30:00.000Z');
  expect(localOf(NEW_YORK, at)).toEqual({ day: '2007-03-11', minute: 210 }); // 03:30 EDT
});

const weekday = fc.constantFrom('MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU');
const list = <T>(item: fc.Arbitrary<T>, most: number) =>
  fc.uniqueArray(item, { minLength: 1, maxLength: most });
const freq = fc.oneof(
  fc.record({ head: fc.constant('FREQ=DAILY'), byday: fc.option(list(weekday, 4)) }),
  fc.record({ head: fc.constant('FREQ=WEEKLY'), byday: fc.option(list(weekday, 4)) }),
  fc.record({
    head: fc.constant('FREQ=MONTHLY'),
    byday: fc.option(
      list(
        fc.tuple(fc.constantFrom('', '1', '2', '-1', '-2'), weekday).map((p) => p.join('')),
        3,
      ),
    ),
  }),
  fc.record({
    head: fc
      .uniqueArray(
        fc.integer({ min: -31, max: 31 }).filter((n) => n !== 0),
        { minLength: 1, maxLength: 3 },
      )
      .map((days) => `FREQ=MONTHLY;BYMONTHDAY=${days.join(',')}`),
    byday: fc.constant(null),
  }),
  fc.record({
    head: list(fc.integer({ min: 1, max: 12 }), 3).map((months) => `FREQ=YEARLY;BYMONTH=${months.join(',')}`),
    byday: fc.option(
      list(
        fc.tuple(fc.constantFrom('1', '-1'), weekday).map((p) => p.join('')),
        2,
      ),
    ),
  }),
);
const randomRule = fc.record({
  freq,
  interval: fc.integer({ min: 1, max: 5 }),
  count: fc.option(fc.integer({ min: 2, max: 30 })),
  wkst: fc.constantFrom('MO', 'SU'),
  shift: fc.integer({ min: 0, max: 900 }),
  hour: fc.integer({ min: 4, max: 20 }), // outside the hours that summer time skips or repeats
  zone: fc.constantFrom('Europe/Vienna', NEW_YORK, 'Australia/Lord_Howe', 'Asia/Kolkata'),
});

test('random rules expand as rrule-temporal 2.2 expands them', () => {
  // The other implementation: npm rrule-temporal, written for Temporal, sharing no code with rrule.
  fc.assert(
    fc.property(randomRule, ({ freq, interval, count, wkst, shift, hour, zone }) => {
      const rrule = `${freq.head}${freq.byday ? `;BYDAY=${freq.byday.join(',')}` : ''};INTERVAL=${interval}${count ? `;COUNT=${count}` : ''};WKST=${wkst}`;
      const asked = addDays('2024-01-01', shift);
      // Both are asked from a day that the rule names, so that whether DTSTART counts cannot differ.
      const rough = ruleOf(rrule.replace(/;COUNT=\d+/, ''), `${asked}T09:00`);
      const start = occurrences(rough, zone, addDays(asked, 1), addDays(asked, 4000))[0]?.day;
      fc.pre(start !== undefined);
      const until = addDays(start!, 1500);
      const time = String(hour).padStart(2, '0');
      const rule = ruleOf(rrule, `${start}T${time}:00`);
      const other = new RRuleTemporal({
        rruleString: `DTSTART;TZID=${zone}:${start!.replaceAll('-', '')}T${time}0000\nRRULE:${rrule}`,
      });
      const theirs = other
        .between(
          new Date(instantOf(zone, start!, 0) * 1000),
          new Date(instantOf(zone, until, 1440) * 1000),
          true,
        )
        .map((z) => z.epochMilliseconds / 1000);
      const startsOnRule = theirs[0] === instantOf(zone, start!, hour * 60);
      fc.pre(startsOnRule);
      expect(
        occurrences(rule, zone, start!, until).map((o) => o.fromAt),
        rrule,
      ).toEqual(theirs);
    }),
    { numRuns: 150, seed: 5545 },
  );
});
