/** A driver's link for one shift: whom it lets in, and how long. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { shiftSpan } from '../../src/core/calendar/shift.ts';
import { inTransaction } from '../../src/store/db.ts';
import { cancelShift, getShift } from '../../src/store/shifts.ts';
import { createShiftLink, enter, findSession, revokeLink } from '../../src/usecases/access.ts';
import { type LongRound, openLongRound } from '../fixtures/long-round.ts';

let server: LongRound;
beforeEach(() => {
  server = openLongRound(2);
});
afterEach(() => server.close());
const endsAt = () => shiftSpan('Europe/Vienna', getShift(server.context.store, 'h1')!).untilAt;
const made = () => {
  const link = createShiftLink(server.context, { shiftId: 'h1', actor: 'test' });
  if (!link.ok) throw new Error(link.refusal.kind);
  return link.value;
};

test('it and the sessions made from it end half a day after the shift, however late they were made', () => {
  const link = made();
  expect(link.expiresAt).toBe(endsAt() + 12 * 3600);
  server.setNow(endsAt() - 60);
  const session = enter(server.context, 'driver', link.token)!;
  expect(session.expiresAt).toBe(link.expiresAt);
  server.setNow(link.expiresAt - 1);
  expect(findSession(server.context, session.token)).toMatchObject({ role: 'driver', subjectId: 'p1' });
  server.setNow(link.expiresAt);
  expect(findSession(server.context, session.token)).toBeUndefined();
  expect(enter(server.context, 'driver', link.token)).toBeUndefined();
});

test('withdrawn, it shuts the phone out at once', () => {
  const link = made();
  const session = enter(server.context, 'driver', link.token)!;
  revokeLink(server.context, { hash: link.hash, actor: 'test' });
  expect(findSession(server.context, session.token)).toBeUndefined();
  expect(enter(server.context, 'driver', link.token)).toBeUndefined();
});

test('there is none for a shift that is over, called off or unknown', () => {
  const refusal = (shiftId: string) => {
    const link = createShiftLink(server.context, { shiftId, actor: 'test' });
    return link.ok ? undefined : link.refusal.kind;
  };
  expect(refusal('nothing')).toBe('shift-not-found');
  server.setNow(endsAt());
  expect(refusal('h1')).toBe('shift-over');
  inTransaction(server.context.store, (tx) => cancelShift(tx, 'h2', server.context.now()));
  expect(refusal('h2')).toBe('shift-not-found');
});
