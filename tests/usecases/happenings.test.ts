/** What can happen: each once however often it is told, refused with its reason, and every gram accounted for. */
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { dayStart } from '../../src/core/calendar/zone.ts';
import { shareOut } from '../../src/core/quantity/share-out.ts';
import { getBooking } from '../../src/store/bookings.ts';
import { closeStore } from '../../src/store/db.ts';
import { ledgerFaults } from '../../src/store/integrity.ts';
import { lastSeq, readEntriesAfter } from '../../src/store/journal.ts';
import { listProductionDays } from '../../src/store/production.ts';
import { marksOfRound } from '../../src/store/round-marks.ts';
import { getShift } from '../../src/store/shifts.ts';
import { currentStockKg } from '../../src/store/stock.ts';
import { getSurge } from '../../src/store/surges.ts';
import { getVan } from '../../src/store/vans.ts';
import { listWeighInsOfStops } from '../../src/store/weigh-ins.ts';
import { HAPPENING_KINDS, type HappeningKind } from '../../src/usecases/happened/kinds.ts';
import { tell } from '../../src/usecases/happened/tell.ts';
import { markRound } from '../../src/usecases/mark-round.ts';
import { recordWeighIn, type WeighInEntry } from '../../src/usecases/record-weigh-in.ts';
import { requestExtraCollection } from '../../src/usecases/request-extra-collection.ts';
import { runningRounds } from '../../src/usecases/running-rounds.ts';
import { weighLoad } from '../../src/usecases/weigh-load.ts';
import { DAY_START_AT, publishedStore } from '../fixtures/published-store.ts';

let world: ReturnType<typeof publishedStore>;
beforeEach(() => {
  world = publishedStore();
});
afterEach(() => closeStore(world.store));

const say = (kind: HappeningKind, sent: Record<string, unknown>, factId = 'fact-1') =>
  tell(world.context, kind, sent, { factId, actor: 'test' });
const refusalOf = (told: ReturnType<typeof say>) =>
  told.ok || told.refusal.kind !== 'refused' ? told : told.refusal.refusal;
/** Kinds of what the journal tells since, with subject. */
const since = (seq: number) =>
  readEntriesAfter(world.store, seq).map(({ kind, subject }) => `${kind} ${subject}`);
const stockKg = (grade: 'ldpe-clear' | 'ldpe-black') => currentStockKg(world.store).get(grade) ?? 0;
const local = (clock: string) => `2026-06-15T${clock}`;

describe('facts that cannot be read', () => {
  test('are all named, with what would be right', () => {
    const told = say('surge-announced', {
      site: 'nowhere',
      expected_bags: -1,
      starts_at: 'noon',
      colour: 'red',
    });
    expect(told).toMatchObject({
      ok: false,
      refusal: {
        kind: 'facts-unreadable',
        faults: {
          site: expect.stringContaining('"nowhere"'),
          colour: expect.stringContaining('site, event_kind'),
          event_kind: expect.stringMatching(/missing.*festival/),
          starts_at: expect.stringContaining('2026-06-15T07:30'),
          ends_at: expect.stringContaining('missing'),
          expected_bags: expect.stringContaining('0 to 10,000'),
        },
      },
    });
    expect(lastSeq(world.store)).toBe(1);
  });

  test('no kind takes nothing at all, and none throws on it', () => {
    for (const kind of HAPPENING_KINDS)
      expect(say(kind, {})).toMatchObject({ ok: false, refusal: { kind: 'facts-unreadable' } });
  });
});

