import fc from 'fast-check';
import { beforeEach, describe, expect, test } from 'vitest';
import { inTransaction, type Store } from '../../src/store/db.ts';
import { readEvidence, readLoadsWeighed } from '../../src/store/evidence.ts';
import { recordFillReport } from '../../src/store/fill-reports.ts';
import { recordLoadWeighIn } from '../../src/store/load-weigh-ins.ts';
import { recordMissedStop } from '../../src/store/missed-stops.ts';
import {
  correctWeighIn,
  currentWeighInsByKey,
  derivedWeighInKey,
  getWeighIn,
  iterateWeighIns,
  listWeighInsBetween,
  listWeighInsOfSite,
  recordWeighIn,
  type WeighIn,
} from '../../src/store/weigh-ins.ts';
import { aWeighIn, smallStore } from '../fixtures/small-store.ts';

let store: Store;
beforeEach(() => {
  store = smallStore();
});
const record = (...list: WeighIn[]) =>
  inTransaction(store, (tx) => {
    for (const one of list) recordWeighIn(tx, one);
  });
const correct = (previous: WeighIn, id: string, over: Partial<WeighIn>): WeighIn => {
  const { key: _k, replacesId: _r, ...next } = { ...previous, ...over, id };
  return inTransaction(store, (tx) => correctWeighIn(tx, previous, next));
};

test('comes back as it went in, grades and all, to the gram', () => {
  const one = aWeighIn('w1', {
    netKg: 12.346,
    grossKg: 22.346,
    tareKg: 10,
    bags: 3.5,
    foundFull: true,
    rejectedKg: 0.5,
    rejectReason: 'wet',
    leftKg: 4,
    gradesKg: { 'ldpe-black': 2.001, 'ldpe-clear': 10 },
    note: 'by the gate',
  });
  record(one);
  expect(getWeighIn(store, 'w1')).toEqual(one);
});

test('net is gross less tare to the gram, whatever the rounding of the three', () => {
  fc.assert(
    fc.property(
      // Tenths of a gram: about every fourth pair rounds apart.
      fc.integer({ min: 0, max: 5_000_000 }).map((n) => n / 10_000),
      fc.integer({ min: 0, max: 5_000_000 }).map((n) => n / 10_000),
      (tareKg, netKg) => {
        const fresh = smallStore();
        inTransaction(fresh, (tx) =>
          recordWeighIn(tx, aWeighIn('w', { tareKg, netKg, grossKg: tareKg + netKg })),
        );
        const kept = getWeighIn(fresh, 'w')!;
        expect(Math.round(kept.netKg! * 1000)).toBe(
          Math.round(kept.grossKg! * 1000) - Math.round(tareKg * 1000),
        );
        expect(Math.abs(kept.netKg! - netKg)).toBeLessThan(0.00101);
      },
    ),
    { numRuns: 40 },
  );
});

test('must tell something: net mass, bags or found full', () => {
  expect(() => record(aWeighIn('w', { netKg: null }))).toThrow(/weigh_ins_known/);
  record(aWeighIn('w', { netKg: null, foundFull: true }));
});

describe('corrections', () => {
  test('are new rows; the last one stands under the first one’s key', () => {
    const first = aWeighIn('w1');
    record(first, aWeighIn('other', { key: 'other', at: 9_000 }));
    const second = correct(first, 'w2', { netKg: 30 });
    const third = correct(second, 'w3', { netKg: 31, siteId: 's2' });
    expect(third).toMatchObject({ key: 'key-w1', replacesId: 'w2' });
    const current = currentWeighInsByKey(store, ['key-w1', 'other', 'unknown']);
    expect([...current].map(([key, w]) => [key, w.id, w.netKg]).sort()).toEqual([
      ['key-w1', 'w3', 31],
      ['other', 'other', 20],
    ]);
    expect(getWeighIn(store, 'w1')).toEqual(first);
    expect(listWeighInsOfSite(store, 's1').map((w) => w.id)).toEqual(['other']);
    expect(listWeighInsOfSite(store, 's2').map((w) => w.id)).toEqual(['w3']);
    expect(listWeighInsOfSite(store, 's1', { includeReplaced: true })).toHaveLength(3);
  });

  test('cannot fork: a row is replaced once', () => {
    const first = aWeighIn('w1');
    record(first);
    correct(first, 'w2', { netKg: 30 });
    expect(() => correct(first, 'w3', { netKg: 31 })).toThrow(/UNIQUE/);
  });

  test('of nothing, and keys that could be taken for one, are refused', () => {
    expect(() => correct(aWeighIn('nobody'), 'w2', {})).toThrow(/no weigh-in nobody/);
    expect(() => record(aWeighIn('w', { key: 'a~2' }))).toThrow(/~/);
  });
});

