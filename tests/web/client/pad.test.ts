/** The number pad: presses in, kilograms out. Sums worked by hand. */
import { describe, expect, test } from 'vitest';
import {
  addLift,
  amountsOf,
  EMPTY_PAD,
  type Key,
  liftsSum,
  type Pad,
  padOf,
  press,
} from '../../../src/web/client/driver/pad.ts';

const type = (pad: Pad, text: string): Pad =>
  [...text].reduce((now, key) => press(now, (key === '<' ? 'erase' : key) as Key), pad);
const on = (field: Pad['field'], pad: Pad = EMPTY_PAD): Pad => ({ ...pad, field });
const net = (text: string) => amountsOf(type(EMPTY_PAD, text), 4);

test('digits become kilograms; a point, a leading nought and a slip of the thumb are understood', () => {
  expect(net('34.5').amounts.netKg).toBe(34.5);
  expect(net('.5').amounts.netKg).toBe(0.5);
  expect(net('007').amounts.netKg).toBe(7);
  expect(net('345<').amounts.netKg).toBe(34);
  expect(net('1.2.3').amounts.netKg).toBe(1.23);
  expect(net('1.23456').amounts.netKg).toBe(1.234);
  expect(net('12.').amounts.netKg).toBe(12);
});

test('several lifts add up in whole grams, and the last one can be taken back', () => {
  const three = type(addLift(type(addLift(type(EMPTY_PAD, '12.1')), '0.2')), '7');
  // 12.1 + 0.2 + 7 = 19.3; in floating point 19.299999999999997.
  expect(liftsSum(three, 'net')).toBe(19.3);
  expect(liftsSum(type(three, '<<'), 'net')).toBe(12.3);
  expect(addLift(EMPTY_PAD)).toBe(EMPTY_PAD);
});

test('gross less tare is the net; without a tare nothing but film was on the scale', () => {
  const gross = type({ ...on('gross'), way: 'gross' }, '40.1');
  expect(amountsOf(type(on('tare', gross), '6.3'), 4).amounts).toMatchObject({
    grossKg: 40.1,
    tareKg: 6.3,
    netKg: 33.8,
  });
  expect(amountsOf(gross, 4).amounts).toMatchObject({ grossKg: 40.1, tareKg: 0, netKg: 40.1 });
});

test('bags alone carry no kilograms; a way that is not on show does not count', () => {
  const typed = type({ ...on('bags', type(EMPTY_PAD, '99')), way: 'bags' }, '9');
  const { amounts, problem } = amountsOf(typed, 4);
  expect(amounts).toMatchObject({ bags: 9 });
  expect(amounts.netKg).toBeUndefined();
  expect(problem).toBeUndefined();
});

describe('a problem is named', () => {
  const cases: readonly (readonly [string, Pad, ReturnType<typeof amountsOf>['problem']])[] = [
    ['nothing typed', EMPTY_PAD, 'nothing'],
    ['found full, nobody could weigh', { ...EMPTY_PAD, foundFull: true }, undefined],
    [
      'tare over gross',
      type(on('tare', type({ ...on('gross'), way: 'gross' }, '5')), '6'),
      'tare-over-gross',
    ],
    ['more thrown out than was there', type(on('thrownOut', type(EMPTY_PAD, '5')), '6'), 'thrown-over'],
    ['thrown out without a reason', type(on('thrownOut', type(EMPTY_PAD, '5')), '2'), 'thrown-why'],
    [
      'thrown out with one',
      { ...type(on('thrownOut', type(EMPTY_PAD, '5')), '2'), reason: 'sharps' },
      undefined,
    ],
    ['beyond any van', type(EMPTY_PAD, '10001'), 'too-much'],
  ];
  test.each(cases)('%s', (_, pad, problem) => {
    expect(amountsOf(pad, 4).problem).toBe(problem);
  });
});

test('one grade is all that was taken, three share it to the gram', () => {
  const pad = type(EMPTY_PAD, '10');
  expect(amountsOf({ ...pad, grades: ['ldpe-clear'] }, 4).amounts.grades).toEqual([
    { grade: 'ldpe-clear', kg: 10 },
  ]);
  const three = amountsOf({ ...pad, grades: ['ldpe-clear', 'hdpe-white', 'pp-black'] }, 4).amounts.grades;
  expect(three.map(({ kg }) => kg)).toEqual([3.334, 3.333, 3.333]);
});

test('a correction starts from what stands and changes only what is touched', () => {
  const stands = {
    grossKg: 45.4,
    tareKg: 6.2,
    netKg: 39.2,
    bags: 10,
    foundFull: true,
    rejectedKg: 2,
    rejectReason: 'food' as const,
    grades: [{ grade: 'ldpe-black' as const, kg: 12 }],
    note: 'lid broken',
  };
  expect(amountsOf(padOf(stands), 4).amounts).toEqual(stands);
  const mended = amountsOf(type(on('gross', padOf(stands)), '<<<<46.4'), 4).amounts;
  expect(mended).toEqual({ ...stands, grossKg: 46.4, netKg: 40.2 });
});
