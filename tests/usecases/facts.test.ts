/** What people do, over a real database: each fact once, stock and journal with it, the next plan changed by it. */
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { fillAt, meanKg } from '../../src/core/accumulation/forecast.ts';
import { listAccess } from '../../src/store/access-tokens.ts';
import { getBooking, listBookingsOfSite } from '../../src/store/bookings.ts';
import { inTransaction } from '../../src/store/db.ts';
import { listDrivers } from '../../src/store/drivers.ts';
import { ledgerFaults } from '../../src/store/integrity.ts';
import { lastSeq, readEntriesAbout } from '../../src/store/journal.ts';
import { getPlan, listPlans, publishedPlan } from '../../src/store/plans.ts';
import { getSite, getSiteByKey, listSites } from '../../src/store/sites.ts';
import { currentStockKg, stockMovedByDay } from '../../src/store/stock.ts';
import { listSurgesOfSite } from '../../src/store/surges.ts';
import { getWeighIn } from '../../src/store/weigh-ins.ts';
import { listGrades, requireWorkshop } from '../../src/store/workshop.ts';
import { createLink, enter, findSession, leave, revokeLink } from '../../src/usecases/access.ts';
import { bookCorrection, bookWeighIn, splitGrams } from '../../src/usecases/book-weigh-in.ts';
import { buildPlanningProblem, nextHorizon } from '../../src/usecases/build-planning-problem.ts';
import { cancelBooking } from '../../src/usecases/cancel-extra-collection.ts';
import { importRows } from '../../src/usecases/import-table.ts';
import { learnFills } from '../../src/usecases/learn-fills.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { recordMissedStop } from '../../src/usecases/record-missed-stop.ts';
import { recordWeighIn, type WeighInEntry } from '../../src/usecases/record-weigh-in.ts';
import { reportFull } from '../../src/usecases/report-full.ts';
import { requestExtraCollection } from '../../src/usecases/request-extra-collection.ts';
import { type Demo, openDemo, planInPlace } from '../fixtures/demo-app.ts';

let demo: Demo;
const stockG = () =>
  Math.round([...currentStockKg(demo.context.store).values()].reduce((sum, kg) => sum + kg, 0) * 1000);
const request = { seed: 1, iterations: 20, actor: 'test' };
const entry = (over: Partial<WeighInEntry>): WeighInEntry => ({
  factId: 'fact',
  at: demo.context.now(),
  foundFull: false,
  rejectedKg: 0,
  grades: [],
  note: '',
  recordedBy: 'test',
  ...over,
});

beforeAll(async () => {
  demo = await openDemo();
  const { planId } = await planWeek(demo.context, planInPlace, request);
  publishPlan(demo.context, { planId, actor: 'test' });
});
afterAll(() => demo.close());

const stops = () => {
  const round = publishedPlan(demo.context.store)!.rounds[0]!;
  return round.stops
    .filter((stop) => stop.kind === 'site')
    .map((stop) => ({ ...stop, driverId: round.driverId }));
};