describe('a surge', () => {
  const facts = {
    site: 'key-s1',
    event_kind: 'festival',
    starts_at: local('18:00'),
    ends_at: local('23:00'),
    expected_bags: 30,
  };

  test('is announced once, changed, and called off, each with its entry', () => {
    const seq = lastSeq(world.store);
    expect(say('surge-announced', facts)).toEqual({ ok: true, value: { id: 'fact-1' } });
    expect(say('surge-announced', facts)).toEqual({ ok: true, value: { id: 'fact-1' } });
    expect(getSurge(world.store, 'fact-1')).toMatchObject({
      siteId: 's1',
      expectedBags: 30,
      endsAt: DAY_START_AT + 23 * 3600,
    });
    const { site: _, ...rest } = facts;
    const changed = { ...rest, surge: 'fact-1', expected_bags: 45 };
    expect(say('surge-changed', changed).ok).toBe(true);
    expect(say('surge-changed', changed).ok).toBe(true);
    expect(getSurge(world.store, 'fact-1')!.expectedBags).toBe(45);
    expect(say('surge-cancelled', { surge: 'fact-1' }).ok).toBe(true);
    expect(say('surge-cancelled', { surge: 'fact-1' }).ok).toBe(true);
    expect(since(seq)).toEqual([
      'surge-announced site:s1',
      'surge-changed site:s1',
      'surge-cancelled site:s1',
    ]);
    expect(refusalOf(say('surge-changed', changed))).toEqual({ kind: 'surge-called-off' });
  });

  test('is refused when it ends before it begins, brings nothing, or its key says something else', () => {
    expect(refusalOf(say('surge-announced', { ...facts, ends_at: local('17:00') }))).toEqual({
      kind: 'ends-before-start',
    });
    expect(refusalOf(say('surge-announced', { ...facts, expected_bags: 0 }))).toEqual({
      kind: 'no-bags-expected',
    });
    say('surge-announced', facts);
    expect(refusalOf(say('surge-announced', { ...facts, expected_bags: 31 }))).toEqual({
      kind: 'fact-differs',
    });
  });

  test('of a booking changes with the booking only', () => {
    const made = requestExtraCollection(world.context, {
      factId: 'booked',
      siteId: 's1',
      eventKind: 'festival',
      eventEndsAt: DAY_START_AT + 86_400,
      expectedBags: 10,
      fromAt: DAY_START_AT + 86_400,
      untilAt: DAY_START_AT + 2 * 86_400,
      remarks: '',
      hazards: '',
      requestedBy: 'test',
    });
    const bookingId = made.ok ? made.value.bookingId : '';
    const surge = getBooking(world.store, bookingId)!.surgeId;
    expect(refusalOf(say('surge-cancelled', { surge }))).toEqual({
      kind: 'surge-of-booking',
      bookingId,
    });
  });
});

describe('a van off the road', () => {
  test('in the middle of its round names the round, and is off until it is put back', () => {
    // Ten in the morning; the round ended at ten to seven, so now it is six.
    world.setNow(DAY_START_AT + 6 * 3600);
    markRound(world.context, {
      factId: 'left',
      roundId: world.first.id,
      mark: 'started',
      at: DAY_START_AT + 5.6 * 3600,
      recordedBy: 'driver:p1',
    });
    const seq = lastSeq(world.store);
    expect(say('van-off-road', { van: 'van-1', reason: 'clutch' }).ok).toBe(true);
    expect(getVan(world.store, 'v1')!.offRoadFromAt).toBe(DAY_START_AT + 6 * 3600);
    expect(readEntriesAfter(world.store, seq)).toMatchObject([
      { kind: 'van-off-road', facts: { roundId: world.first.id, reason: 'clutch' } },
    ]);
    expect(say('van-off-road', { van: 'van-1', reason: 'clutch' }).ok).toBe(true);
    expect(refusalOf(say('van-off-road', { van: 'v1', reason: 'x', from_at: local('12:00') }))).toMatchObject(
      {
        kind: 'already-off-road',
      },
    );
    expect(say('van-back', { van: 'v1' }).ok).toBe(true);
    expect(say('van-back', { van: 'v1' }).ok).toBe(true);
    expect(since(seq)).toEqual(['van-off-road van:v1', 'van-back van:v1']);
    expect(getVan(world.store, 'v1')!.offRoadFromAt).toBeNull();
  });
});

describe('a driver away', () => {
  test('frees the shift, once, and takes it again', () => {
    const seq = lastSeq(world.store);
    expect(say('driver-away', { shift: 'shift-2', reason: 'ill' }).ok).toBe(true);
    expect(say('driver-away', { shift: 'h2' }).ok).toBe(true);
    expect(getShift(world.store, 'h2')!.cancelledAt).toBe(world.context.now());
    expect(say('driver-back', { shift: 'h2' }).ok).toBe(true);
    expect(say('driver-back', { shift: 'h2' }).ok).toBe(true);
    expect(getShift(world.store, 'h2')!.cancelledAt).toBeNull();
    expect(since(seq)).toEqual(['driver-away driver:p1', 'driver-back driver:p1']);
  });

  test('is refused for a shift that is over', () => {
    world.setNow(DAY_START_AT + 86_400);
    expect(refusalOf(say('driver-away', { shift: 'h1' }))).toEqual({
      kind: 'shift-over',
      endedAt: DAY_START_AT + 930 * 60,
    });
  });
});

