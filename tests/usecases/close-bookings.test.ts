/** A pickup that was asked for closes the booking, whoever tells of it; any other pickup does not. */
import { expect, test } from 'vitest';
import { getBooking, recordBooking } from '../../src/store/bookings.ts';
import { closeStore, inTransaction } from '../../src/store/db.ts';
import { importRows } from '../../src/usecases/import-table.ts';
import { recordWeighIn } from '../../src/usecases/record-weigh-in.ts';
import { smallStore } from '../fixtures/small-store.ts';

const at = (text: string): number => Date.parse(text) / 1000;
// Vienna is two hours ahead of UTC in June: the window ends at 16:00 there.
const FROM = at('2026-06-16T08:00:00Z');
const UNTIL = at('2026-06-18T14:00:00Z');

function stateAfter(pickedUpAt: number, by: 'form' | 'file'): string {
  const store = smallStore();
  let ids = 0;
  const context = { store, now: () => at('2026-07-01T08:00:00Z'), newId: () => `new-${++ids}` };
  inTransaction(store, (tx) =>
    recordBooking(tx, {
      id: 'b1',
      siteId: 's1',
      state: 'waiting',
      fromAt: FROM,
      untilAt: UNTIL,
      surgeId: null,
      remarks: '',
      hazards: '',
      requestedAt: FROM - 86_400,
      requestedBy: 'donor:d1',
      idempotencyKey: null,
    }),
  );
  if (by === 'form')
    recordWeighIn(context, {
      factId: 'fact-1',
      siteId: 's1',
      at: pickedUpAt,
      netKg: 20,
      foundFull: false,
      rejectedKg: 0,
      grades: [],
      note: '',
      recordedBy: 'test',
    });
  else {
    const cells = { site: 'key-s1', at: new Date(pickedUpAt * 1000).toISOString(), net_kg: '20' };
    const report = importRows(context, 'weigh-ins', [{ line: 1, cells }], { dryRun: false, actor: 'test' });
    expect(report.faults).toEqual([]);
  }
  const { state } = getBooking(store, 'b1')!;
  closeStore(store);
  return state;
}

test.each<[string, string, string]>([
  ['before the window', '2026-06-16T07:59:00Z', 'waiting'],
  ['as it opens', '2026-06-16T08:00:00Z', 'done'],
  ['late, but on its last day', '2026-06-18T21:59:00Z', 'done'],
  ['on the day after', '2026-06-18T22:00:00Z', 'waiting'],
])('a pickup %s: %s', (_, when, state) => {
  expect(stateAfter(at(when), 'form')).toBe(state);
  expect(stateAfter(at(when), 'file')).toBe(state);
});

test('a file may not tell of a pickup more than a quarter of an hour ahead', () => {
  const store = smallStore();
  const now = at('2026-06-16T08:00:00Z');
  const context = { store, now: () => now, newId: () => 'new' };
  const told = (aheadS: number) =>
    importRows(
      context,
      'weigh-ins',
      [
        {
          line: 1,
          cells: { site: 'key-s1', at: new Date((now + aheadS) * 1000).toISOString(), net_kg: '9' },
        },
      ],
      { dryRun: true, actor: 'test' },
    ).faults.map(({ column }) => column);
  expect(told(900)).toEqual([]);
  expect(told(901)).toEqual(['at']);
  closeStore(store);
});
