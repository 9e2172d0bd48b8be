/** Ledger, journal, links, bookings, words to people, backup: what is written once and must be found again. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { beforeEach, describe, expect, test } from 'vitest';
import {
  createAccessToken,
  deleteEndedSessions,
  findAccess,
  listAccess,
  revokeAccess,
  revokeAllAccess,
} from '../../src/store/access-tokens.ts';
import { backUpTo } from '../../src/store/backup.ts';
import {
  type Booking,
  getBooking,
  getBookingByIdempotencyKey,
  listBookingsAhead,
  recordBooking,
  setBookingState,
  setBookingWindow,
} from '../../src/store/bookings.ts';
import { closeStore, inTransaction, openStore, type Store } from '../../src/store/db.ts';
import { fileFaults, ledgerFaults } from '../../src/store/integrity.ts';
import {
  appendEntry,
  lastSeq,
  type NewEntry,
  readEntriesAbout,
  readEntriesAfter,
} from '../../src/store/journal.ts';
import { getCursor, setCursor } from '../../src/store/reactions.ts';
import { listSites } from '../../src/store/sites.ts';
import {
  currentStockKg,
  listKeyedMovements,
  moveStock,
  replaceKeyedMovement,
  type StockMovement,
  stockMovedByDay,
} from '../../src/store/stock.ts';
import { recordWeighIn } from '../../src/store/weigh-ins.ts';
import { aWeighIn, smallStore } from '../fixtures/small-store.ts';

let store: Store;
beforeEach(() => {
  store = smallStore();
});

let moved = 0;
const movement = (over: Partial<StockMovement>): StockMovement => ({
  id: `m${++moved}`,
  key: null,
  at: 0,
  day: '2026-06-15',
  grade: 'ldpe-clear',
  kind: 'delivery',
  kg: 1,
  weighInId: null,
  productId: null,
  note: '',
  ...over,
});

describe('stock', () => {
  test('is the exact sum of its movements, however many and however small', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -9_999, max: 9_999 }), { minLength: 1, maxLength: 60 }),
        (grams) => {
          const fresh = smallStore();
          inTransaction(fresh, (tx) => {
            for (const g of grams) moveStock(tx, movement({ kind: 'correction', kg: g / 1000 }));
          });
          const sum = grams.reduce((total, g) => total + g, 0);
          expect(currentStockKg(fresh).get('ldpe-clear')).toBe(sum / 1000);
        },
      ),
      { numRuns: 40 },
    );
  });

  test('of an earlier day leaves out what moved later; days tell what moved by kind', () => {
    inTransaction(store, (tx) => {
      moveStock(tx, movement({ kg: 0.1 }));
      moveStock(tx, movement({ kg: 0.2 }));
      moveStock(tx, movement({ kg: 5, grade: 'ldpe-black', day: '2026-06-16' }));
      moveStock(tx, movement({ kg: -0.05, kind: 'sold', day: '2026-06-17' }));
    });
    expect(currentStockKg(store, '2026-06-15')).toEqual(new Map([['ldpe-clear', 0.3]]));
    expect(currentStockKg(store)).toEqual(
      new Map([
        ['ldpe-black', 5],
        ['ldpe-clear', 0.25],
      ]),
    );
    expect(stockMovedByDay(store, '2026-06-15', '2026-06-16')).toEqual([
      { day: '2026-06-15', grade: 'ldpe-clear', kind: 'delivery', kg: 0.3 },
      { day: '2026-06-16', grade: 'ldpe-black', kind: 'delivery', kg: 5 },
    ]);
  });

  test.each([
    [{ kind: 'production', kg: 1 }],
    [{ kind: 'delivery', kg: -1 }],
    [{ kind: 'opening', kg: -0.001 }],
    [{ kind: 'sold', kg: 1 }],
    [{ day: '15.06.2026' }],
    [{ grade: 'hdpe-green' }],
  ] as [Partial<StockMovement>][])('a movement %o is refused by the database', (over) => {
    expect(() => inTransaction(store, (tx) => moveStock(tx, movement(over)))).toThrow(/constraint/i);
  });

  test('kept by hand is replaced under its key; what follows from a weigh-in never is', () => {
    inTransaction(store, (tx) => {
      moveStock(tx, movement({ id: 'o', key: 'open', kind: 'opening', kg: 10 }));
      moveStock(tx, movement({}));
      replaceKeyedMovement(tx, movement({ id: 'o', key: 'open', kind: 'opening', kg: 12 }));
    });
    expect(listKeyedMovements(store).map(({ id, kg }) => [id, kg])).toEqual([['o', 12]]);
    expect(() => inTransaction(store, (tx) => replaceKeyedMovement(tx, movement({})))).toThrow(/no key/);
  });

  test('that does not agree with a weigh-in is found', () => {
    inTransaction(store, (tx) => {
      recordWeighIn(tx, aWeighIn('w1', { netKg: 20 }));
      moveStock(tx, movement({ kind: 'collected', kg: 19.999, weighInId: 'w1' }));
    });
    expect(ledgerFaults(store)).toEqual([{ weighInKey: 'key-w1', weighedKg: 20, bookedKg: 19.999 }]);
    inTransaction(store, (tx) => moveStock(tx, movement({ kind: 'collected', kg: 0.001, weighInId: 'w1' })));
    expect(ledgerFaults(store)).toEqual([]);
  });
});

describe('the journal', () => {
  const entry = (subject: string): NewEntry => ({
    at: 1,
    kind: 'workshop-imported',
    subject,
    actor: 'test',
    facts: { name: 'ä' },
  });

  test('is read in the order it was written, from a cursor, and by subject', () => {
    const seqs = inTransaction(store, (tx) =>
      ['site:s1', 'site:s2', 'site:s1'].map((subject) => appendEntry(tx, entry(subject))),
    );
    expect(lastSeq(store)).toBe(seqs[2]);
    expect(readEntriesAfter(store, 0).map((e) => e.seq)).toEqual(seqs);
    expect(readEntriesAfter(store, seqs[0]!, 1)).toEqual([{ ...entry('site:s2'), seq: seqs[1] }]);
    expect(readEntriesAbout(store, 'site:s1').map((e) => e.seq)).toEqual([seqs[2], seqs[0]]);
    expect(readEntriesAbout(store, 'site:s1', 'entered')).toEqual([]);
  });

  test('never gives a place twice, even after the newest entry is gone', () => {
    const seq = inTransaction(store, (tx) => appendEntry(tx, entry('a')));
    store.$client.exec('DELETE FROM journal');
    expect(inTransaction(store, (tx) => appendEntry(tx, entry('b')))).toBeGreaterThan(seq);
  });

  test('loses the entry with the state it tells of when their transaction fails', () => {
    expect(() =>
      inTransaction(store, (tx) => {
        appendEntry(tx, entry('a'));
        throw new Error('no');
      }),
    ).toThrow('no');
    expect(lastSeq(store)).toBe(0);
  });

  test('takes no entry whose facts are not those of its kind', () => {
    const wrong = { ...entry('a'), facts: { nome: 'ä' } } as unknown as NewEntry;
    expect(() => inTransaction(store, (tx) => appendEntry(tx, wrong))).toThrow(/nome/);
    expect(lastSeq(store)).toBe(0);
  });

  test('is read by each reaction at its own pace', () => {
    expect(getCursor(store, 'a')).toBeUndefined();
    inTransaction(store, (tx) => {
      setCursor(tx, 'a', 3);
      setCursor(tx, 'b', 9);
      setCursor(tx, 'a', 4);
    });
    expect([getCursor(store, 'a'), getCursor(store, 'b')]).toEqual([4, 9]);
  });
});

describe('access', () => {
  const token = 'x'.repeat(22);
  const link = {
    role: 'driver',
    subjectId: 'p1',
    purpose: 'link',
    label: 'Ida',
    createdAt: 100,
    expiresAt: 200,
  } as const;
  const create = (over: Partial<Parameters<typeof createAccessToken>[2]> = {}, word = token) =>
    inTransaction(store, (tx) => createAccessToken(tx, word, { ...link, ...over }));

  test('opens for its role, from its creation to just before its end', () => {
    create();
    expect(findAccess(store, token, 100)).toMatchObject({ role: 'driver', subjectId: 'p1', label: 'Ida' });
    expect(findAccess(store, token, 199, { role: 'driver', purpose: 'link' })).toBeDefined();
    for (const [at, wanted] of [
      [99, {}],
      [200, {}],
      [150, { role: 'coordinator' }],
      [150, { purpose: 'session' }],
    ] as const)
      expect(findAccess(store, token, at, wanted), `${at} ${JSON.stringify(wanted)}`).toBeUndefined();
    expect(findAccess(store, `${token}x`, 150)).toBeUndefined();
  });

  test('leaves nothing in the file that could be used to get in', () => {
    create();
    const bytes = store.$client.serialize();
    expect(bytes.includes(Buffer.from(token))).toBe(false);
    // The hash names the row and opens nothing.
    const [row] = listAccess(store);
    expect(findAccess(store, row!.hash, 150)).toBeUndefined();
    expect(row!.hash).toHaveLength(43);
  });

  test('that could be guessed is refused', () => {
    expect(() => create({}, 'x'.repeat(21))).toThrow(/21 characters/);
  });

  test('ends at once when it is revoked, alone or with all of a person', () => {
    const { hash } = create();
    create({ purpose: 'session' }, 'y'.repeat(22));
    create({ subjectId: 'p2' }, 'z'.repeat(22));
    expect(inTransaction(store, (tx) => revokeAccess(tx, hash, 120))).toBe(1);
    expect(inTransaction(store, (tx) => revokeAccess(tx, hash, 130))).toBe(0);
    expect(findAccess(store, token, 110)).toBeUndefined();
    expect(inTransaction(store, (tx) => revokeAllAccess(tx, 'driver', 'p1', 140))).toBe(1);
    expect(findAccess(store, 'z'.repeat(22), 150)).toBeDefined();
    expect(
      listAccess(store, { subjectId: 'p1' })
        .map((row) => row.revokedAt)
        .sort(),
    ).toEqual([120, 140]);
  });

  test('of sessions that ended is swept away; links stay as a record', () => {
    create();
    create({ purpose: 'session' }, 'y'.repeat(22));
    create({ purpose: 'session', expiresAt: 900 }, 'z'.repeat(22));
    expect(inTransaction(store, (tx) => deleteEndedSessions(tx, 500))).toBe(1);
    expect(
      listAccess(store)
        .map((row) => row.purpose)
        .sort(),
    ).toEqual(['link', 'session']);
  });
});

test('bookings ahead are those whose window is not over, in the wanted states, by their beginning', () => {
  const booking = (id: string, over: Partial<Booking> = {}): Booking => ({
    id,
    siteId: 's1',
    state: 'waiting',
    fromAt: 100,
    untilAt: 200,
    surgeId: null,
    remarks: '',
    hazards: '',
    requestedAt: 50,
    requestedBy: 'donor',
    idempotencyKey: id,
    ...over,
  });
  inTransaction(store, (tx) => {
    recordBooking(tx, booking('b1', { fromAt: 150 }));
    recordBooking(tx, booking('b2'));
    recordBooking(tx, booking('b3', { state: 'cancelled' }));
    recordBooking(tx, booking('b4', { fromAt: 50, untilAt: 120 }));
  });
  expect(listBookingsAhead(store, ['waiting', 'confirmed'], 120).map((b) => b.id)).toEqual(['b2', 'b1']);
  inTransaction(store, (tx) => {
    setBookingState(tx, 'b2', 'done');
    setBookingWindow(tx, 'b1', 300, 400);
  });
  expect(listBookingsAhead(store, ['waiting', 'confirmed'], 120).map((b) => b.fromAt)).toEqual([300]);
  expect(getBookingByIdempotencyKey(store, 'b2')).toEqual(getBooking(store, 'b2'));
  expect(() =>
    inTransaction(store, (tx) => recordBooking(tx, booking('b5', { idempotencyKey: 'b2' }))),
  ).toThrow(/UNIQUE/);
});

test('a backup of a file in use opens as a whole Feedround database, and never overwrites one', () => {
  const folder = mkdtempSync(join(tmpdir(), 'feedround-backup-'));
  const live = smallStore(join(folder, 'live.db'));
  const copy = join(folder, 'copy.db');
  backUpTo(live, copy);
  inTransaction(live, (tx) => moveStock(tx, movement({ kg: 3 })));
  expect(() => backUpTo(live, copy)).toThrow(/exists already/);
  const opened = openStore(copy);
  expect(fileFaults(opened)).toEqual([]);
  expect(listSites(opened)).toEqual(listSites(live));
  expect(currentStockKg(opened).size).toBe(0);
  closeStore(opened);
  closeStore(live);
  rmSync(folder, { recursive: true });
});
