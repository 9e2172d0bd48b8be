/** A month in which bags were counted and nothing weighed is not a month without film. */
import { expect, test } from 'vitest';
import { closeStore, inTransaction } from '../../../src/store/db.ts';
import { recordWeighIn } from '../../../src/store/weigh-ins.ts';
import { MonthTable } from '../../../src/web/donor/month-table.tsx';
import { readDonor } from '../../../src/web/donor/read-donor.ts';
import { plainSpaces } from '../../../src/web/shared/format.ts';
import { aWeighIn, smallStore } from '../../fixtures/small-store.ts';

test('bags count by their mass, and the table says that it is about', () => {
  const store = smallStore();
  const nowAt = Date.parse('2026-06-20T08:00:00Z') / 1000;
  inTransaction(store, (tx) => {
    const at = nowAt - 5 * 86_400;
    recordWeighIn(tx, aWeighIn('w1', { at, netKg: null, bags: 5, rejectedKg: 1, method: 'bag-count' }));
    recordWeighIn(tx, aWeighIn('w2', { at: at - 30 * 86_400, netKg: 12 }));
  });
  const { months } = readDonor(store, 'd1', nowAt)!.sites[0]!;
  // A bag of this workshop is 4.2 kg: 5 × 4.2 = 21 kg, of which 1 kg was thrown out.
  expect(months.at(-1)).toMatchObject({ month: '2026-06', pickups: 1, rejectedKg: 1 });
  expect(months.at(-1)!.collectedKg).toBeCloseTo(21, 6);
  expect(months.at(-1)!.estimatedKg).toBeCloseTo(21, 6);
  expect(months.at(-2)).toMatchObject({ collectedKg: 12, estimatedKg: 0 });
  const text = plainSpaces(String(MonthTable({ months, nowMonth: '2026-06' }))).replaceAll(/<[^>]+>/g, ' ');
  expect(text).toMatch(/About\s+33 kg|About\s+32 kg/);
  expect(text).toContain('about 21 kg');
  expect(text).toContain('bags were counted there, not weighed');
  closeStore(store);
});