describe('a weigh-in at a stop', () => {
  test('changes the stock, the fill, the journal and the next plan, once', async () => {
    const [stop] = stops();
    const at = stop!.startAt;
    demo.setNow(at);
    const siteId = stop!.siteId!;
    const before = { stock: stockG(), fill: meanKg(fillAt(learnFills(demo.context.store).get(siteId)!, at)) };
    const fact = entry({ factId: 'once', stopId: stop!.id, driverId: stop!.driverId, at, netKg: 20.504 });
    expect(recordWeighIn(demo.context, fact)).toEqual({ ok: true, value: { weighInId: 'once' } });
    // A second press, a little later.
    expect(recordWeighIn(demo.context, { ...fact, at: at + 5 })).toEqual({
      ok: true,
      value: { weighInId: 'once' },
    });
    expect(stockG() - before.stock).toBe(20_504);
    expect(meanKg(fillAt(learnFills(demo.context.store).get(siteId)!, at + 60))).toBeLessThan(
      before.fill / 4,
    );
    expect(readEntriesAbout(demo.context.store, `site:${siteId}`, 'weigh-in-recorded')).toHaveLength(1);

    const other = recordWeighIn(demo.context, { ...fact, netKg: 25 });
    expect(other).toMatchObject({ ok: false, refusal: { kind: 'fact-differs' } });
    const again = recordWeighIn(demo.context, { ...fact, factId: 'twice' });
    expect(again).toMatchObject({ ok: false, refusal: { kind: 'already-weighed', weighInId: 'once' } });

    const next = await planWeek(demo.context, planInPlace, request);
    expect(next.problem.sites.find((site) => site.siteId === siteId)!.model.emptiedAt).toBe(at);
    // And what the rest of the round, now on the road, will bring.
    const stockKg = next.problem.stockKg.reduce<number>((sum, kg) => sum + kg, 0);
    expect(stockKg).toBeGreaterThan(stockG() / 1000);
  });

  test('of another driver, or of no plan, is not there', () => {
    const [, stop] = stops();
    const stranger = listDrivers(demo.context.store).find((driver) => driver.id !== stop!.driverId)!;
    for (const over of [{ stopId: stop!.id, driverId: stranger.id }, { stopId: 'nowhere' }])
      expect(recordWeighIn(demo.context, entry({ factId: 'x', netKg: 1, ...over }))).toMatchObject({
        ok: false,
        refusal: { kind: 'stop-not-found' },
      });
  });

  test('corrected takes the first back to the gram; a correction of what was corrected is refused', () => {
    const [, stop] = stops();
    const before = stockG();
    const first = entry({
      factId: 'c1',
      stopId: stop!.id,
      driverId: stop!.driverId,
      netKg: 30.333,
      rejectedKg: 4,
      rejectReason: 'wet',
    });
    recordWeighIn(demo.context, first);
    expect(stockG() - before).toBe(26_333);
    const { rejectReason: _, ...plain } = first;
    expect(
      recordWeighIn(demo.context, { ...plain, factId: 'c2', netKg: 10.001, rejectedKg: 0, replacesId: 'c1' })
        .ok,
    ).toBe(true);
    expect(stockG() - before).toBe(10_001);
    // Corrected once more: what stands is the last, not a sum of attempts.
    recordWeighIn(demo.context, { ...plain, factId: 'c4', netKg: 12.007, rejectedKg: 0, replacesId: 'c2' });
    expect(stockG() - before).toBe(12_007);
    const late = recordWeighIn(demo.context, { ...plain, factId: 'c3', netKg: 5, replacesId: 'c1' });
    expect(late).toMatchObject({ ok: false, refusal: { kind: 'not-the-latest' } });
    expect(ledgerFaults(demo.context.store)).toEqual([]);
  });
});

describe('the same id', () => {
  const first = (): WeighInEntry =>
    entry({
      factId: 'same',
      siteId: getSiteByKey(demo.context.store, 'mossop-parts')!.id,
      // 60.1 - 12.3 is 47.800000000000004 in binary, and the scale has no such figure.
      grossKg: 60.1,
      tareKg: 12.3,
      rejectedKg: 2.00049,
      rejectReason: 'food',
      grades: [
        { grade: 'ldpe-clear', kg: 40.0004 },
        { grade: 'ldpe-printed', kg: 0.0004 },
      ],
      note: ' by the gate\n',
    });

  test('with the same content is one fact, to the gram and without the space around a note', () => {
    const before = stockG();
    expect(recordWeighIn(demo.context, first()).ok).toBe(true);
    const again = { ...first(), note: 'by the gate', grossKg: 60.1001, at: demo.context.now() + 9 };
    expect(recordWeighIn(demo.context, again)).toEqual({ ok: true, value: { weighInId: 'same' } });
    expect(stockG() - before).toBe(47_800 - 2000);
    // A grade without mass would be no row that an import takes back.
    expect(Object.keys(getWeighIn(demo.context.store, 'same')!.gradesKg)).toEqual(['ldpe-clear']);
    expect(getWeighIn(demo.context.store, 'same')).toMatchObject({
      netKg: 47.8,
      gradesKg: { 'ldpe-clear': 40 },
      note: 'by the gate',
    });
    expect(ledgerFaults(demo.context.store)).toEqual([]);
  });

  const differences: Partial<WeighInEntry>[] = [
    { grossKg: 70.1, tareKg: 22.3 },
    { netKg: 47.8, bags: 20 },
    { foundFull: true },
    { rejectedKg: 2.002 },
    { rejectReason: 'wet' },
    { grades: [{ grade: 'ldpe-printed', kg: 40 }] },
    { note: 'by the door' },
    { replacesId: 'once' },
  ];
  test.each(differences)('with %o is refused and changes nothing', (over) => {
    const before = { stock: stockG(), seq: lastSeq(demo.context.store) };
    expect(recordWeighIn(demo.context, { ...first(), ...over })).toMatchObject({
      ok: false,
      refusal: { kind: 'fact-differs' },
    });
    expect({ stock: stockG(), seq: lastSeq(demo.context.store) }).toEqual(before);
  });

  test('for another site is refused', () => {
    const siteId = getSiteByKey(demo.context.store, 'fenn-foods')!.id;
    expect(recordWeighIn(demo.context, { ...first(), siteId })).toMatchObject({
      refusal: { kind: 'fact-differs' },
    });
  });
});

