/** Entered once, on the server once: drawn mornings of a phone against the real application and database. */
import { expect, test } from 'vitest';
import { driveMorning } from '../../fixtures/interleaving.ts';

/** Enough for a quick look at every change; `npm run bench offline` drives the other hundreds. */
const MORNINGS = 60;

test(`${MORNINGS} mornings of lost networks, reloads, second tabs and jumping clocks lose and double nothing`, async () => {
  let entered = 0;
  for (let seed = 1; seed <= MORNINGS; seed++) {
    const { facts, wrong } = await driveMorning(seed);
    expect(wrong, `seed ${seed}`).toEqual([]);
    entered += facts.length;
  }
  // A morning in which nobody enters anything proves nothing.
  expect(entered).toBeGreaterThan(10 * MORNINGS);
}, 300_000);
