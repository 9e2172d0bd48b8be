/** Some of the two hundred shuffled days that `npm run bench scripted-day` lives through. */
import { expect, test } from 'vitest';
import { liveThrough, STEPS } from '../fixtures/scripted-day.ts';

test('thirty things happen in a day', () => {
  expect(STEPS).toHaveLength(30);
});

test.each([1, 2, 3, 4])(
  'day %i: whatever the order, nothing is sold twice, lost or forgotten',
  async (seed) => {
    const { broken, entries, plansChecked, confirmed } = await liveThrough(seed);
    expect(broken).toEqual([]);
    // The day was one: bookings, dangers and collections there were.
    expect(confirmed).toBeGreaterThan(0);
    expect(plansChecked).toBeGreaterThan(0);
    expect(entries.get('plan-in-danger')).toBeGreaterThan(0);
    // One asks for more than a van carries; how many others find no day left depends on the order.
    expect(entries.get('extra-collection-requested')).toBeGreaterThan(0);
    expect(entries.get('extra-collection-cancelled')).toBeGreaterThan(0);
  },
  120_000,
);
