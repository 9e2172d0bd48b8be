/** An odd weigh-in from doubt to an answer, over a real database: said once, kept with its journal, never inherited. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { closeStore, inTransaction, type Store } from '../../src/store/db.ts';
import { readEvidence } from '../../src/store/evidence.ts';
import { lastSeq, readEntriesAbout } from '../../src/store/journal.ts';
import { getSite, saveSite } from '../../src/store/sites.ts';
import { currentStockKg } from '../../src/store/stock.ts';
import { getConfirmation } from '../../src/store/weigh-in-confirmations.ts';
import { getWeighIn } from '../../src/store/weigh-ins.ts';
import { listGrades, requireWorkshop } from '../../src/store/workshop.ts';
import { bookWeighIn } from '../../src/usecases/book-weigh-in.ts';
import { confirmWeighIn, doubtWeighInAgain } from '../../src/usecases/confirm-weigh-in.ts';
import type { Context } from '../../src/usecases/context.ts';
import { listDoubts } from '../../src/usecases/list-doubts.ts';
import { recordWeighIn } from '../../src/usecases/record-weigh-in.ts';
import { aSite, aWeighIn, smallStore } from '../fixtures/small-store.ts';

const WEEK_S = 7 * 86_400;
const START_AT = 1_770_000_000;
const NOW_AT = START_AT + 40 * WEEK_S;
const ACTOR = 'coordinator:Coordinator';

let store: Store;
let context: Context;
/** Twenty quiet weeks of about 30 kg and one of 310 kg: a slip of the decimal point. */
beforeEach(() => {
  store = smallStore();
  let ids = 0;
  context = { store, now: () => NOW_AT, newId: () => `new-${++ids}` };
  inTransaction(store, (tx) => {
    saveSite(tx, aSite('s1', { activeFromDay: '2026-01-26' }));
    const register = { workshop: requireWorkshop(tx), grades: listGrades(tx), site: getSite(tx, 's1')! };
    for (let week = 0; week < 22; week++) {
      const at = START_AT + week * WEEK_S;
      const netKg = week === 20 ? 310 : 28 + ((week * 7) % 5);
      bookWeighIn(
        tx,
        context,
        register,
        aWeighIn(`w${week}`, { key: `w${week}`, at, netKg, recordedAt: at }),
      );
    }
  });
});
afterEach(() => closeStore(store));

const isConfirmed = (id: string) =>
  readEvidence(store)
    .get('s1')!
    .some((one) => one.kind === 'picked-up' && one.id === id && one.isConfirmed === true);
const correction = (over: object = {}) => ({
  factId: 'corrected-1',
  replacesId: 'w20',
  siteId: 's1',
  at: START_AT + 20 * WEEK_S,
  netKg: 31,
  foundFull: false,
  rejectedKg: 0,
  grades: [],
  note: 'read 310 for 31.0',
  recordedBy: ACTOR,
  ...over,
});

test('what does not fit is listed with what was expected', () => {
  expect(listDoubts(store)).toMatchObject([{ weighInId: 'w20', siteId: 's1', kg: 310 }]);
  const [doubt] = listDoubts(store);
  expect(doubt!.lowKg).toBeGreaterThan(10);
  expect(doubt!.highKg).toBeLessThan(60);
  expect(doubt!.weight).toBeLessThan(0.5);
});

