/** What a donor's silence does to the facts of a plan: by hand, and over a real database. */
import { afterEach, describe, expect, test } from 'vitest';
import { addDays, instantOf } from '../../src/core/calendar/zone.ts';
import { closeStore, inTransaction, type Store } from '../../src/store/db.ts';
import { recordFillReport } from '../../src/store/fill-reports.ts';
import { saveSite } from '../../src/store/sites.ts';
import { recordWeighIn } from '../../src/store/weigh-ins.ts';
import { buildPlanningProblem } from '../../src/usecases/build-planning-problem.ts';
import { hearSilence } from '../../src/usecases/hear-silence.ts';
import { siteModel } from '../fixtures/planning-problems.ts';
import { aSite, aWeighIn, smallStore } from '../fixtures/small-store.ts';

describe('by hand', () => {
  const model = siteModel('s', { emptiedAt: 1000, capacityKg: 50 });
  const counted = { reliability: 0.8, fromShare: 0.8, premiumMicros: 6_000_000 };
  const calls = { calls: 6, silent: 0, counted, isSilenceHeard: true };
  const open = [[], [{ fromAt: 1500, untilAt: 2000 }], [{ fromAt: 1100, untilAt: 1200 }]];

  test('by the end of the last open day less than 0.8 of 50 kg is there, but for one who keeps silent in 0.2', () => {
    const heard = hearSilence(model, calls, open);
    expect(heard.model.silence?.kg).toBeCloseTo(40, 9);
    expect(heard.model.silence?.missedShare).toBeCloseTo(0.2, 9);
    expect(heard.model.silence?.at).toBe(2000);
    // 0.35 of 0.8: a call is no longer news, and fetched in time only in part.
    expect(heard.calls?.reliability).toBeCloseTo(0.28, 9);
  });
  test('nothing is heard before an emptying, after a call, on closed days and of whom nobody knows', () => {
    expect(hearSilence({ ...model, emptiedAt: 2000 }, calls, open).model.silence).toBeUndefined();
    const called = { ...model, atLeast: { kg: 40, at: 1600 } };
    expect(hearSilence(called, calls, open).model).toBe(called);
    expect(hearSilence(model, calls, [[], []]).model).toBe(model);
    const unheard = { calls: 2, silent: 0, counted, isSilenceHeard: false };
    expect(hearSilence(model, unheard, open)).toEqual({ model, calls: counted });
    expect(hearSilence(model, { calls: 0, silent: 9, isSilenceHeard: false }, open)).toEqual({ model });
  });
});

describe('over a database', () => {
  let store: Store;
  afterEach(() => closeStore(store));
  const ZONE = 'Europe/Vienna';
  const FIRST = '2026-06-15'; // a Monday
  const noon = (day: string): number => instantOf(ZONE, day, 720);

  /** Fetched three times after a call, the last time a week before; open on workdays from 8 to 18. */
  const register = (calls: number): void => {
    store = smallStore();
    inTransaction(store, (tx) => {
      saveSite(
        tx,
        aSite('s1', {
          hours: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, opensMinute: 480, closesMinute: 1080 })),
          contacts: [{ name: 'Ada', phone: '1', email: '' }],
        }),
      );
      for (let k = 0; k < 3; k++) {
        const day = addDays(FIRST, -28 + 10 * k);
        if (k < calls)
          recordFillReport(tx, {
            id: `r${k}`,
            siteId: 's1',
            at: noon(addDays(day, -1)),
            fraction: 1,
            reportedBy: 'donor:d1',
          });
        recordWeighIn(tx, aWeighIn(`w${k}`, { at: noon(day), netKg: 30 }));
      }
    });
  };
  const siteOf = (nowAt: number, firstDay = FIRST) =>
    buildPlanningProblem(store, nowAt, { firstDay, days: 3 }).sites.find(({ siteId }) => siteId === 's1')!;

  test('a plan takes it from the workshop’s own record, whether made the day before or in the morning', () => {
    register(3);
    const onSunday = siteOf(noon('2026-06-14'));
    const onMonday = siteOf(instantOf(ZONE, FIRST, 300));
    expect(onSunday.model.silence).toEqual(onMonday.model.silence);
    // The last open day that is over on Sunday is Friday.
    expect(onSunday.model.silence?.at).toBe(instantOf(ZONE, '2026-06-12', 1080));
    // (4 x 0.6 + 3) / (4 + 3)
    expect(onSunday.model.silence?.missedShare).toBeCloseTo(1 - 5.4 / 7, 9);
    expect(onSunday.calls?.reliability).toBeCloseTo((0.35 * 5.4) / 7, 9);
  });
  test('two calls are no record', () => {
    register(2);
    expect(siteOf(noon('2026-06-14')).model.silence).toBeUndefined();
    expect(siteOf(noon('2026-06-14')).calls?.reliability).toBeCloseTo(4.4 / 6, 9);
  });
  test('a plan for next week hears nothing from the future', () => {
    register(3);
    expect(siteOf(noon('2026-06-12'), '2026-06-22').model.silence?.at).toBe(
      instantOf(ZONE, '2026-06-11', 1080),
    );
  });
});