test('a net mass that its two readings contradict is booked as it is kept', () => {
  const before = stockG();
  const siteId = getSiteByKey(demo.context.store, 'mossop-parts')!.id;
  recordWeighIn(
    demo.context,
    entry({ factId: 'by-a-gram', siteId, grossKg: 60.0006, tareKg: 12.0004, netKg: 48 }),
  );
  expect(getWeighIn(demo.context.store, 'by-a-gram')!.netKg).toBe(48.001);
  expect(stockG() - before).toBe(48_001);
});

test('whoever books a weigh-in, stock gets what the weigh-in keeps', () => {
  const { context } = demo;
  const site = getSiteByKey(context.store, 'mossop-parts')!;
  const register = { workshop: requireWorkshop(context.store), grades: listGrades(context.store), site };
  const { grossKg: _g, tareKg: _t, ...like } = getWeighIn(context.store, 'by-a-gram')!;
  const before = stockG();
  const raw = { ...like, id: 'raw', key: 'raw', grossKg: 30.0006, tareKg: 10.0004, netKg: 20 };
  inTransaction(context.store, (tx) => bookWeighIn(tx, context, register, raw));
  expect(stockG() - before).toBe(20_001);
  inTransaction(context.store, (tx) =>
    bookCorrection(tx, context, register, getWeighIn(tx, 'raw')!, { ...raw, id: 'raw-2', grossKg: 31.0006 }),
  );
  expect(stockG() - before).toBe(21_001);
  expect(ledgerFaults(context.store)).toEqual([]);
});

test('a weigh-in that breaks half way leaves neither weigh-in, stock nor journal', () => {
  const { context } = demo;
  const siteId = getSiteByKey(context.store, 'mossop-parts')!.id;
  const before = { stock: stockG(), seq: lastSeq(context.store) };
  const fact = entry({ factId: 'broken', siteId, netKg: 20 });
  // The machine's random source fails after the weigh-in's row is written, before its stock.
  const newId = () => {
    expect(getWeighIn(context.store, 'broken')).toBeDefined();
    throw new Error('no more ids');
  };
  expect(() => recordWeighIn({ ...context, newId }, fact)).toThrow('no more ids');
  expect(getWeighIn(context.store, 'broken')).toBeUndefined();
  expect({ stock: stockG(), seq: lastSeq(context.store) }).toEqual(before);
  expect(recordWeighIn(context, fact).ok).toBe(true);
});

test('a missed stop is told once, moves no stock, and a weighed stop cannot be missed', () => {
  const [weighed, , missed] = stops();
  const before = stockG();
  const told = {
    factId: 'm1',
    stopId: missed!.id,
    driverId: missed!.driverId,
    at: demo.context.now(),
    reason: 'closed' as const,
    note: '',
    recordedBy: 'test',
  };
  expect(recordMissedStop(demo.context, told)).toMatchObject({ ok: true });
  expect(recordMissedStop(demo.context, told)).toMatchObject({ ok: true, value: { missedId: 'm1' } });
  expect(recordMissedStop(demo.context, { ...told, factId: 'm2' })).toMatchObject({
    refusal: { kind: 'already-missed' },
  });
  expect(recordMissedStop(demo.context, { ...told, reason: 'nothing-there' })).toMatchObject({
    refusal: { kind: 'fact-differs' },
  });
  const last = stops().at(-1)!;
  expect(last.id).not.toBe(missed!.id);
  expect(
    recordMissedStop(demo.context, { ...told, stopId: last.id }),
    'its id again elsewhere',
  ).toMatchObject({
    refusal: { kind: 'fact-differs' },
  });
  expect(
    recordMissedStop(demo.context, { ...told, factId: 'm3', stopId: last.id, driverId: 'nobody' }),
  ).toMatchObject({
    refusal: { kind: 'stop-not-found' },
  });
  expect(recordMissedStop(demo.context, { ...told, stopId: weighed!.id })).toMatchObject({
    refusal: { kind: 'already-weighed' },
  });
  expect(stockG()).toBe(before);
});