test('the key made from site and instant is the same whatever the zone of the machine', () => {
  expect(derivedWeighInKey('quay', Date.UTC(2026, 2, 29, 1, 0) / 1000)).toBe('quay@2026-03-29T01:00:00Z');
});

test('pages of any size go through each current weigh-in once, by site, time and key', () => {
  const rows = fc.array(
    fc.record({
      siteId: fc.constantFrom('s1', 's2'),
      at: fc.integer({ min: 1, max: 5 }),
      isCorrected: fc.boolean(),
    }),
    { maxLength: 25 },
  );
  fc.assert(
    fc.property(rows, fc.integer({ min: 1, max: 7 }), (list, pageRows) => {
      store = smallStore();
      list.forEach(({ siteId, at, isCorrected }, i) => {
        const one = aWeighIn(`w${i}`, { siteId, at });
        record(one);
        if (isCorrected) correct(one, `c${i}`, { netKg: 5 });
      });
      const seen = [...iterateWeighIns(store, pageRows)];
      const expected = list
        .map(({ siteId, at, isCorrected }, i) => ({
          siteId,
          at,
          id: `${isCorrected ? 'c' : 'w'}${i}`,
          key: `key-w${i}`,
        }))
        .sort((a, b) => a.siteId.localeCompare(b.siteId) || a.at - b.at || (a.key < b.key ? -1 : 1));
      expect(seen.map((w) => w.siteKey)).toEqual(seen.map((w) => `key-${w.siteId}`));
      expect(seen.map(({ siteId, at }) => [siteId, at])).toEqual(
        expected.map(({ siteId, at }) => [siteId, at]),
      );
      expect(seen.map((w) => w.id).sort()).toEqual(expected.map((w) => w.id).sort());
    }),
    { numRuns: 60 },
  );
});

test('a stretch of time has its beginning and not its end', () => {
  record(
    aWeighIn('a', { at: 99 }),
    aWeighIn('b', { at: 100 }),
    aWeighIn('c', { at: 199 }),
    aWeighIn('d', { at: 200 }),
  );
  expect(listWeighInsBetween(store, 100, 200).map((w) => w.id)).toEqual(['b', 'c']);
});

test('evidence is what stands, in the order it happened, with unknown things absent rather than nought', () => {
  inTransaction(store, (tx) => {
    recordLoadWeighIn(tx, {
      id: 'l1',
      key: 'load-1',
      at: 500,
      netKg: 88.8,
      roundId: null,
      recordedBy: 'test',
      recordedAt: 500,
    });
    recordFillReport(tx, { id: 'f1', siteId: 's1', at: 150, fraction: 1, reportedBy: 'donor' });
    recordMissedStop(tx, {
      id: 'm1',
      siteId: 's1',
      stopId: null,
      at: 120,
      reason: 'nothing-there',
      note: '',
      recordedBy: 'test',
      recordedAt: 120,
    });
  });
  const first = aWeighIn('w1', { at: 100 });
  record(
    first,
    aWeighIn('w3', { at: 300, netKg: null, bags: 4, loadWeighInId: 'l1', leftKg: 0, method: 'bag-count' }),
  );
  correct(first, 'w2', { netKg: 25, gradesKg: { 'ldpe-clear': 25 } });
  expect(readEvidence(store).get('s1')).toEqual([
    {
      kind: 'picked-up',
      id: 'w2',
      at: 100,
      netKg: 25,
      foundFull: false,
      method: 'scale',
      gradesKg: { 'ldpe-clear': 25 },
    },
    { kind: 'missed', id: 'm1', at: 120, reason: 'nothing-there' },
    { kind: 'reported', id: 'f1', at: 150, fraction: 1 },
    {
      kind: 'picked-up',
      id: 'w3',
      at: 300,
      bags: 4,
      foundFull: false,
      method: 'bag-count',
      loadId: 'l1',
      leftKg: 0,
    },
  ]);
  expect(
    readEvidence(store, 150)
      .get('s1')!
      .map((e) => e.id),
  ).toEqual(['f1', 'w3']);
  expect(readEvidence(store).has('s2')).toBe(false);
  expect(readLoadsWeighed(store)).toEqual([{ loadId: 'l1', at: 500, netKg: 88.8 }]);
});