describe('a round', () => {
  const mark = (kind: HappeningKind, factId: string, at?: string) =>
    say(kind, { round: world.first.id, ...(at ? { at } : {}) }, factId);

  test('starts, pauses, goes on and ends in that order only, each once', () => {
    expect(refusalOf(mark('round-paused', 'm0'))).toEqual({ kind: 'out-of-turn', last: null });
    const order = ['round-started', 'round-paused', 'round-resumed', 'round-finished'] as const;
    const seq = lastSeq(world.store);
    for (const kind of order) {
      expect(mark(kind, kind).ok).toBe(true);
      expect(mark(kind, kind).ok).toBe(true);
    }
    expect(marksOfRound(world.store, world.first.id).map((one) => one.mark)).toEqual([
      'started',
      'paused',
      'resumed',
      'finished',
    ]);
    expect(since(seq)).toEqual(order.map((kind) => `${kind} round:${world.first.id}`));
    // What was neither collected nor missed is named, for whoever must see to it.
    expect(readEntriesAfter(world.store, seq).at(-1)!.facts).toMatchObject({ openStopIds: world.stopIds });
    expect(refusalOf(mark('round-started', 'm9'))).toEqual({ kind: 'out-of-turn', last: 'finished' });
    expect(refusalOf(mark('round-finished', 'round-started'))).toEqual({ kind: 'fact-differs' });
  });

  test('that its driver started is on the road before its shift begins', () => {
    world.setNow(DAY_START_AT + 5 * 3600);
    expect(runningRounds(world.store, world.context.now()).size).toBe(0);
    mark('round-started', 'm1');
    expect([...runningRounds(world.store, world.context.now()).values()].map((r) => r.id)).toEqual([
      world.first.id,
    ]);
  });

  test('is not another driver’s to mark, nor anybody’s ahead of time', () => {
    const asked = { factId: 'm', roundId: world.first.id, mark: 'started' as const, recordedBy: 'x' };
    const { context } = world;
    expect(markRound(context, { ...asked, at: context.now(), driverId: 'other' })).toMatchObject({
      refusal: { kind: 'round-not-found' },
    });
    expect(markRound(context, { ...asked, at: context.now() + 3600 })).toMatchObject({
      refusal: { kind: 'still-to-come' },
    });
  });
});

describe('stock', () => {
  test('takes deliveries and take-backs, once each, on the day they came', () => {
    const seq = lastSeq(world.store);
    const brought = { grade: 'ldpe-clear', kg: 12.5, note: 'scouts', at: local('08:00') };
    for (let i = 0; i < 2; i++) {
      expect(say('film-delivered', brought, 'd1').ok).toBe(true);
      expect(say('take-back-received', { grade: 'ldpe-black', kg: 3 }, 't1').ok).toBe(true);
    }
    expect([stockKg('ldpe-clear'), stockKg('ldpe-black')]).toEqual([12.5, 3]);
    expect(since(seq)).toEqual(['film-delivered grade:ldpe-clear', 'take-back-received grade:ldpe-black']);
    expect(refusalOf(say('film-delivered', { ...brought, kg: 13 }, 'd1'))).toEqual({ kind: 'fact-differs' });
    expect(refusalOf(say('film-delivered', { ...brought, kg: 0 }, 'd2'))).toEqual({ kind: 'no-mass' });
    expect(refusalOf(say('film-delivered', { ...brought, grade: 'pp-warm' }, 'd3'))).toMatchObject({
      kind: 'grade-not-kept',
    });
  });

  test('is what was counted afterwards, and the difference stays in the ledger with its reason', () => {
    say('film-delivered', { grade: 'ldpe-clear', kg: 40 }, 'd1');
    const counted = { grade: 'ldpe-clear', counted_kg: 37.25, reason: 'counted on Monday' };
    expect(say('stock-counted', counted, 'c1').ok).toBe(true);
    expect(say('stock-counted', counted, 'c1').ok).toBe(true);
    expect(stockKg('ldpe-clear')).toBe(37.25);
    expect(refusalOf(say('stock-counted', counted, 'c2'))).toEqual({ kind: 'stock-agrees', stockKg: 37.25 });
    const spilt = { grade: 'ldpe-clear', change_kg: -40, reason: 'spilt' };
    expect(refusalOf(say('stock-corrected', spilt, 'c3'))).toEqual({
      kind: 'below-nothing',
      stockKg: 37.25,
    });
    expect(say('stock-corrected', { ...spilt, change_kg: -0.25 }, 'c4').ok).toBe(true);
    expect(stockKg('ldpe-clear')).toBe(37);
  });

  test('any deliveries, take-backs and corrections: the ledger is their sum to the gram, and never below nothing', () => {
    const moves = fc.array(
      fc.record({
        kind: fc.constantFrom('film-delivered', 'take-back-received', 'stock-corrected', 'stock-counted'),
        g: fc.integer({ min: -60_000, max: 60_000 }),
        again: fc.boolean(),
      }),
      { maxLength: 12 },
    );
    let ids = 0;
    fc.assert(
      fc.property(moves, (list) => {
        let expectedG = Math.round(stockKg('ldpe-clear') * 1000);
        for (const { kind, g, again } of list) {
          const kg = g / 1000;
          const film = { grade: 'ldpe-clear', kg: Math.abs(kg) };
          const why = { grade: 'ldpe-clear', reason: 'drawn' };
          const facts =
            kind === 'stock-corrected'
              ? { ...why, change_kg: kg }
              : kind === 'stock-counted'
                ? { ...why, counted_kg: Math.abs(kg) }
                : film;
          const id = `f${++ids}`;
          const told = say(kind, facts, id);
          if (again) expect(say(kind, facts, id).ok).toBe(told.ok);
          if (told.ok)
            expectedG =
              kind === 'stock-counted'
                ? Math.abs(g)
                : expectedG + (kind === 'stock-corrected' ? g : Math.abs(g));
          expect(Math.round(stockKg('ldpe-clear') * 1000)).toBe(expectedG);
          expect(expectedG).toBeGreaterThanOrEqual(0);
        }
      }),
      { seed: 6, numRuns: 25 },
    );
  });
});