describe('an extra collection', () => {
  const DAY = 86_400;
  const ask = (over = {}) => {
    const at = demo.context.now();
    return {
      factId: 'ask',
      siteId: getSiteByKey(demo.context.store, 'fenn-foods')!.id,
      eventKind: 'festival' as const,
      eventEndsAt: at + DAY,
      expectedBags: 30,
      fromAt: at + 2 * DAY,
      untilAt: at + 4 * DAY,
      remarks: 'behind the hall',
      hazards: '',
      requestedBy: 'test',
      ...over,
    };
  };

  test('asked for twice is one booking, enters the next plan, and is done once collected', async () => {
    const made = requestExtraCollection(demo.context, ask());
    const again = requestExtraCollection(demo.context, ask());
    expect(again).toEqual(made);
    const bookingId = made.ok ? made.value.bookingId : '';
    const { plan } = await planWeek(demo.context, planInPlace, { ...request, iterations: 60 });
    const siteId = ask().siteId;
    const visits = plan.rounds.flatMap((round) => round.stops).filter((stop) => stop.siteId === siteId);
    const { fromAt, untilAt } = ask();
    expect(visits.some((stop) => stop.startAt >= fromAt && stop.startAt < untilAt)).toBe(true);
    // Its sacks are there for us from the window's beginning, not before.
    const before = visits.filter((stop) => stop.startAt < fromAt);
    expect(Math.max(0, ...before.map((stop) => stop.expectedKg))).toBeLessThan(50);
    expect(Math.max(...visits.map((stop) => stop.expectedKg))).toBeGreaterThan(50);

    const at = fromAt + 3600;
    demo.setNow(at);
    recordWeighIn(demo.context, entry({ factId: 'fetched', siteId, at, netKg: 104 }));
    expect(getBooking(demo.context.store, bookingId)!.state).toBe('done');
    expect(cancelBooking(demo.context, { bookingId, actor: 'test' })).toMatchObject({
      refusal: { kind: 'booking-closed', state: 'done' },
    });
  });

  test('is refused for a window that is over, or in which the site is closed, or with the same id for something else', () => {
    const at = demo.context.now();
    const refusal = (over: object) =>
      requestExtraCollection(demo.context, ask({ factId: `f${JSON.stringify(over)}`, ...over }));
    expect(refusal({ fromAt: at - 2 * DAY, untilAt: at - DAY })).toMatchObject({
      refusal: { kind: 'window-over' },
    });
    expect(refusal({ siteId: 'nowhere' })).toMatchObject({ refusal: { kind: 'site-not-found' } });
    const site = getSite(demo.context.store, ask().siteId)!;
    expect(site.hours.some((row) => row.weekday === 7)).toBe(false);
    const sunday = Date.UTC(2026, 5, 21, 6) / 1000;
    expect(refusal({ fromAt: sunday, untilAt: sunday + 6 * 3600 })).toMatchObject({
      refusal: { kind: 'closed-all-window' },
    });
    const { fromAt, untilAt, eventEndsAt } = { ...ask(), ...getBookedWindow() };
    const same = { fromAt, untilAt, eventEndsAt };
    expect(requestExtraCollection(demo.context, ask(same)).ok).toBe(true);
    for (const over of [
      { remarks: 'elsewhere' },
      { expectedBags: 60 },
      { expectedBags: 0 },
      { eventKind: 'clearance' },
    ])
      expect(
        requestExtraCollection(demo.context, ask({ ...same, ...over })),
        JSON.stringify(over),
      ).toMatchObject({
        refusal: { kind: 'fact-differs' },
      });
  });

  /** Of the booking that `ask` made, though the clock went on since. */
  function getBookedWindow() {
    const { store } = demo.context;
    const booking = listBookingsOfSite(store, ask().siteId).find((row) => row.idempotencyKey === 'ask')!;
    const surge = listSurgesOfSite(store, booking.siteId).find(({ id }) => id === booking.surgeId)!;
    return { fromAt: booking.fromAt, untilAt: booking.untilAt, eventEndsAt: surge.endsAt };
  }

  test('taken back leaves the next plan as it was, and cannot be taken back twice', async () => {
    const { context } = demo;
    const siteId = getSiteByKey(context.store, 'mossop-parts')!.id;
    const before = buildProblem(siteId);
    const at = context.now();
    const made = requestExtraCollection(
      context,
      ask({ factId: 'regret', siteId, fromAt: at + DAY, untilAt: at + 3 * DAY, eventEndsAt: at + DAY / 2 }),
    );
    const bookingId = made.ok ? made.value.bookingId : '';
    expect(buildProblem(siteId)).not.toEqual(before);
    expect(cancelBooking(context, { bookingId, actor: 'test' }).ok).toBe(true);
    expect(buildProblem(siteId)).toEqual(before);
    expect(cancelBooking(context, { bookingId, actor: 'test' })).toMatchObject({
      refusal: { kind: 'booking-closed', state: 'cancelled' },
    });
    expect(cancelBooking(context, { bookingId: 'none', actor: 'test' })).toMatchObject({
      refusal: { kind: 'booking-not-found' },
    });
  });
  const buildProblem = (siteId: string) => {
    const { store, now } = demo.context;
    return buildPlanningProblem(store, now(), nextHorizon(store, now())).sites.find(
      (site) => site.siteId === siteId,
    );
  };
});

