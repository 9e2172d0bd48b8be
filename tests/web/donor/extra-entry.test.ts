import { describe, expect, test } from 'vitest';
import { extraFacts } from '../../../src/web/donor/extra-entry.ts';
import { sayIn } from '../../../src/web/messages/say.ts';
import type { Typed } from '../../../src/web/shared/form.ts';
import { site } from '../../fixtures/donor-view.ts';
import { clockAt, NOW_AT, ZONE } from '../../fixtures/run-view.ts';

const GOOD: Typed = {
  eventKind: 'festival',
  eventEndsLocal: '2026-03-11T23:00',
  amount: '40',
  unit: 'sacks',
  fromDay: '2026-03-13',
  untilDay: '2026-03-17',
  remarks: 'behind the stage',
  hazardNone: 'yes',
};
const AT = { zone: ZONE, nowAt: NOW_AT, fill: site.fill, say: sayIn('en') };
const read = (more: Typed) => extraFacts({ ...GOOD, ...more }, AT);
const facts = (more: Typed = {}) => {
  const done = read(more);
  if (!done.ok) throw new Error(JSON.stringify(done.errors));
  return done.value;
};

describe('a request for an extra collection', () => {
  test('spans its days whole, in the workshop’s zone', () => {
    expect(facts()).toEqual({
      eventKind: 'festival',
      eventEndsAt: clockAt('23:00', '2026-03-11'),
      expectedBags: 40,
      fromAt: clockAt('00:00', '2026-03-13'),
      untilAt: clockAt('00:00', '2026-03-18'),
      remarks: 'behind the stage',
      hazards: '',
    });
  });

  test('over the spring change of clocks is an hour shorter (Europe, 29 March 2026, 01:00 UTC)', () => {
    const { fromAt, untilAt } = facts({ fromDay: '2026-03-29', untilDay: '2026-03-29' });
    expect(untilAt - fromAt).toBe(23 * 3600);
  });

  test('does not depend on the second it was sent in, and begins when the event is over', () => {
    const today = extraFacts({ ...GOOD, fromDay: '2026-03-12' }, AT);
    expect(today).toMatchObject({ value: { fromAt: clockAt('00:00') } });
    expect(extraFacts({ ...GOOD, fromDay: '2026-03-12' }, { ...AT, nowAt: NOW_AT + 40 })).toEqual(today);
    const ahead = facts({ eventEndsLocal: '2026-03-15T22:00' });
    expect(ahead.fromAt).toBe(clockAt('22:00', '2026-03-15'));
  });

  test('may be in kilograms, and names every hazard that was ticked', () => {
    const { hazardNone: _, ...rest } = GOOD;
    const done = extraFacts(
      { ...rest, unit: 'kg', amount: '120,5', hazardSharp: 'yes', hazardWet: 'yes' },
      AT,
    );
    expect(done).toMatchObject({
      ok: true,
      value: { expectedKg: 120.5, hazards: 'sharp things possible; wet' },
    });
  });

  test('may be counted in cages, pallets and boots, and comes to sacks by their litres', () => {
    // 3.8 kg a sack where 48 kg fill 2,400 L: 190 L a sack; 2 cages of 800 L are 8.42 sacks.
    expect(facts({ unit: 'cages', amount: '2' })).toMatchObject({ expectedBags: 8.4 });
    expect(facts({ unit: 'boots', amount: '1' })).toMatchObject({ expectedBags: 2.1 });
    expect(facts({ unit: 'pallets', amount: '0,5' })).toMatchObject({ expectedBags: 3.8 });
  });

  test('says what is wrong in the language of the reader', () => {
    const done = extraFacts({ ...GOOD, amount: '' }, { ...AT, say: sayIn('de') });
    expect(done).toMatchObject({
      errors: { amount: 'Geben Sie an, wie viel es ist; eine Schätzung genügt' },
    });
  });

  test.each<[string, Typed, string[]]>([
    ['no kind of event', { eventKind: '' }, ['eventKind']],
    ['no amount', { amount: '' }, ['amount']],
    ['an amount of nothing', { amount: '0' }, ['amount']],
    ['an amount in words', { amount: 'many' }, ['amount']],
    ['an impossible day', { fromDay: '2026-02-30' }, ['fromDay']],
    ['days in the wrong order', { fromDay: '2026-03-16', untilDay: '2026-03-15' }, ['untilDay']],
    ['days that are over', { fromDay: '2026-03-01', untilDay: '2026-03-11' }, ['untilDay']],
    ['days before the event ends', { eventEndsLocal: '2026-03-20T22:00' }, ['untilDay']],
    ['an event years ahead', { eventEndsLocal: '2028-03-20T22:00' }, ['eventEndsLocal']],
    ['an event long past', { eventEndsLocal: '2025-11-20T22:00' }, ['eventEndsLocal']],
    ['no word on hazards', { hazardNone: '' }, ['hazards']],
    ['none and one of them', { hazardSharp: 'yes' }, ['hazards']],
    ['three mistakes', { eventKind: 'x', amount: '', hazardNone: '' }, ['amount', 'eventKind', 'hazards']],
  ])('with %s names the field', (_, more, fields) => {
    const done = read(more);
    expect(done.ok ? [] : Object.keys(done.errors).sort()).toEqual(fields);
  });
});
