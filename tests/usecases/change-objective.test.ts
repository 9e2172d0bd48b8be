/** Prices and weights: read, changed all or nothing, kept by an import, and counted with by the next plan. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { closeStore, type Store } from '../../src/store/db.ts';
import { lastSeq, readEntriesAbout } from '../../src/store/journal.ts';
import { SettingsSchema } from '../../src/store/settings.ts';
import { listVans } from '../../src/store/vans.ts';
import { requireWorkshop } from '../../src/store/workshop.ts';
import { buildPlanningProblem } from '../../src/usecases/build-planning-problem.ts';
import {
  changeObjective,
  objectiveChanges,
  readObjective,
  SETTING_KEYS,
} from '../../src/usecases/change-objective.ts';
import { importWorkshop } from '../../src/usecases/import-workshop.ts';
import { SETTING_GROUPS } from '../../src/web/shared/objective-words.ts';
import { FIXTURES } from '../fixtures/demo-app.ts';
import { smallStore } from '../fixtures/small-store.ts';

let store: Store;
beforeEach(() => {
  store = smallStore();
});
afterEach(() => closeStore(store));
const context = () => ({ store, now: () => 5_000, newId: () => 'id' });
const change = (values: { readonly [key: string]: number }, version?: string) =>
  changeObjective(context(), { values, actor: 'Ina', ...(version === undefined ? {} : { version }) });
const problem = () => buildPlanningProblem(store, 5_000, { firstDay: '2026-06-15', days: 2 });

test('every number that the planner is given can be set, and each stands in one group', () => {
  const { prices, breakRule, calls, loadQuantile, horizonDays, searchIterations } = SettingsSchema.parse({});
  const paths = [
    ...Object.keys(prices).map((name) => `prices.${name}`),
    ...Object.keys(breakRule).map((name) => `breakRule.${name}`),
    ...Object.keys(calls).map((name) => `calls.${name}`),
    ...Object.keys({ loadQuantile, horizonDays, searchIterations }),
  ];
  expect([...SETTING_KEYS].sort()).toEqual(paths.sort());
  expect(SETTING_GROUPS.flatMap((group) => group.keys).sort()).toEqual(paths.sort());
});

test('a change is kept with its journal entry, and the next plan counts with it', () => {
  const before = problem();
  const done = change({ 'prices.unloadS': 900, loadQuantile: 0.8, 'vans/v1': 700_000 });
  expect(done).toEqual({
    ok: true,
    value: {
      changed: [
        { key: 'prices.unloadS', from: 1200, to: 900 },
        { key: 'loadQuantile', from: 0.5, to: 0.8 },
        { key: 'vans/v1', from: 450_000, to: 700_000 },
      ],
    },
  });
  const after = problem();
  expect(after.prices).toEqual({ ...before.prices, unloadS: 900 });
  expect(after.loadQuantile).toBe(0.8);
  expect(after.shifts[0]?.costMicrosPerKm).toBe(700_000);
  expect(readEntriesAbout(store, 'workshop:workshop', 'objective-changed')).toHaveLength(1);
  expect(objectiveChanges(store)[0]).toMatchObject({ at: 5_000, actor: 'Ina' });
});

test('saving what stands already writes nothing', () => {
  const seq = lastSeq(store);
  expect(change({ 'prices.unloadS': 1200 })).toEqual({ ok: true, value: { changed: [] } });
  expect(lastSeq(store)).toBe(seq);
});

test('one wrong value and nothing is kept; each fault says its bound', () => {
  const done = change({
    'prices.unloadS': 900,
    loadQuantile: 0.1,
    horizonDays: 40,
    'prices.overflowMicros': 0.5,
    'vans/v1': -1,
    'grades/ldpe-clear': 5e9,
    'prices.nothing': 1,
  });
  expect(done.ok ? [] : done.refusal).toEqual({
    kind: 'not-valid',
    faults: [
      { key: 'prices.nothing', kind: 'unknown' },
      { key: 'prices.overflowMicros', kind: 'not-whole' },
      { key: 'loadQuantile', kind: 'too-small', bound: 0.2 },
      { key: 'horizonDays', kind: 'too-big', bound: 28 },
      { key: 'vans/v1', kind: 'too-small', bound: 0 },
      { key: 'grades/ldpe-clear', kind: 'too-big', bound: 1_000_000_000 },
    ],
  });
  expect(requireWorkshop(store).settings.prices.unloadS).toBe(1200);
  expect(listVans(store)[0]?.costMicrosPerKm).toBe(450_000);
});

test('whoever saw an older version is told, and nothing is written over', () => {
  const { version } = readObjective(store);
  expect(change({ horizonDays: 10 }, version).ok).toBe(true);
  expect(change({ horizonDays: 12 }, version)).toEqual({ ok: false, refusal: { kind: 'changed-meanwhile' } });
  expect(requireWorkshop(store).settings.horizonDays).toBe(10);
});

test('the workshop’s file changes what it names and leaves the rest as it was set here', () => {
  change({ 'prices.overflowMicros': 15_000_000, horizonDays: 9 });
  importWorkshop(context(), `${FIXTURES}workshop.json`, { dryRun: false, actor: 'test' });
  const { settings, name } = requireWorkshop(store);
  expect(name).toBe('Tarrowmere Film Workshop');
  expect(settings.prices.overflowMicros).toBe(15_000_000);
  expect(settings.horizonDays).toBe(9);
  expect(settings.unloadHours).toBe('mo-sa 06:00-20:00');
  expect(settings.travel.kind).toBe('roads');
});