describe('a confirmation', () => {
  test('reaches the estimator, empties the list, and is one row and one entry however often it is said', () => {
    const answer = { ok: true, value: { weighInId: 'w20', siteId: 's1' } };
    expect(isConfirmed('w20')).toBe(false);
    expect(confirmWeighIn(context, { weighInId: 'w20', actor: ACTOR })).toEqual(answer);
    const seq = lastSeq(store);
    expect(confirmWeighIn(context, { weighInId: 'w20', actor: 'coordinator:other' })).toEqual(answer);
    expect(lastSeq(store)).toBe(seq);
    expect(getConfirmation(store, 'w20')).toEqual({
      weighInId: 'w20',
      confirmedBy: ACTOR,
      confirmedAt: NOW_AT,
    });
    expect(readEntriesAbout(store, 'site:s1', 'weigh-in-confirmed')).toMatchObject([
      { actor: ACTOR, at: NOW_AT, facts: { weighInId: 'w20', netKg: 310 } },
    ]);
    expect(isConfirmed('w20')).toBe(true);
    expect(listDoubts(store)).toEqual([]);
  });

  test('can be taken back, once', () => {
    confirmWeighIn(context, { weighInId: 'w20', actor: ACTOR });
    expect(doubtWeighInAgain(context, { weighInId: 'w20', actor: ACTOR }).ok).toBe(true);
    const seq = lastSeq(store);
    expect(doubtWeighInAgain(context, { weighInId: 'w20', actor: ACTOR }).ok).toBe(true);
    expect(lastSeq(store)).toBe(seq);
    expect(isConfirmed('w20')).toBe(false);
    expect(listDoubts(store)).toHaveLength(1);
  });

  test('does not carry over to a correction, and cannot be given to what was replaced', () => {
    confirmWeighIn(context, { weighInId: 'w20', actor: ACTOR });
    expect(recordWeighIn(context, correction({ netKg: 290 })).ok).toBe(true);
    expect(isConfirmed('corrected-1')).toBe(false);
    expect(listDoubts(store).map((doubt) => doubt.weighInId)).toEqual(['corrected-1']);
    expect(confirmWeighIn(context, { weighInId: 'w20', actor: ACTOR })).toEqual({
      ok: false,
      refusal: { kind: 'was-corrected', weighInId: 'corrected-1' },
    });
  });

  test('of nothing is refused', () => {
    expect(confirmWeighIn(context, { weighInId: 'nobody', actor: ACTOR })).toEqual({
      ok: false,
      refusal: { kind: 'weigh-in-not-found' },
    });
  });
});

describe('the coordinator’s correction', () => {
  const stockG = () => Math.round([...currentStockKg(store).values()].reduce((a, b) => a + b, 0) * 1000);

  test('moves the stock, keeps the old row, and twice is once', () => {
    const before = stockG();
    expect(recordWeighIn(context, correction())).toEqual({ ok: true, value: { weighInId: 'corrected-1' } });
    expect(recordWeighIn(context, correction()).ok).toBe(true);
    expect(stockG() - before).toBe(31_000 - 310_000);
    expect(getWeighIn(store, 'w20')).toMatchObject({ netKg: 310 });
    expect(listDoubts(store)).toEqual([]);
    expect(readEntriesAbout(store, 'site:s1', 'weigh-in-corrected')).toMatchObject([
      { actor: ACTOR, facts: { weighInId: 'corrected-1', replacesId: 'w20', netKg: 31 } },
    ]);
  });

  test('can say that it was at another site, with an entry at both', () => {
    expect(recordWeighIn(context, correction({ siteId: 's2', netKg: 310 })).ok).toBe(true);
    expect(getWeighIn(store, 'corrected-1')).toMatchObject({
      siteId: 's2',
      replacesId: 'w20',
      method: 'scale',
    });
    expect(readEntriesAbout(store, 'site:s1', 'weigh-in-moved-away')).toHaveLength(1);
    expect(readEntriesAbout(store, 'site:s2', 'weigh-in-corrected')).toHaveLength(1);
  });

  test('a driver cannot say that', () => {
    const driven = correction({ siteId: 's2', driverId: 'p1' });
    expect(recordWeighIn(context, driven)).toEqual({ ok: false, refusal: { kind: 'not-the-latest' } });
  });

  test('keeps how an unchanged mass was found, and what stayed behind unless told', () => {
    inTransaction(store, (tx) => {
      const register = { workshop: requireWorkshop(tx), grades: listGrades(tx), site: getSite(tx, 's1')! };
      const one = aWeighIn('split', {
        key: 'split',
        at: NOW_AT - 60,
        netKg: 12,
        leftKg: 5,
        method: 'apportioned',
      });
      bookWeighIn(tx, context, register, one);
    });
    const same = correction({ factId: 'c2', replacesId: 'split', at: NOW_AT - 60, netKg: 12, bags: 3 });
    recordWeighIn(context, same);
    expect(getWeighIn(store, 'c2')).toMatchObject({ method: 'apportioned', leftKg: 5, bags: 3 });
    recordWeighIn(context, { ...same, factId: 'c3', replacesId: 'c2', netKg: 13, leftKg: null });
    expect(getWeighIn(store, 'c3')).toMatchObject({ method: 'scale', leftKg: null });
  });

  test('a time more than a quarter of an hour ahead is refused', () => {
    expect(recordWeighIn(context, correction({ at: NOW_AT + 901 }))).toEqual({
      ok: false,
      refusal: { kind: 'still-to-come' },
    });
    expect(recordWeighIn(context, correction({ at: NOW_AT + 900 })).ok).toBe(true);
  });
});