describe('a production day', () => {
  test('is changed, not twice to the same, and not once it has been pressed', () => {
    const seq = lastSeq(world.store);
    const day = { product: 'kneeler', day: '2026-06-18', units: 24 };
    expect(say('production-day-changed', day).ok).toBe(true);
    expect(say('production-day-changed', day).ok).toBe(true);
    expect(since(seq)).toEqual(['production-day-changed product:k1']);
    const pressedAt = dayStart('Europe/Vienna', '2026-06-18') + 15 * 3600;
    world.setNow(pressedAt);
    say('film-delivered', { grade: 'ldpe-clear', kg: 60, note: '' });
    expect(say('production-day-pressed', { product: 'kneeler', units: 24 }).ok).toBe(true);
    expect(refusalOf(say('production-day-changed', { ...day, units: 0 }))).toEqual({
      kind: 'already-pressed',
      units: 24,
    });
    expect(listProductionDays(world.store)).toMatchObject([{ day: '2026-06-18', units: 24 }]);
  });
});

describe('units that were pressed', () => {
  // The recipe of the fixture: 2 kg of clear film a unit, yield 0.9, half of the off-cuts melted again.
  const press = (units: number, factId = 'press-1') =>
    tell(world.context, 'production-day-pressed', { product: 'kneeler', units }, { factId, actor: 'test' });

  test('take their film from the store, off-cuts come back, and the day is done: once', () => {
    say('film-delivered', { grade: 'ldpe-clear', kg: 100, note: '' });
    const [seq, before] = [lastSeq(world.store), stockKg('ldpe-clear')];
    expect(press(20).ok).toBe(true);
    // 20 x 2 kg = 40 kg in; a tenth, 4 kg, is cut off, half of that, 2 kg, comes back.
    expect(stockKg('ldpe-clear')).toBeCloseTo(before - 40 + 2, 9);
    expect(press(20).ok).toBe(true);
    expect(press(20, 'press-2').ok).toBe(true);
    expect(refusalOf(press(21, 'press-3'))).toEqual({ kind: 'already-pressed', units: 20 });
    expect(since(seq)).toEqual(['production-day-pressed product:k1']);
    expect(readEntriesAfter(world.store, seq)[0]!.facts).toEqual({
      day: '2026-06-15',
      units: 20,
      unitsPlanned: 0,
      usedKg: 40,
      offCutsKg: 2,
    });
    expect(stockKg('ldpe-clear')).toBeCloseTo(before - 38, 9);
    expect(listProductionDays(world.store)).toMatchObject([{ day: '2026-06-15', units: 20 }]);
  });

  test('are not more than there is film for, not none, and not yet to come', () => {
    const seq = lastSeq(world.store);
    expect(refusalOf(press(10_000))).toEqual({ kind: 'not-enough-film' });
    expect(refusalOf(press(0))).toEqual({ kind: 'nothing-pressed' });
    const tomorrow = new Date((world.context.now() + 86_400) * 1000).toISOString();
    expect(
      refusalOf(
        tell(
          world.context,
          'production-day-pressed',
          { product: 'kneeler', units: 1, at: tomorrow },
          { factId: 'press-4', actor: 'test' },
        ),
      ),
    ).toEqual({ kind: 'still-to-come' });
    expect(lastSeq(world.store)).toBe(seq);
  });
});

