/** The outbox and the phone's clock by themselves: what goes next, what an answer makes of it, when it happened. */
import { describe, expect, test } from 'vitest';
import type { Fact, Said } from '../../../src/web/client/driver/fact.ts';
import {
  afterAnswer,
  backOffS,
  countsOf,
  mayLeave,
  nextToHandIn,
  setAside,
} from '../../../src/web/client/driver/outbox.ts';
import { happenedAt } from '../../../src/web/client/driver/phone-clock.ts';

const AMOUNTS = { netKg: 20, foundFull: false, rejectedKg: 0, grades: [], note: '' };
const weighIn = (stopId: string, roundId = 'r1'): Said => ({
  kind: 'weigh-in',
  roundId,
  stopId,
  siteId: `site-${stopId}`,
  amounts: AMOUNTS,
});
const fact = (seq: number, said: Said, over: Partial<Fact> = {}): Fact => ({
  id: `fact-${seq}`,
  seq,
  driverId: 'mara',
  said,
  phoneAt: 1000,
  known: { offsetS: 0, contactAt: 900 },
  state: 'waiting',
  ...over,
});
const NONE: ReadonlySet<string> = new Set();

describe('what goes next', () => {
  test('the first that was said, of the driver who is signed in', () => {
    const facts = [fact(3, weighIn('b')), fact(2, weighIn('a')), fact(1, weighIn('c'), { driverId: 'odo' })];
    expect(nextToHandIn(facts, 'mara', NONE)?.seq).toBe(2);
    expect(nextToHandIn(facts, 'odo', NONE)?.seq).toBe(1);
    expect(nextToHandIn([], 'mara', NONE)).toBeUndefined();
  });

  test('passes by what cannot go now, and with it what must come after it at the same stop', () => {
    const facts = [fact(1, weighIn('a')), fact(2, weighIn('a')), fact(3, weighIn('b'))];
    expect(nextToHandIn(facts, 'mara', new Set(['fact-1']))?.seq).toBe(3);
    expect(nextToHandIn(facts, 'mara', new Set(['fact-1', 'fact-3']))).toBeUndefined();
  });

  test('holds a load and the end of a round back until all that was said of the round before is in', () => {
    const load = fact(2, { kind: 'load', roundId: 'r1', netKg: 50 });
    const end = fact(3, { kind: 'mark', roundId: 'r1', mark: 'finished' });
    const passedBy = new Set(['fact-1']);
    expect(nextToHandIn([fact(1, weighIn('a')), load, end], 'mara', passedBy)).toBeUndefined();
    expect(nextToHandIn([fact(1, weighIn('a', 'r2')), load, end], 'mara', passedBy)?.seq).toBe(2);
  });

  test('does not wait for what was refused', () => {
    const facts = [fact(1, weighIn('a'), { state: 'refused' }), fact(2, weighIn('a'))];
    expect(nextToHandIn(facts, 'mara', NONE)?.seq).toBe(2);
  });
});

describe('an answer', () => {
  const waits = fact(1, weighIn('a'));
  const refusal = { kind: 'already-weighed', weighInId: 'theirs' };
  test('takes, refuses with its reason, or leaves it waiting', () => {
    expect(afterAnswer(waits, { kind: 'taken' }, 5000)).toMatchObject({
      state: 'handed-in',
      handedInAt: 5000,
    });
    expect(afterAnswer(waits, { kind: 'refused', refusal }, 5000)).toMatchObject({
      state: 'refused',
      refusal,
    });
    for (const kind of ['later', 'no-signal', 'signed-out'] as const)
      expect(afterAnswer(waits, { kind }, 5000)).toBe(waits);
  });

  test('changes nothing any more once it is settled; only a refused fact is set aside', () => {
    const taken = afterAnswer(waits, { kind: 'taken' }, 5000);
    expect(afterAnswer(taken, { kind: 'refused', refusal }, 6000)).toBe(taken);
    expect(setAside(waits)).toBe(waits);
    expect(setAside(afterAnswer(waits, { kind: 'refused', refusal }, 1)).state).toBe('set-aside');
  });
});

test('counts are of the driver; what others left waiting is counted apart', () => {
  const facts = [
    fact(1, weighIn('a'), { state: 'handed-in' }),
    fact(2, weighIn('b')),
    fact(3, weighIn('c'), { state: 'refused' }),
    fact(4, weighIn('d'), { state: 'set-aside' }),
    fact(5, weighIn('e'), { driverId: 'odo' }),
  ];
  expect(countsOf(facts, 'mara')).toEqual({ waiting: 1, handedIn: 1, refused: 1, others: 1 });
});

test('only what the server has may leave the phone, old first and all of it when room is short', () => {
  const DAY = 86_400;
  const facts = [
    fact(1, weighIn('a'), { state: 'handed-in', handedInAt: 0 }),
    fact(2, weighIn('b'), { state: 'handed-in', handedInAt: 9 * DAY }),
    fact(3, weighIn('c')),
    fact(4, weighIn('d'), { state: 'refused' }),
    fact(5, weighIn('e'), { state: 'set-aside' }),
  ];
  expect(mayLeave(facts, 10 * DAY, false).map(({ seq }) => seq)).toEqual([1]);
  expect(mayLeave(facts, 10 * DAY, true).map(({ seq }) => seq)).toEqual([1, 2]);
});

test('pauses double up to five minutes, a quarter either way', () => {
  expect([0, 1, 2, 3].map((n) => backOffS(n, 0.5))).toEqual([5, 10, 20, 40]);
  expect([backOffS(50, 0), backOffS(50, 1)]).toEqual([225, 375]);
});

describe('when it happened', () => {
  // Contact at 9:00 by the server; said at 10:00; handed in at 14:00. Hours as seconds, all of them true times.
  const H = 3600;
  const at = (phoneAt: number, offsetS: number, phoneNow: number) =>
    happenedAt({ phoneAt, known: { offsetS, contactAt: 9 * H } }, { phoneAt: phoneNow, serverAt: 14 * H });
  test.each([
    ['a right clock', 10 * H, 0, 14 * H],
    ['a clock three hours late all day', 7 * H, 3 * H, 11 * H],
    ['a clock five hours ahead all day', 15 * H, -5 * H, 19 * H],
    ['a late clock that was set right before handing in', 7 * H, 3 * H, 14 * H],
    ['a clock that lost two hours after the contact', 8 * H, 0, 12 * H],
    ['a clock that jumped five hours ahead after the contact', 15 * H, 0, 19 * H],
    ['a clock that fell back to 1970', H / 2, 0, H / 2 + 4 * H],
  ])('is told by %s', (_, phoneAt, offsetS, phoneNow) => {
    expect(at(phoneAt, offsetS, phoneNow)).toBe(10 * H);
  });

  test('is never in the future, nor before the last contact, whatever the clock says', () => {
    for (const phoneAt of [-1e9, 0, 8 * H, 11 * H, 30 * H, 1e10])
      for (const offsetS of [-9 * H, 0, 9 * H])
        for (const phoneNow of [0, 14 * H, 40 * H]) {
          const told = at(phoneAt, offsetS, phoneNow);
          expect(told).toBeGreaterThanOrEqual(9 * H - 60);
          expect(told).toBeLessThanOrEqual(14 * H);
        }
  });
});
