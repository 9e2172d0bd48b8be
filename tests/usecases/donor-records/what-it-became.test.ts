/** What a donor's film became: accepted and not collected, by month, by year; PDF and CSV of it. */
import { parse } from 'csv-parse/sync';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { closeStore, inTransaction, type Store } from '../../../src/store/db.ts';
import { saveProduct } from '../../../src/store/products.ts';
import { recordWeighIn } from '../../../src/store/weigh-ins.ts';
import { statementCsv, transfersCsv } from '../../../src/usecases/donor-records/record-csv.ts';
import { whatItBecame } from '../../../src/usecases/donor-records/what-it-became.ts';
import { yearRecord } from '../../../src/usecases/donor-records/year-record.ts';
import { learnFills } from '../../../src/usecases/learn-fills.ts';
import { recordPdf } from '../../../src/web/donor/record-pdf.ts';
import { sayIn } from '../../../src/web/messages/say.ts';
import { aWeighIn, smallStore } from '../../fixtures/small-store.ts';

const NOW_AT = Date.parse('2026-06-20T08:00:00Z') / 1000;
const DAY_S = 86_400;
let store: Store;
beforeEach(() => {
  store = smallStore();
  inTransaction(store, (tx) => {
    const at = NOW_AT - 5 * DAY_S;
    recordWeighIn(tx, aWeighIn('w1', { at, netKg: null, bags: 5, rejectedKg: 1, method: 'bag-count' }));
    recordWeighIn(tx, aWeighIn('w2', { at: at - 30 * DAY_S, netKg: 12 }));
    recordWeighIn(
      tx,
      aWeighIn('w3', { at: at - 370 * DAY_S, netKg: 20, rejectedKg: 2, rejectReason: 'food' }),
    );
    saveProduct(tx, {
      id: 'p9',
      key: 'p9',
      name: 'Kneeler',
      filmKgPerUnit: 0.9,
      yieldShare: 0.95,
      offCutReturnShare: 0,
      gradeShares: { 'ldpe-clear': 1 },
    });
  });
});
afterEach(() => closeStore(store));
const became = () => whatItBecame(store, 'd1', learnFills(store), { zone: 'Europe/Vienna', nowAt: NOW_AT });

test('bags count by their mass, and are told apart from what was weighed', () => {
  const { months, sum } = became();
  // A bag of this workshop is 4.2 kg: 5 × 4.2 = 21 kg, of which 1 kg was thrown out.
  expect(months).toHaveLength(12);
  expect(months.at(-1)).toMatchObject({ month: '2026-06', pickups: 1, rejectedKg: 1 });
  expect(months.at(-1)!.collectedKg).toBeCloseTo(21, 6);
  expect(months.at(-1)!.estimatedKg).toBeCloseTo(21, 6);
  // June of the year before: 20 kg of which 2 kg were thrown out.
  expect(months.at(-1)!.yearBeforeKg).toBeCloseTo(18, 6);
  expect(months.at(-2)).toMatchObject({ collectedKg: 12, estimatedKg: 0, yearBeforeKg: 0 });
  // Diverted is what was accepted (Decision (EU) 2019/665: input to recycling): 21 − 1 + 12 = 32 kg.
  expect(sum.acceptedKg).toBeCloseTo(32, 6);
});

test('it is told in whole products of the recipe, each alone', () => {
  // 32 kg / 0.9 kg = 35.6.
  expect(became().products).toContainEqual({ name: 'Kneeler', units: 35 });
});

test('a year before that was only partly known is not compared with', () => {
  expect(became().yearBefore).toBeUndefined();
  inTransaction(store, (tx) => recordWeighIn(tx, aWeighIn('w0', { at: NOW_AT - 715 * DAY_S, netKg: 7 })));
  // 7 kg in July 2024 and 18 kg in June 2025, both before their own 20 June.
  expect(became().yearBefore?.acceptedKg).toBeCloseTo(25, 6);
});

describe('the record of a year', () => {
  const record = (year: number) => yearRecord(store, 'd1', year, NOW_AT)!;
  test('balances: collected is accepted and thrown out, by month and by collection', () => {
    const { sum, months, transfers } = record(2026);
    expect(sum.collectedKg - sum.rejectedKg - sum.acceptedKg).toBeCloseTo(0, 9);
    for (const of of ['collectedKg', 'acceptedKg', 'rejectedKg'] as const) {
      expect(months.reduce((total, m) => total + m[of], 0)).toBeCloseTo(sum[of], 9);
      expect(transfers.reduce((total, t) => total + t[of], 0)).toBeCloseTo(sum[of], 9);
    }
    expect(yearRecord(store, 'd1', 2024, NOW_AT)).toBeUndefined();
    expect(yearRecord(store, 'nobody', 2026, NOW_AT)).toBeUndefined();
  });

  test('as CSV it reads back (csv-parse), with times that carry their offset (RFC 3339)', () => {
    const rows = parse(transfersCsv(record(2025)), { columns: true }) as Record<string, string>[];
    expect(rows).toMatchObject([
      {
        collected_kg: '20.000',
        rejected_kg: '2.000',
        reject_reason: 'food',
        accepted_kg: '18.000',
        method: 'scale',
      },
    ]);
    // 10 June 2025 in Vienna is summer time, two hours ahead of UTC (Directive 2000/84/EC).
    expect(rows[0]!['collected_at']).toBe('2025-06-10T10:00:00+02:00');
    const months = parse(statementCsv(record(2025)), { columns: true }) as Record<string, string>[];
    expect(months).toHaveLength(13);
    expect(months.at(-1)).toMatchObject({ month: 'year', collections: '1', accepted_kg: '18.000' });
  });

  test.each(['en', 'de'] as const)(
    'as PDF in %s has a title, its language and a structure (ISO 14289-1, 7.1, 7.2)',
    async (language) => {
      const say = sayIn(language);
      const bytes = Buffer.from(await recordPdf(record(2026), say));
      const text = bytes.toString('latin1');
      // Truth only: a failure must not print a binary file.
      for (const part of [
        '%PDF-1.7',
        `/Lang (${language})`,
        '/DisplayDocTitle true',
        '/Marked true',
        '/S /H1',
        '/S /Table',
        '/S /TH',
        '/Title',
        // The face is inside, in part: nothing hangs on what the reader has installed.
        '/FontFile2',
      ])
        expect(text.includes(part), part).toBe(true);
      expect(bytes.length).toBeLessThan(120_000);
    },
  );
});
