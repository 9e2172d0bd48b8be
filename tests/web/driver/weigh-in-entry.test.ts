import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { questionKey, questionsOf } from '../../../src/web/driver/plausible.ts';
import type { StopPageView } from '../../../src/web/driver/run-view.ts';
import { weighInFacts } from '../../../src/web/driver/weigh-in-entry.ts';
import type { Typed } from '../../../src/web/shared/form.ts';
import { clockAt, NOW_AT, stopPage } from '../../fixtures/run-view.ts';

// Northbridge Wholesale: 58 kg expected (34.8 to 87), a bag is 8.5 kg.
const view: StopPageView = stopPage('stop-4')!;
const read = (typed: Typed, of = view) => weighInFacts({ factId: 'fact-1', ...typed }, of);
const facts = (typed: Typed, of = view) => {
  const done = read(typed, of);
  if (!done.ok) throw new Error(JSON.stringify(done.errors));
  return done.value;
};
const wrongFields = (typed: Typed) => {
  const done = read(typed);
  return done.ok ? [] : Object.keys(done.errors).sort();
};

describe('a typed weigh-in', () => {
  test('takes net from gross and tare without the rounding of binary fractions', () => {
    // 40.1 − 6.3 is 33.800000000000004 in binary floating point.
    expect(facts({ grossKg: '40,1', tareKg: '6.3 kg' })).toMatchObject({
      grossKg: 40.1,
      tareKg: 6.3,
      netKg: 33.8,
    });
  });

  test('gives the difference of any two scale readings to the gram', () => {
    const grams = fc.integer({ min: 0, max: 999_999 });
    fc.assert(
      fc.property(grams, grams, (a, b) => {
        const [tareG, grossG] = a < b ? [a, b] : [b, a];
        const { netKg } = facts({ grossKg: (grossG / 1000).toFixed(3), tareKg: (tareG / 1000).toFixed(3) });
        expect(Math.round((netKg ?? Number.NaN) * 1000)).toBe(grossG - tareG);
        expect(netKg).toBe((grossG - tareG) / 1000);
      }),
    );
  });

  test.each<[string, Typed, string[]]>([
    ['nothing at all', {}, ['netKg']],
    ['a word for a number', { netKg: 'forty' }, ['netKg']],
    ['a minus', { netKg: '-4' }, ['netKg']],
    ['gross without tare', { grossKg: '40' }, ['tareKg']],
    ['tare without gross', { tareKg: '6' }, ['grossKg']],
    ['tare above gross', { grossKg: '4', tareKg: '6' }, ['grossKg']],
    ['a net that is not gross less tare', { grossKg: '40', tareKg: '6', netKg: '33' }, ['netKg']],
    ['more thrown out than taken', { netKg: '10', rejectedKg: '11', rejectReason: 'wet' }, ['rejectedKg']],
    ['thrown out without a reason', { netKg: '10', rejectedKg: '1' }, ['rejectReason']],
    ['an unknown reason', { netKg: '10', rejectReason: 'ugly' }, ['rejectReason']],
    ['grades that are more than the net', { netKg: '10', 'grade_ldpe-black': '11' }, ['grade_ldpe-black']],
    ['a time to come', { netKg: '10', collectedLocal: '2026-03-12T10:30' }, ['collectedLocal']],
    ['a time long gone', { netKg: '10', collectedLocal: '2026-01-12T10:30' }, ['collectedLocal']],
    ['several mistakes', { netKg: 'x', bags: 'y', rejectReason: 'z' }, ['bags', 'netKg', 'rejectReason']],
  ])('of %s names the field', (_, typed, fields) => {
    expect(wrongFields(typed)).toEqual(fields);
  });

  test('may be bags alone, or "found full" alone, or refused without a weight', () => {
    expect(facts({ bags: '9' })).toMatchObject({ bags: 9, foundFull: false, rejectedKg: 0 });
    expect(facts({ foundFull: 'yes' })).toMatchObject({ foundFull: true });
    expect(facts({ bags: '9' })).not.toHaveProperty('netKg');
    expect(facts({ bags: '3', rejectReason: 'sharps' })).toMatchObject({
      rejectReason: 'sharps',
      rejectedKg: 0,
    });
  });

  test('is of now, of the time that was typed, or, as a correction, of the time that stands', () => {
    expect(facts({ netKg: '10' }).at).toBe(NOW_AT);
    expect(facts({ netKg: '10', collectedLocal: '2026-03-11T16:20' }).at).toBe(
      clockAt('16:20', '2026-03-11'),
    );
    expect(facts({ netKg: '10', replacesId: 'weigh-1' }, stopPage('stop-1')!).at).toBe(clockAt('08:34'));
  });
});

describe('an implausible weigh-in', () => {
  const asked = (weighed: { netKg?: number; bags?: number; foundFull?: boolean }) =>
    questionsOf({ foundFull: false, ...weighed }, view.stop, 780).map(({ kind }) => kind);

  test('is asked about when a decimal point slipped, and an ordinary one is not', () => {
    expect(asked({ netKg: 58 })).toEqual([]);
    expect(asked({ netKg: 87 })).toEqual([]);
    expect(asked({ netKg: 580 })).toEqual(['much-more']);
    expect(asked({ netKg: 5.8 })).toEqual(['much-less']);
    expect(asked({ bags: 68 })).toEqual(['much-more']);
    expect(asked({ netKg: 7800 })).toEqual(['over-payload']);
  });

  test('is always asked about at ten times the high end, and never inside the interval', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 200, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (mean, u) => {
          const stop = { lowKg: mean * 0.6, highKg: mean * 1.5, bagKg: 3.8 };
          const at = (netKg: number) => questionsOf({ netKg, foundFull: false }, stop, 10_000);
          expect(at(stop.lowKg + u * (stop.highKg - stop.lowKg))).toEqual([]);
          expect(at(10 * stop.highKg).length).toBeGreaterThan(0);
        },
      ),
    );
  });

  test('more than expected is no question where the container was found full', () => {
    expect(asked({ netKg: 200, foundFull: true })).toEqual([]);
  });

  test('is asked about when kilograms and bags do not go together', () => {
    expect(asked({ netKg: 60, bags: 2 })).toEqual(['odd-bags']);
    expect(asked({ netKg: 60, bags: 7 })).toEqual([]);
  });

  test('a yes to one number is no yes to another', () => {
    const key = (netKg: number) => questionKey(questionsOf({ netKg, foundFull: false }, view.stop, 780));
    expect(key(580)).not.toBe(key(581));
    expect(key(580)).toBe(key(580));
  });
});
