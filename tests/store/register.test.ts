import { beforeEach, describe, expect, test } from 'vitest';
import { inTransaction, openStore, type Store } from '../../src/store/db.ts';
import { getDonorByKey, listDonors, saveDonor } from '../../src/store/donors.ts';
import { listDrivers } from '../../src/store/drivers.ts';
import { listProductionBetween, saveProductionDay } from '../../src/store/production.ts';
import { listProducts, saveProduct } from '../../src/store/products.ts';
import { defaultSettings, SettingsSchema } from '../../src/store/settings.ts';
import { cancelShift, listShifts, listShiftsBetween } from '../../src/store/shifts.ts';
import {
  getSite,
  getSiteByKey,
  listSites,
  listSitesOfDonor,
  saveSite,
  searchSites,
  siteIdsByKey,
} from '../../src/store/sites.ts';
import { cancelSurge, listSurges, listSurgesOfSite, saveSurge } from '../../src/store/surges.ts';
import { getVan, listVans } from '../../src/store/vans.ts';
import {
  getWorkshop,
  listGrades,
  NoWorkshopError,
  requireWorkshop,
  saveGrades,
  saveWorkshop,
} from '../../src/store/workshop.ts';
import { aSite, smallStore } from '../fixtures/small-store.ts';

let store: Store;
beforeEach(() => {
  store = smallStore();
});

const full = aSite('s1', {
  name: 'Épicerie du Quai',
  bagKg: 3.75,
  activeFromDay: '2026-01-01',
  activeUntilDay: '2026-12-31',
  containers: [
    { kind: 'sack', count: 10, litresEach: 100, fromDay: null, untilDay: '2026-06-30' },
    { kind: 'cage', count: 2, litresEach: 1100.5, fromDay: '2026-07-01', untilDay: null },
  ],
  hours: [
    { weekday: 1, opensMinute: 480, closesMinute: 720 },
    { weekday: 1, opensMinute: 780, closesMinute: 1080 },
    { weekday: 7, opensMinute: 0, closesMinute: 1440 },
  ],
  closures: [{ fromDay: '2026-12-24', untilDay: '2027-01-02', reason: 'Christmas' }],
  rules: [
    {
      rrule: 'FREQ=WEEKLY;BYDAY=TU',
      startsLocal: '2026-01-06T09:00',
      windowS: 7200,
      commitment: 'must',
      exceptDays: ['2026-02-03'],
      extraDays: [],
    },
    {
      rrule: 'FREQ=MONTHLY;BYMONTHDAY=1',
      startsLocal: '2026-01-01T10:00',
      windowS: 3600,
      commitment: 'usual',
      exceptDays: [],
      extraDays: ['2026-05-02'],
    },
  ],
  gradeShares: { 'ldpe-black': 0.25, 'ldpe-clear': 0.75 },
  contacts: [
    { name: 'Ida', phone: '+43 1', email: 'ida@example.org' },
    { name: 'Odo', phone: '', email: '' },
  ],
});

describe('a site', () => {
  test('comes back whole, whichever way it is asked for', () => {
    inTransaction(store, (tx) => saveSite(tx, full));
    for (const found of [
      getSite(store, 's1'),
      getSiteByKey(store, 'key-s1'),
      listSites(store).find((site) => site.id === 's1'),
      listSitesOfDonor(store, 'd1').find((site) => site.id === 's1'),
    ])
      expect(found).toEqual(full);
    expect(getSite(store, 'nobody')).toBeUndefined();
    expect(getSite(store, 's2')).toEqual(aSite('s2'));
  });

  test('saved again replaces its parts: what was taken out is out', () => {
    inTransaction(store, (tx) => saveSite(tx, full));
    inTransaction(store, (tx) => saveSite(tx, aSite('s1')));
    expect(getSite(store, 's1')).toEqual(aSite('s1'));
    for (const table of ['opening_hours', 'closures', 'pickup_rules', 'site_grades', 'contacts'])
      expect(store.$client.prepare(`SELECT count(*) FROM ${table}`).pluck().get(), table).toBe(0);
  });

  test('is found by any of its words, in any case, with or without accents, a % being a letter', () => {
    inTransaction(store, (tx) => saveSite(tx, full));
    const found = (text: string) => searchSites(store, text).map((site) => site.id);
    expect(found('epicerie')).toEqual(['s1']);
    expect(found('QUAI épi')).toEqual(['s1']);
    expect(found('old town quay')).toEqual(['s1', 's2']);
    expect(found('first donor s2')).toEqual(['s2']);
    expect(found('%')).toEqual([]);
    expect(found('')).toEqual(['s1', 's2']);
  });

  test('needs a donor that is there', () => {
    expect(() => inTransaction(store, (tx) => saveSite(tx, aSite('s3', { donorId: 'nobody' })))).toThrow(
      /FOREIGN KEY/,
    );
    expect(siteIdsByKey(store)).toEqual(
      new Map([
        ['key-s1', 's1'],
        ['key-s2', 's2'],
      ]),
    );
  });
});

test('a donor keeps its sites when its name changes', () => {
  inTransaction(store, (tx) => saveDonor(tx, { id: 'd1', key: 'donor-1', name: 'Renamed' }));
  expect(listDonors(store)).toEqual([{ id: 'd1', key: 'donor-1', name: 'Renamed' }]);
  expect(getDonorByKey(store, 'donor-1')!.name).toBe('Renamed');
  expect(getSite(store, 's1')!.donorName).toBe('Renamed');
});

