/** Vans, drivers and shifts are kept: nothing twice, nobody in two vans at once. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { closeStore } from '../../src/store/db.ts';
import { listDrivers } from '../../src/store/drivers.ts';
import { lastSeq } from '../../src/store/journal.ts';
import { getShift, listShiftsBetween } from '../../src/store/shifts.ts';
import { getVan, listVans } from '../../src/store/vans.ts';
import { arrangeShifts, changeShift } from '../../src/usecases/arrange-shifts.ts';
import { isCheckDue, keepDriver, keepVan } from '../../src/usecases/keep-fleet.ts';
import { publishedStore } from '../fixtures/published-store.ts';

let world: ReturnType<typeof publishedStore>;
beforeEach(() => {
  world = publishedStore();
});
afterEach(() => closeStore(world.store));

const actor = 'test';
const lark = {
  name: 'Lark',
  payloadKg: 600.25,
  loadSpaceL: 5000,
  costMicrosPerKm: 400_000,
  checkDueDay: '2027-03-31',
};

describe('a van', () => {
  test('comes in under a key of its own, and is described anew without losing it', () => {
    const made = keepVan(world.context, { facts: lark, actor });
    if (!made.ok) throw new Error(made.refusal.kind);
    expect(getVan(world.store, made.value.id)).toMatchObject({ ...lark, key: 'lark', offRoadFromAt: null });
    keepVan(world.context, { id: made.value.id, facts: { ...lark, name: 'Tall lark' }, actor });
    expect(getVan(world.store, made.value.id)).toMatchObject({
      key: 'lark',
      name: 'Tall lark',
      payloadKg: 600.25,
    });
  });

  test('the same again writes nothing', () => {
    const made = keepVan(world.context, { facts: lark, actor });
    if (!made.ok) throw new Error(made.refusal.kind);
    const seq = lastSeq(world.store);
    expect(keepVan(world.context, { id: made.value.id, facts: lark, actor }).ok).toBe(true);
    expect(lastSeq(world.store)).toBe(seq);
  });

  test('two of one name could not be told apart', () => {
    keepVan(world.context, { facts: lark, actor });
    const count = listVans(world.store).length;
    expect(keepVan(world.context, { facts: { ...lark, name: ' LARK ' }, actor })).toEqual({
      ok: false,
      refusal: { kind: 'name-taken' },
    });
    expect(listVans(world.store)).toHaveLength(count);
  });

  test('its check is due on the day itself, not before', () => {
    expect(isCheckDue(lark, '2027-03-30')).toBe(false);
    expect(isCheckDue(lark, '2027-03-31')).toBe(true);
    expect(isCheckDue({ checkDueDay: null }, '2099-01-01')).toBe(false);
  });
});

test('names without letters of a key still get one, and never another’s', () => {
  for (const name of ['Åke Öst', 'Ake Ost', '李'])
    keepDriver(world.context, { facts: { name, email: '', costMicrosPerHour: 1 }, actor });
  expect(listDrivers(world.store).map(({ key }) => key)).toEqual(
    expect.arrayContaining(['a-ke-o-st', 'ake-ost', 'one']),
  );
});

describe('shifts', () => {
  const hours = { vanId: 'v1', driverId: 'p1', startsMinute: 480, endsMinute: 900 };
  const arrange = (over: object = {}) =>
    arrangeShifts(world.context, {
      factId: 'f1',
      days: ['2026-07-01', '2026-07-02'],
      ...hours,
      actor,
      ...over,
    });
  const on = (day: string) => listShiftsBetween(world.store, day, day);

  test('are arranged for all of the days', () => {
    expect(arrange().ok).toBe(true);
    expect(on('2026-07-01')).toMatchObject([hours]);
    expect(on('2026-07-02')).toMatchObject([hours]);
  });

  test('the form sent twice arranges once', () => {
    const first = arrange();
    const seq = lastSeq(world.store);
    expect(arrange()).toEqual(first);
    expect(lastSeq(world.store)).toBe(seq);
    expect(on('2026-07-01')).toHaveLength(1);
  });

  test('where one day is taken, none is arranged', () => {
    arrange({ days: ['2026-07-02'] });
    const other = keepVan(world.context, { facts: lark, actor });
    const again = arrange({ factId: 'f2', vanId: other.ok ? other.value.id : '' });
    expect(again).toMatchObject({
      ok: false,
      refusal: { kind: 'shift-in-the-way', who: 'driver', other: { day: '2026-07-02' } },
    });
    expect(on('2026-07-01')).toHaveLength(0);
  });

  test('one after the other on one day is no conflict', () => {
    arrange({ days: ['2026-07-02'] });
    expect(arrange({ factId: 'f2', days: ['2026-07-02'], startsMinute: 900, endsMinute: 1000 }).ok).toBe(
      true,
    );
  });

  test.each([
    [{ endsMinute: 480 }, 'ends-before-it-starts'],
    [{ vanId: 'none' }, 'van-not-found'],
    [{ driverId: 'none' }, 'driver-not-found'],
    [{ days: [] }, 'no-days'],
    [{ days: ['2020-01-01'] }, 'day-over'],
  ])('%j is refused as %s', (over, kind) => {
    expect(arrange(over)).toMatchObject({ ok: false, refusal: { kind } });
  });

  test('other hours stay the same shift', () => {
    const made = arrange();
    if (!made.ok) throw new Error(made.refusal.kind);
    const shiftId = made.value.shiftIds[0]!;
    const changed = changeShift(world.context, { shiftId, ...hours, endsMinute: 960, actor });
    expect(changed).toEqual({ ok: true, value: { shiftId } });
    expect(getShift(world.store, shiftId)).toMatchObject({ ...hours, endsMinute: 960 });
  });

  test('another driver is another shift, and the old one is called off', () => {
    const made = arrange();
    const bo = keepDriver(world.context, { facts: { name: 'Bo', email: '', costMicrosPerHour: 1 }, actor });
    if (!made.ok || !bo.ok) throw new Error('the fixture changed');
    const shiftId = made.value.shiftIds[0]!;
    const changed = changeShift(world.context, { shiftId, ...hours, driverId: bo.value.id, actor });
    if (!changed.ok) throw new Error(changed.refusal.kind);
    expect(changed.value.shiftId).not.toBe(shiftId);
    expect(getShift(world.store, shiftId)?.cancelledAt).toBe(world.context.now());
    expect(on('2026-07-01')).toMatchObject([{ driverId: bo.value.id, vanId: 'v1' }]);
    expect(changeShift(world.context, { shiftId, ...hours, actor })).toMatchObject({
      ok: false,
      refusal: { kind: 'shift-not-found' },
    });
  });

  test('a shift whose round is on the road is not changed under its driver', () => {
    const { shiftId } = world.first;
    expect(changeShift(world.context, { shiftId, ...hours, actor })).toMatchObject({
      ok: false,
      refusal: { kind: 'round-on-the-road' },
    });
  });
});