describe('a load weighed at unloading', () => {
  const at = DAY_START_AT + 7 * 3600;
  const handIn = (i: number, over: Partial<WeighInEntry>) =>
    recordWeighIn(world.context, {
      factId: `w${i}`,
      stopId: world.stopIds[i]!,
      at: at - 3600 + i,
      foundFull: false,
      rejectedKg: 0,
      grades: [],
      note: '',
      recordedBy: 'driver:p1',
      ...over,
    });
  const standing = () =>
    listWeighInsOfStops(world.store, world.stopIds).sort((a, b) => (a.siteId < b.siteId ? -1 : 1));
  const totalKg = () => stockKg('ldpe-clear') + stockKg('ldpe-black');

  test('leaves what was weighed, and gives the rest to what was counted: stock is the scale’s total', () => {
    handIn(0, { netKg: 20 });
    handIn(1, { bags: 6 });
    const seq = lastSeq(world.store);
    const load = { round: world.first.id, net_kg: 51.237, at: local('07:00') };
    expect(say('load-weighed', load, 'l1')).toEqual({ ok: true, value: { id: 'l1' } });
    expect(standing()).toMatchObject([
      { siteId: 's1', netKg: 20, method: 'scale', loadWeighInId: null },
      { siteId: 's2', netKg: 31.237, bags: 6, method: 'apportioned', loadWeighInId: 'l1' },
    ]);
    expect(totalKg()).toBeCloseTo(51.237, 9);
    expect(ledgerFaults(world.store)).toEqual([]);
    expect(since(seq)).toEqual(['weigh-in-corrected site:s2', `load-weighed round:${world.first.id}`]);
    const before = lastSeq(world.store);
    expect(say('load-weighed', load, 'l1').ok).toBe(true);
    expect(lastSeq(world.store)).toBe(before);
    expect(refusalOf(say('load-weighed', load, 'l2'))).toEqual({ kind: 'no-stops-in-load' });
  });

  test('is shared by bags, to the gram, whatever the total', () => {
    handIn(0, { bags: 4 });
    handIn(1, { bags: 8 });
    const told = weighLoad(world.context, {
      factId: 'l1',
      roundId: world.first.id,
      at,
      netKg: 50.0005,
      recordedBy: 'test',
    });
    // Bags weigh the same at both (4.2 kg, the workshop's): a third and two thirds of 50.001 kg (rounded to grams).
    expect(told).toMatchObject({ value: { shares: [{ kg: 16.667 }, { kg: 33.334 }] } });
    expect(Math.round(totalKg() * 1000)).toBe(50_001);
  });

  test('is refused where its weighed stops alone are heavier, or nothing was handed in', () => {
    const load = { round: world.first.id, net_kg: 30, at: local('07:00') };
    expect(refusalOf(say('load-weighed', load))).toEqual({ kind: 'no-stops-in-load' });
    handIn(0, { netKg: 31 });
    handIn(1, { bags: 2 });
    expect(refusalOf(say('load-weighed', load))).toEqual({ kind: 'less-than-its-stops', weighedKg: 31 });
  });
});

test('a whole amount is shared out exactly, and no share is a whole unit off its proportion', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 10_000_000 }),
      fc.array(fc.double({ min: 0, max: 1000, noNaN: true }), { minLength: 1, maxLength: 20 }),
      (total, weights) => {
        const shares = shareOut(total, weights);
        expect(shares.reduce((sum, share) => sum + share, 0)).toBe(total);
        const sum = weights.reduce((s, weight) => s + weight, 0);
        if (sum > 0)
          for (const [i, share] of shares.entries())
            expect(Math.abs(share - (total * weights[i]!) / sum)).toBeLessThan(1 + 1e-6);
      },
    ),
    { seed: 6 },
  );
});

test('a time is read on the workshop’s clock, also on the two days when that jumps', () => {
  // Europe/Vienna 2026: forward on 29 March at 02:00, back on 25 October at 03:00 (tz database).
  for (const day of ['2026-03-29', '2026-10-25']) {
    world.setNow(dayStart('Europe/Vienna', day) + 86_400);
    say('film-delivered', { grade: 'ldpe-clear', kg: 1, at: `${day}T12:00` }, `at-${day}`);
  }
  const [spring, autumn] = readEntriesAfter(world.store, 1).map((e) => (e.facts as { day: string }).day);
  expect([spring, autumn]).toEqual(['2026-03-29', '2026-10-25']);
});