describe('the workshop', () => {
  test('is missing at first, and the message says what to do', () => {
    const empty = openStore(':memory:');
    expect(getWorkshop(empty)).toBeUndefined();
    expect(() => requireWorkshop(empty)).toThrow(NoWorkshopError);
    expect(() => requireWorkshop(empty)).toThrow(/import/i);
  });

  test('is one row: saved again it is changed', () => {
    const before = requireWorkshop(store);
    inTransaction(store, (tx) => saveWorkshop(tx, { ...before, storeLimitKg: 1234.567, bagKg: 0.00812 }));
    expect(getWorkshop(store)).toEqual({ ...before, storeLimitKg: 1234.567, bagKg: 0.00812 });
  });

  test('cannot drop a grade that film is booked under', () => {
    inTransaction(store, (tx) => saveSite(tx, full));
    const [clear] = listGrades(store);
    expect(() => inTransaction(store, (tx) => saveGrades(tx, [clear!]))).toThrow(/FOREIGN KEY/);
    expect(listGrades(store).map((row) => row.grade)).toEqual(['ldpe-clear', 'ldpe-black']);
  });
});

describe('settings', () => {
  test('have a default for everything, and defaults are no settings of a stranger', () => {
    const settings = defaultSettings();
    expect(SettingsSchema.parse(settings)).toEqual(settings);
    // methods.md B.1: 10 an overflow, 10 a day of it, 1 a kilogram lost.
    expect(settings.prices).toMatchObject({
      overflowMicros: 10_000_000,
      overflowMicrosPerDay: 10_000_000,
      overflowMicrosPerKg: 1_000_000,
    });
    // Regulation (EC) 561/2006 Art. 7: 45 minutes after four and a half hours.
    expect(settings.breakRule).toEqual({ maxWorkS: 4.5 * 3600, breakS: 45 * 60 });
  });

  test('given in part keep the other defaults; a misspelt one is refused', () => {
    expect(SettingsSchema.parse({ prices: { unloadS: 60 } }).prices).toEqual({
      ...defaultSettings().prices,
      unloadS: 60,
    });
    for (const wrong of [
      { price: {} },
      { prices: { unloadMinutes: 1 } },
      { loadQuantile: 1 },
      { unloadHours: 'always' },
      { demoToday: '2026-02-30' },
      { prices: { overflowMicros: -1 } },
    ])
      expect(SettingsSchema.safeParse(wrong).success, JSON.stringify(wrong)).toBe(false);
  });
});

test('vans, drivers and shifts come back with the keys they hang on', () => {
  expect(getVan(store, 'v1')).toMatchObject({ key: 'van-1', payloadKg: 700.5 });
  expect(listVans(store)).toHaveLength(1);
  expect(listDrivers(store)).toMatchObject([{ key: 'driver-1', costMicrosPerHour: 20_000_000 }]);
  expect(listShiftsBetween(store, '2026-06-15', '2026-06-15')).toMatchObject([
    { id: 'h1', vanKey: 'van-1', driverKey: 'driver-1' },
  ]);
  inTransaction(store, (tx) => cancelShift(tx, 'h1', 77));
  inTransaction(store, (tx) => cancelShift(tx, 'h1', 99));
  expect(listShiftsBetween(store, '2026-06-01', '2026-06-30').map((shift) => shift.id)).toEqual(['h2']);
  expect(listShifts(store).map((shift) => shift.cancelledAt)).toEqual([77, null]);
});

test('a surge stays in the list when it is cancelled, with the first instant it was', () => {
  const surge = {
    id: 'u1',
    key: 'fair',
    siteId: 's1',
    eventKind: 'festival' as const,
    name: 'Fair',
    startsAt: 100,
    endsAt: 200,
    expectedBags: 60,
    announcedAt: 50,
    cancelledAt: null,
  };
  inTransaction(store, (tx) => {
    saveSurge(tx, surge);
    saveSurge(tx, { ...surge, expectedBags: 80.5 });
    cancelSurge(tx, 'u1', 90);
    cancelSurge(tx, 'u1', 95);
  });
  expect(listSurges(store)).toEqual([{ ...surge, expectedBags: 80.5, cancelledAt: 90 }]);
  expect(listSurgesOfSite(store, 's2')).toEqual([]);
});

test('products and their days come back; a day is one row for each product', () => {
  const product = {
    id: 'k1',
    key: 'kneeler',
    name: 'Garden kneeler',
    filmKgPerUnit: 1.234,
    yieldShare: 0.92,
    offCutReturnShare: 0.8,
    gradeShares: { 'ldpe-black': 0.4, 'ldpe-clear': 0.6 },
  };
  inTransaction(store, (tx) => {
    saveProduct(tx, { ...product, gradeShares: { 'ldpe-clear': 1 } });
    saveProduct(tx, product);
    for (const [day, units, doneAt] of [
      ['2026-06-15', 30, null],
      ['2026-06-16', 31, 500],
      ['2026-06-15', 32, null],
    ] as const)
      saveProductionDay(tx, { productId: 'k1', productKey: 'kneeler', day, units, doneAt });
  });
  expect(listProducts(store)).toEqual([product]);
  expect(
    listProductionBetween(store, '2026-06-15', '2026-06-16').map((run) => [run.day, run.units, run.doneAt]),
  ).toEqual([
    ['2026-06-15', 32, null],
    ['2026-06-16', 31, 500],
  ]);
});
