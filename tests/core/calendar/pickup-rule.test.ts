import { expect, test } from 'vitest';
import {
  describeRule,
  occurrences,
  type PickupRule,
  type PickupRuleFields,
  parsePickupRule,
} from '../../../src/core/calendar/pickup-rule.ts';
import { instantOf } from '../../../src/core/calendar/zone.ts';

const VIENNA = 'Europe/Vienna';
const FIELDS: PickupRuleFields = {
  rrule: 'FREQ=WEEKLY;BYDAY=TU',
  startsLocal: '2026-03-03T09:00',
  windowMin: '120',
  commitment: 'must',
  exceptDays: '',
  extraDays: '',
};
const faultsOf = (fields: Partial<PickupRuleFields>) => {
  const parsed = parsePickupRule({ ...FIELDS, ...fields });
  return parsed.ok ? [] : parsed.refusal;
};
function rule(fields: Partial<PickupRuleFields> = {}): PickupRule {
  const parsed = parsePickupRule({ ...FIELDS, ...fields });
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.refusal));
  return parsed.value;
}
const daysOf = (r: PickupRule, from: string, until: string) =>
  occurrences(r, VIENNA, from, until).map((o) => o.day);

test('a rule is read into the columns of the register', () => {
  expect(
    rule({
      rrule: 'rrule:freq=weekly;byday=tu',
      exceptDays: '2026-04-07; 2026-03-10;2026-04-07',
      commitment: '',
    }),
  ).toEqual({
    rrule: 'FREQ=WEEKLY;BYDAY=TU',
    startsLocal: '2026-03-03T09:00',
    windowS: 7200,
    commitment: 'usual',
    exceptDays: ['2026-03-10', '2026-04-07'],
    extraDays: [],
  });
});

test('exceptions win over the rule and over extra days, and duplicates collapse', () => {
  const r = rule({ exceptDays: '2026-03-10;2026-03-12', extraDays: '2026-03-12;2026-03-17;2026-03-19' });
  expect(daysOf(r, '2026-03-01', '2026-03-31')).toEqual([
    '2026-03-03',
    '2026-03-17',
    '2026-03-19',
    '2026-03-24',
    '2026-03-31',
  ]);
});

test('the first day counts even where the rule does not name it, and uses up one of COUNT', () => {
  const r = rule({ startsLocal: '2026-03-02T09:00', rrule: 'FREQ=WEEKLY;BYDAY=TU;COUNT=3' });
  expect(daysOf(r, '2026-01-01', '2026-12-31')).toEqual(['2026-03-02', '2026-03-03', '2026-03-10']);
});

test('both ends of the asked span are included, and nothing outside it', () => {
  expect(daysOf(rule(), '2026-03-10', '2026-03-24')).toEqual(['2026-03-10', '2026-03-17', '2026-03-24']);
  expect(daysOf(rule(), '2026-03-11', '2026-03-16')).toEqual([]);
  expect(daysOf(rule(), '2025-01-01', '2026-03-02')).toEqual([]);
});

test('the window opens at the hour on the wall, before and after the change to summer time', () => {
  const found = occurrences(rule(), VIENNA, '2026-03-24', '2026-03-31');
  expect(found.map((o) => new Date(o.fromAt * 1000).toISOString())).toEqual([
    '2026-03-24T08:00:00.000Z',
    '2026-03-31T07:00:00.000Z',
  ]);
  expect(found.every((o) => o.untilAt - o.fromAt === 7200)).toBe(true);
});

test('a pickup in the skipped hour moves behind the gap instead of being lost', () => {
  const r = rule({ rrule: 'FREQ=DAILY', startsLocal: '2026-03-28T02:30' });
  const found = occurrences(r, VIENNA, '2026-03-29', '2026-03-29');
  expect(found.map((o) => o.fromAt)).toEqual([instantOf(VIENNA, '2026-03-29', 210)]);
});

test('UNTIL in UTC, on the wall, and as a day: the instance on the last moment is in', () => {
  const until = (text: string) =>
    daysOf(rule({ rrule: `FREQ=WEEKLY;UNTIL=${text}` }), '2026-03-01', '2026-12-31').at(-1);
  expect(until('20260317T080000Z')).toBe('2026-03-17'); // nine in Vienna, in winter
  expect(until('20260317T075959Z')).toBe('2026-03-10');
  expect(until('20260317T090000')).toBe('2026-03-17');
  expect(until('20260317')).toBe('2026-03-17');
  expect(until('20260316')).toBe('2026-03-10');
});

test('"second Monday and every Friday" is both, not what both name', () => {
  const r = rule({ rrule: 'FREQ=MONTHLY;BYDAY=2MO,FR', startsLocal: '2026-06-05T09:00' });
  expect(daysOf(r, '2026-06-01', '2026-06-30')).toEqual([
    '2026-06-05',
    '2026-06-08',
    '2026-06-12',
    '2026-06-19',
    '2026-06-26',
  ]);
});