test('"it is full" raises the fill to the brim, once', () => {
  const site = listSites(demo.context.store).find(({ key }) => key === 'lind-furniture')!;
  const at = demo.context.now();
  const told = { factId: 'full', siteId: site.id, at, fraction: 1, reportedBy: 'test' };
  reportFull(demo.context, told);
  expect(reportFull(demo.context, { ...told, at: at + 5 })).toEqual({
    ok: true,
    value: { reportId: 'full' },
  });
  const elsewhere = getSiteByKey(demo.context.store, 'fenn-foods')!.id;
  for (const over of [{ siteId: elsewhere }, { fraction: 0.5 }])
    expect(reportFull(demo.context, { ...told, ...over })).toMatchObject({
      refusal: { kind: 'fact-differs' },
    });
  const model = learnFills(demo.context.store).get(site.id)!;
  expect(meanKg(fillAt(model, at + 60))).toBeGreaterThanOrEqual(model.capacityKg - 1e-9);
  expect(readEntriesAbout(demo.context.store, `site:${site.id}`, 'container-reported-full')).toHaveLength(1);
});

describe('private links', () => {
  test('a coordinator’s works once; a driver’s again and again, until it is withdrawn with all its sessions', () => {
    const { context } = demo;
    const make = (role: 'coordinator' | 'driver', subjectId: string) => {
      const made = createLink(context, { role, subjectId, actor: 'test' });
      if (!made.ok) throw new Error('no such person');
      return made.value;
    };
    const once = make('coordinator', 'workshop');
    expect(enter(context, 'coordinator', once.token)).toBeDefined();
    expect(enter(context, 'coordinator', once.token)).toBeUndefined();

    const driver = listDrivers(context.store)[0]!.id;
    const lasting = make('driver', driver);
    const phone = enter(context, 'driver', lasting.token)!;
    expect(enter(context, 'driver', lasting.token)).toBeDefined();
    expect(enter(context, 'donor', lasting.token), 'as somebody else').toBeUndefined();
    expect(findSession(context, phone.token)).toMatchObject({ role: 'driver', subjectId: driver });
    expect(revokeLink(context, { hash: lasting.hash, actor: 'test' }).ok).toBe(true);
    expect(findSession(context, phone.token)).toBeUndefined();
    expect(enter(context, 'driver', lasting.token)).toBeUndefined();
  });

  test('end when their time is over, and are kept only as hashes', () => {
    const { context } = demo;
    const driver = listDrivers(context.store)[0]!.id;
    const made = createLink(context, { role: 'driver', subjectId: driver, actor: 'test' });
    const link = made.ok ? made.value : undefined;
    const now = context.now();
    demo.setNow(link!.expiresAt);
    expect(enter(context, 'driver', link!.token)).toBeUndefined();
    demo.setNow(now);
    const phone = enter(context, 'driver', link!.token)!;
    const other = enter(context, 'driver', link!.token)!;
    leave(context, phone.token);
    expect(findSession(context, phone.token), 'left').toBeUndefined();
    expect(findSession(context, other.token)).toMatchObject({ subjectId: driver });
    demo.setNow(other.expiresAt);
    expect(findSession(context, other.token), 'its time is over').toBeUndefined();
    demo.setNow(now);
    expect(JSON.stringify(listAccess(context.store))).not.toContain(link!.token);
    expect(createLink(context, { role: 'driver', subjectId: 'nobody', actor: 'test' }).ok).toBe(false);
  });
});

