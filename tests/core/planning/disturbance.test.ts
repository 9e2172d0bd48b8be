/**
 * One extra collection into a published week changes nobody else's day: the measure of issue 6 (median 0, never above 2
 * without the coordinator's consent). The numbers for larger towns, and for drafts: `npm run bench disturbance`.
 */
import { expect, test } from 'vitest';
import { bookOneByOne } from '../../fixtures/disturbance.ts';

test('sixty sites of a town book, each alone: what would publish itself moves nobody to another day', () => {
  const all = [...bookOneByOne(1, { sites: 60, every: 1, withDraft: false })];
  expect(all).toHaveLength(60);
  const placed = all.flatMap(({ byItself }) => byItself ?? []);
  expect(placed.length).toBeGreaterThan(50);
  expect(Math.max(...placed.map(({ others }) => others))).toBe(0);
  // Only what the checker accepts publishes itself.
  expect(placed.filter(({ faults }) => faults === 0).length).toBeGreaterThan(0.9 * placed.length);
});
