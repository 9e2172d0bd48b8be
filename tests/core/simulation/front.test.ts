import { expect, test } from 'vitest';
import { kmAtOverflow } from '../../../src/core/simulation/front.ts';

// Worked by hand: from (100 days, 300 km) to (200 days, 260 km) and on to (400 days, 250 km).
test('between two points of a front the kilometres lie on a straight line; beyond its ends nobody knows', () => {
  const front = [
    { overflowDays: 400, kmPerTonne: 250 },
    { overflowDays: 100, kmPerTonne: 300 },
    { overflowDays: 200, kmPerTonne: 260 },
  ];
  expect(kmAtOverflow(front, 100)).toBe(300);
  expect(kmAtOverflow(front, 150)).toBe(280);
  expect(kmAtOverflow(front, 300)).toBe(255);
  expect(kmAtOverflow(front, 400)).toBe(250);
  expect(kmAtOverflow(front, 99)).toBeUndefined();
  expect(kmAtOverflow(front, 401)).toBeUndefined();
  expect(kmAtOverflow([], 5)).toBeUndefined();
});