test('a plan that the checker finds fault with is not kept', async () => {
  const { context } = demo;
  const before = { plans: listPlans(context.store).length, seq: lastSeq(context.store) };
  const cheaper: typeof planInPlace = async (...args) => {
    const plan = await planInPlace(...args);
    return { ...plan, costMicros: plan.costMicros - 1 };
  };
  await expect(planWeek(context, cheaper, request)).rejects.toThrow(/does not hold and was not kept/);
  expect({ plans: listPlans(context.store).length, seq: lastSeq(context.store) }).toEqual(before);
});

test('publishing a plan supersedes the one before, and a plan is published once', async () => {
  const { context } = demo;
  const before = publishedPlan(context.store)!.id;
  const { planId } = await planWeek(context, planInPlace, { ...request, iterations: 0 });
  expect(publishPlan(context, { planId, actor: 'test' }).ok).toBe(true);
  expect(publishedPlan(context.store)!.id).toBe(planId);
  expect(getPlan(context.store, before)!.state).toBe('superseded');
  expect(publishPlan(context, { planId, actor: 'test' })).toMatchObject({
    refusal: { kind: 'plan-not-a-draft' },
  });
  expect(publishPlan(context, { planId: 'none', actor: 'test' })).toMatchObject({
    refusal: { kind: 'no-such-plan' },
  });
  expect(listPlans(context.store, 'published')).toHaveLength(1);
});

describe('mass', () => {
  test('grams are split in proportion and sum to the whole', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 5_000_000 }),
        fc.array(fc.double({ min: 0.001, max: 1, noNaN: true }), { minLength: 1, maxLength: 5 }),
        (totalG, shares) => {
          const grades = [
            'ldpe-clear',
            'ldpe-black',
            'hdpe-white',
            'pp-green',
            'mixed-film-printed',
          ] as const;
          const split = splitGrams(totalG, Object.fromEntries(shares.map((share, i) => [grades[i], share])));
          const sum = shares.reduce((total, share) => total + share, 0);
          expect([...split.values()].reduce((total, g) => total + g, 0)).toBe(totalG);
          shares.forEach((share, i) => {
            expect(Math.abs(split.get(grades[i]!)! - (totalG * share) / sum)).toBeLessThan(1);
          });
        },
      ),
    );
  });

  test('is conserved to the gram over any sequence of weigh-ins, corrections and movements by hand', () => {
    const { context } = demo;
    // Few, so that corrections of corrections come about.
    const siteIds = listSites(context.store)
      .slice(0, 3)
      .map((site) => site.id);
    let serial = 0;
    const action = fc.record({
      what: fc.constantFrom('weigh', 'correct', 'press', 'deliver'),
      site: fc.nat({ max: siteIds.length - 1 }),
      netG: fc.integer({ min: 0, max: 80_000 }),
      rejectedShare: fc.constantFrom(0, 0, 0, 0.1, 1),
    });
    fc.assert(
      fc.property(fc.array(action, { maxLength: 12 }), (actions) => {
        const before = stockG();
        let expectedG = 0;
        const last = new Map<string, { factId: string; keptG: number }>();
        for (const { what, site, netG, rejectedShare } of actions) {
          const siteId = siteIds[site]!;
          const factId = `mass-${++serial}`;
          const rejectedG = Math.floor(netG * rejectedShare);
          const fact = entry({ factId, siteId, netKg: netG / 1000, rejectedKg: rejectedG / 1000 });
          if (what === 'weigh' || (what === 'correct' && !last.has(siteId))) {
            recordWeighIn(context, fact);
            expectedG += netG - rejectedG;
            last.set(siteId, { factId, keptG: netG - rejectedG });
          } else if (what === 'correct') {
            const replaced = last.get(siteId)!;
            recordWeighIn(context, { ...fact, replacesId: replaced.factId });
            expectedG += netG - rejectedG - replaced.keptG;
            last.set(siteId, { factId, keptG: netG - rejectedG });
          } else {
            const sign = what === 'press' ? -1 : 1;
            const cells = {
              key: factId,
              day: '2026-06-17',
              grade: 'ldpe-clear',
              kind: what === 'press' ? 'production' : 'delivery',
              kg: String((sign * netG) / 1000),
            };
            importRows(context, 'stock', [{ line: 1, cells }], { dryRun: false, actor: 'test' });
            expectedG += sign * netG;
          }
        }
        expect(stockG() - before).toBe(expectedG);
      }),
      { numRuns: 40 },
    );
    const moved = stockMovedByDay(context.store, '2000-01-01', '2100-01-01');
    expect(Math.round(moved.reduce((sum, row) => sum + row.kg, 0) * 1000)).toBe(stockG());
    expect(ledgerFaults(context.store)).toEqual([]);
  });
});