test.each([
  ['', { code: 'missing', part: 'FREQ', offset: 0 }],
  ['BYDAY=TU', { code: 'missing', part: 'FREQ' }],
  [
    'FREQ=FORTNIGHTLY',
    { code: 'bad-value', part: 'FREQ', value: 'FORTNIGHTLY', allowed: 'DAILY, WEEKLY, MONTHLY, YEARLY' },
  ],
  ['FREQ=HOURLY', { code: 'too-often', part: 'FREQ' }],
  ['FREQ=WEEKLY;BYHOUR=9', { code: 'too-often', part: 'BYHOUR', offset: 12 }],
  ['FREQ=WEEKLY;BYDAY=TU,XX', { code: 'bad-value', part: 'BYDAY', value: 'TU,XX', offset: 12 }],
  ['FREQ=WEEKLY;BYDAY=1TU', { code: 'not-together', part: 'BYDAY', other: 'FREQ=WEEKLY' }],
  ['FREQ=WEEKLY;INTERVAL=0', { code: 'bad-value', part: 'INTERVAL', value: '0' }],
  ['FREQ=WEEKLY;INTERVAL=1,2', { code: 'bad-value', part: 'INTERVAL' }],
  ['FREQ=WEEKLY;EVERY=2', { code: 'unknown-part', part: 'EVERY', value: '2', offset: 12 }],
  ['FREQ=WEEKLY;BYDAY', { code: 'bad-form', part: 'BYDAY', offset: 12 }],
  ['FREQ=WEEKLY;FREQ=DAILY', { code: 'repeated-part', part: 'FREQ', offset: 12 }],
  ['FREQ=WEEKLY;COUNT=3;UNTIL=20261231', { code: 'not-together', part: 'UNTIL', other: 'COUNT' }],
  ['FREQ=WEEKLY;UNTIL=2026-12-31', { code: 'bad-value', part: 'UNTIL', value: '2026-12-31' }],
  ['FREQ=WEEKLY;UNTIL=20260230', { code: 'bad-value', part: 'UNTIL' }],
  ['FREQ=WEEKLY;BYMONTHDAY=3', { code: 'not-together', part: 'BYMONTHDAY', other: 'FREQ=WEEKLY' }],
  ['FREQ=MONTHLY;BYYEARDAY=3', { code: 'needs', part: 'BYYEARDAY', other: 'FREQ=YEARLY' }],
  ['FREQ=MONTHLY;BYSETPOS=1', { code: 'needs', part: 'BYSETPOS', other: 'BYDAY' }],
  ['FREQ=MONTHLY;BYMONTHDAY=0', { code: 'bad-value', part: 'BYMONTHDAY' }],
  ['FREQ=WEEKLY;WKST=XX', { code: 'bad-value', part: 'WKST' }],
  // These would keep the engine searching to the year 9999.
  ['FREQ=DAILY;BYMONTH=2;BYMONTHDAY=31', { code: 'never', part: 'BYMONTHDAY' }],
  ['FREQ=DAILY;INTERVAL=7;BYDAY=WE', { code: 'never' }],
  ['FREQ=MONTHLY;BYMONTHDAY=1;BYDAY=2MO', { code: 'never' }],
  ['FREQ=WEEKLY;BYDAY=TU;BYSETPOS=2', { code: 'never', part: 'BYSETPOS' }],
])('the rule "%s" is refused, with what and where', (rrule, fault) => {
  expect(faultsOf({ rrule })).toEqual([expect.objectContaining({ field: 'rrule', ...fault })]);
});

test('every fault of a row is named at once', () => {
  const faults = faultsOf({
    rrule: 'FREQ=OFTEN',
    startsLocal: '2026-02-30T09:00',
    windowMin: '0',
    commitment: 'perhaps',
    exceptDays: '2026-04-07;7.4.2026',
    extraDays: 'soon',
  });
  expect(faults.map((f) => `${f.field} ${f.code} ${f.value}`)).toEqual([
    'rrule bad-value OFTEN',
    'startsLocal bad-value 2026-02-30T09:00',
    'windowMin bad-value 0',
    'commitment bad-value perhaps',
    'exceptDays bad-value 7.4.2026',
    'extraDays bad-value soon',
  ]);
  expect(faultsOf({ windowMin: '1441' })).toHaveLength(1);
  expect(faultsOf({ startsLocal: '' })[0]).toMatchObject({ field: 'startsLocal', code: 'missing' });
});

test('a rule is told in facts, with what it takes from its first day', () => {
  expect(describeRule(rule({ rrule: 'FREQ=WEEKLY;INTERVAL=2', exceptDays: '2026-04-14' }))).toMatchObject({
    frequency: 'WEEKLY',
    interval: 2,
    weekdays: [{ weekday: 2 }],
    firstDay: '2026-03-03',
    startMinute: 540,
    windowS: 7200,
    commitment: 'must',
    exceptDays: ['2026-04-14'],
  });
  expect(describeRule(rule({ rrule: 'FREQ=MONTHLY;BYDAY=1TU,-1TU;UNTIL=20261231' }))).toMatchObject({
    weekdays: [
      { weekday: 2, nth: 1 },
      { weekday: 2, nth: -1 },
    ],
    untilDay: '2026-12-31',
  });
  expect(describeRule(rule({ rrule: 'FREQ=MONTHLY' })).monthDays).toEqual([3]);
  expect(describeRule(rule({ rrule: 'FREQ=YEARLY' }))).toMatchObject({ monthDays: [3], months: [3] });
});
