/** What is known of the sites is carried on, put away and taken up, and is always what the whole history gives. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { learnWorkshop } from '../../src/core/accumulation/learn-workshop.ts';
import { closeStore, databasePathOf, inTransaction, openStore, type Store } from '../../src/store/db.ts';
import { readLoadsWeighed } from '../../src/store/evidence.ts';
import { readLearnt } from '../../src/store/learnt.ts';
import { listSites } from '../../src/store/sites.ts';
import type { Context } from '../../src/usecases/context.ts';
import { learnFills, parametersOf, pastForecasts, saveFills } from '../../src/usecases/learn-fills.ts';
import { readSiteHistories } from '../../src/usecases/read-site-histories.ts';
import { recordWeighIn } from '../../src/usecases/record-weigh-in.ts';
import { reportFull } from '../../src/usecases/report-full.ts';
import { type Demo, openDemo } from '../fixtures/demo-app.ts';

let folder: string;
let demo: Demo;
let context: Context;
let nowAt: number;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'feedround-learn-'));
  demo = await openDemo(join(folder, 'demo.db'));
  nowAt = demo.context.now();
  context = { ...demo.context, now: () => nowAt };
});
afterEach(() => {
  demo.close();
  rmSync(folder, { recursive: true, force: true });
});

const wholeOf = (store: Store) =>
  Object.fromEntries(
    learnWorkshop(readSiteHistories(store), readLoadsWeighed(store), parametersOf(store)).models,
  );
const known = (store: Store) => Object.fromEntries(learnFills(store));
let facts = 0;
function weigh(siteId: string, netKg: number, at = nowAt) {
  const told = recordWeighIn(context, {
    factId: `fact-${++facts}`,
    siteId,
    at,
    netKg,
    foundFull: false,
    rejectedKg: 0,
    grades: [],
    note: '',
    recordedBy: 'test',
  });
  expect(told.ok).toBe(true);
}

test('after weigh-ins, a report, and one that comes late, it is what the whole history gives', () => {
  const { store } = context;
  const [a, b, c] = listSites(store).map((site) => site.id);
  learnFills(store);
  for (const [siteId, kg] of [
    [a, 12],
    [b, 30],
    [c, 7],
  ] as const) {
    nowAt += 600;
    weigh(siteId!, kg);
    expect(known(store)).toEqual(wholeOf(store));
  }
  nowAt += 600;
  expect(
    reportFull(context, { factId: 'full-1', siteId: a!, at: nowAt, fraction: 1, reportedBy: 'donor' }).ok,
  ).toBe(true);
  expect(known(store)).toEqual(wholeOf(store));
  // An hour before what is known already.
  weigh(b!, 2, nowAt - 3600);
  expect(known(store)).toEqual(wholeOf(store));
  expect(pastForecasts(store, c!)[0]!.kg).toBe(7);
});

test('put away, it is taken up by the next who opens the database, and carried on from there', () => {
  const { store } = context;
  const [a] = listSites(store).map((site) => site.id);
  learnFills(store);
  expect(saveFills(store)).toBe(true);
  expect(saveFills(store)).toBe(false);
  nowAt += 600;
  weigh(a!, 11);
  const second = openStore(databasePathOf(store));
  try {
    expect(known(second)).toEqual(wholeOf(store));
    expect(pastForecasts(second, a!)[0]!.kg).toBe(11);
    expect(saveFills(second)).toBe(true);
    expect(readLearnt(second)!.sites.size).toBe(listSites(store).length);
  } finally {
    closeStore(second);
  }
});

test('records of another version, or of none, are learnt anew', () => {
  const { store } = context;
  learnFills(store);
  saveFills(store);
  inTransaction(store, (tx) => tx.run("UPDATE pooled_state SET record = json_set(record, '$.stranger', 1)"));
  expect(readLearnt(store)).toBeUndefined();
});
