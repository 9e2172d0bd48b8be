/** Whom the planner counts on to call: by hand, and over a real database. */
import { afterEach, describe, expect, test } from 'vitest';
import { closeStore, inTransaction, type Store } from '../../src/store/db.ts';
import { countCalls, recordFillReport } from '../../src/store/fill-reports.ts';
import { listSites, saveSite } from '../../src/store/sites.ts';
import { correctWeighIn, getWeighIn, recordWeighIn } from '../../src/store/weigh-ins.ts';
import { callsOf, learnCalls } from '../../src/usecases/learn-calls.ts';
import { aSite, aWeighIn, smallStore } from '../fixtures/small-store.ts';

const USUAL = { reliability: 0.6, fromShare: 0.8, premiumMicros: 6_000_000 };

describe('callsOf', () => {
  test('a donor who can be reached starts at the workshop’s figure', () => {
    expect(callsOf(USUAL, { isReachable: true, calls: 0, silent: 0 }).counted).toEqual(USUAL);
  });
  test('its own record speaks: (4 × 0.6 + 3) / (4 + 3 + 2) = 0.6', () => {
    expect(callsOf(USUAL, { isReachable: true, calls: 3, silent: 2 }).counted?.reliability).toBeCloseTo(0.6);
  });
  test('six times found full without a word: 2.4 / 10', () => {
    expect(callsOf(USUAL, { isReachable: true, calls: 0, silent: 6 }).counted?.reliability).toBeCloseTo(0.24);
  });
  test('nobody to reach and never a word: nothing is counted on; one call is enough', () => {
    expect(callsOf(USUAL, { isReachable: false, calls: 0, silent: 1 }).counted).toBeUndefined();
    expect(callsOf(USUAL, { isReachable: false, calls: 1, silent: 0 }).counted?.reliability).toBeCloseTo(
      0.68,
    );
  });
  test('a workshop that counts on nobody counts on nobody', () => {
    expect(
      callsOf({ ...USUAL, reliability: 0 }, { isReachable: true, calls: 9, silent: 0 }).counted,
    ).toBeUndefined();
  });
});

test('silence is heard of who called three times', () => {
  const isHeard = (calls: number): boolean =>
    callsOf(USUAL, { isReachable: true, calls, silent: 9 }).isSilenceHeard;
  expect([0, 2, 3].map(isHeard)).toEqual([false, false, true]);
});

describe('over a database', () => {
  let store: Store;
  afterEach(() => closeStore(store));

  const report = (id: string, at: number, fraction = 0.9) =>
    inTransaction(store, (tx) =>
      recordFillReport(tx, { id, siteId: 's1', at, fraction, reportedBy: 'donor:d1' }),
    );
  const found = (id: string, at: number, over = {}) =>
    inTransaction(store, (tx) => recordWeighIn(tx, aWeighIn(id, { at, foundFull: true, ...over })));

  test('reports before pickups are calls, one a pickup; found full without one is silence', () => {
    store = smallStore();
    found('before-the-register', 500); // the site was registered at 1,000
    report('r1', 2_000);
    report('r2', 2_500); // the same pickup follows
    found('w1', 3_000);
    found('w2', 4_000);
    found('w3', 5_000, { foundFull: false });
    report('half', 3_500, 0.5); // says how it stands, and calls nobody
    report('r3', 6_000); // nobody has come yet
    expect(countCalls(store, 0)).toEqual(new Map([['s1', { calls: 2, silent: 1 }]]));
    expect(countCalls(store, 3_500)).toEqual(new Map([['s1', { calls: 1, silent: 1 }]]));
  });

  test('a corrected weigh-in counts as it stands now', () => {
    store = smallStore();
    found('w1', 3_000);
    inTransaction(store, (tx) => correctWeighIn(tx, getWeighIn(tx, 'w1')!, aWeighIn('w2', { at: 3_000 })));
    expect(countCalls(store, 0)).toEqual(new Map());
  });

  test('who can be reached is read from the register', () => {
    store = smallStore();
    inTransaction(store, (tx) =>
      saveSite(tx, aSite('s2', { contacts: [{ name: 'Ada', phone: '1', email: '' }] })),
    );
    const calls = learnCalls(store, listSites(store), USUAL, 10_000);
    expect(calls.get('s1')?.counted).toBeUndefined();
    expect(calls.get('s2')?.counted).toEqual(USUAL);
  });
});
