import { expect, test } from 'vitest';
import * as f from '../../../src/web/shared/format.ts';

const plain = f.plainSpaces;
/** 2026-03-29T00:30:00Z: half an hour before clocks in Vienna go forward. */
const BEFORE_GAP = 1_774_744_200;

test('every quantity carries its unit, and never breaks from it', () => {
  expect(f.kg(34.4)).toBe('34\u00a0kg');
  expect([f.kg(4.26), f.kg(0.02), f.kg(9.97), f.kg(1240), f.kg(-3.04)].map(plain)).toEqual([
    '4.3 kg',
    '0 kg',
    '10 kg',
    '1,240 kg',
    '−3.0 kg',
  ]);
  expect([f.litres(2200), f.km(840), f.km(48_400)].map(plain)).toEqual(['2,200 L', '0.8 km', '48 km']);
});

test('durations say minutes below an hour and hours above', () => {
  expect([f.duration(2700), f.duration(7500), f.duration(3599)].map(plain)).toEqual([
    '45 min',
    '2 h 05 min',
    '1 h 00 min',
  ]);
});

test('a chance that is nearly nothing is not called nothing', () => {
  expect([0, 0.004, 0.126, 0.996, 1].map((p) => plain(f.percent(p)))).toEqual([
    '0 %',
    'under 1 %',
    '13 %',
    'over 99 %',
    '100 %',
  ]);
});

test('money is in the workshop’s currency, with a true minus', () => {
  expect(f.money(12_400_000, 'EUR')).toBe('€12.40');
  expect(f.money(-600_000, 'GBP')).toBe('−£0.60');
  expect(f.money(1_604_700_000, 'EUR')).toBe('€1,605');
  expect(f.money(-100, 'EUR')).toBe('€0.00');
});

test('times are those of the workshop’s clock, over the change of clocks', () => {
  // EU summer time begins at 01:00 UTC on the last Sunday of March (Directive 2000/84/EC).
  expect(f.time(BEFORE_GAP, 'Europe/Vienna')).toBe('01:30');
  expect(f.time(BEFORE_GAP + 3600, 'Europe/Vienna')).toBe('03:30');
  expect(f.dateTime(BEFORE_GAP, 'Europe/Vienna')).toBe('Sun 29 Mar, 01:30');
  expect(f.localDay(BEFORE_GAP, 'Pacific/Auckland')).toBe('2026-03-29');
  expect(f.machineTime(BEFORE_GAP)).toBe('2026-03-29T00:30:00Z');
});

test('ago counts in the unit a person would use', () => {
  expect([30, 150, 7200, 9 * 86_400].map((s) => plain(f.ago(1e6, 1e6 + s)))).toEqual([
    'just now',
    '3 minutes ago',
    '2 hours ago',
    '9 days ago',
  ]);
  expect(plain(f.ago(1e6 + 172_800, 1e6))).toBe('in 2 days');
});
