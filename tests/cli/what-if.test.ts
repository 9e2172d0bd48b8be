/** A plan changed by hand from the command line, over the demo town. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { closeStore, openStore } from '../../src/store/db.ts';
import type { StoredPlan } from '../../src/store/plans.ts';
import { listShifts } from '../../src/store/shifts.ts';
import { listSites } from '../../src/store/sites.ts';
import { planToShow } from '../../src/usecases/plan-to-show.ts';
import { WhatIfAnswer } from '../../src/web/api/change-schemas.ts';
import { runHere } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-what-if-'));
const db = join(folder, 'town.db');
/** The plan on show, with the keys of its sites and shifts. */
function shown(): { plan: StoredPlan; key: (id: string) => string } {
  const store = openStore(db);
  const keys = new Map([...listSites(store), ...listShifts(store)].map(({ id, key }) => [id, key]));
  const plan = planToShow(store)!;
  closeStore(store);
  return { plan, key: (id) => keys.get(id)! };
}
const whatIf = (...words: string[]) => runHere('what-if', ...words, '--db', db);

beforeAll(async () => {
  expect((await runHere('import', 'folder', 'geo-fixtures', '--db', db)).status).toBe(0);
  expect((await runHere('plan', '--iterations', '50', '--db', db)).status).toBe(0);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('words that make no change, and keys that are not there, are refused with what would do', async () => {
  expect(await whatIf()).toMatchObject({
    status: 2,
    stderr: expect.stringContaining('A change begins with'),
  });
  expect(await whatIf('skip', 'x')).toMatchObject({
    status: 2,
    stderr: expect.stringContaining('and a day'),
  });
  expect(await whatIf('skip', 'nobody', '2026-06-15')).toMatchObject({
    status: 1,
    stderr: expect.stringContaining('There is no site "nobody"'),
  });
  const { plan, key } = shown();
  const site = key(plan.rounds[0]!.stops[0]!.siteId!);
  expect(await whatIf('skip', site, 'Monday')).toMatchObject({ status: 2 });
  expect(await whatIf('skip', site, plan.firstDay, 'to=2026-06-16')).toMatchObject({
    status: 2,
    stderr: expect.stringContaining('skip takes no to='),
  });
  expect(await whatIf('move', site, plan.firstDay, 'place=0')).toMatchObject({ status: 2 });
});

/** A stop that could move to a day on which its site is not visited, in the words of the command. */
async function feasibleMove(): Promise<string[]> {
  const { plan, key } = shown();
  for (const round of plan.rounds)
    for (const { siteId } of round.stops) {
      if (siteId === undefined) continue;
      for (const toDay of plan.plan.days) {
        if (toDay === round.day) continue;
        const words = ['move', key(siteId), round.day, `to=${toDay}`];
        if ((await whatIf(...words, '--json')).status === 0) return words;
      }
    }
  throw new Error('no stop can move');
}

test('what would follow is told in words and tables, as a document, and kept when asked', async () => {
  const base = shown().plan.id;
  const words = await feasibleMove();
  const told = await whatIf(...words);
  expect(told.stdout).toMatch(/^.+ moves from .+ to .+\.\n/);
  expect(told.stdout).toMatch(/It (costs|saves) .+ in all/);
  expect(told.stdout).toMatch(/Money +before +after +difference\nDriving +€/);
  expect(told.stdout).toMatch(/Day +stops +driving +hours away +film\n/);
  expect(shown().plan.id).toBe(base);

  const json = WhatIfAnswer.parse(JSON.parse((await whatIf(...words, '--json')).stdout));
  expect(json).toMatchObject({ plan_id: base, newest_plan_id: base, is_feasible: true });
  const kept = await whatIf(...words, '--keep', '--break-promises');
  expect(kept.status).toBe(0);
  const { plan } = shown();
  expect(kept.stderr).toContain(`Kept as the draft ${plan.id}`);
  expect(plan).toMatchObject({ baseId: base, costMicros: json.after!.cost_micros });

  const late = await whatIf(...words, '--plan', base, '--keep', '--break-promises');
  expect(late).toMatchObject({ status: 1, stderr: expect.stringContaining('not the newest plan') });
  expect((await whatIf(...words)).stderr).toMatch(/is not visited on that day|visited on that day already/);
});

test('several changes are made one after the other', async () => {
  const { plan, key } = shown();
  const round = plan.rounds.find(({ stops }) => stops.filter(({ siteId }) => siteId).length > 1)!;
  const site = key(round.stops.find(({ siteId }) => siteId)!.siteId!);
  const { stdout } = await whatIf(
    'pin',
    site,
    round.day,
    'then',
    'move',
    site,
    round.day,
    'place=2',
    '--json',
  );
  const { does } = WhatIfAnswer.parse(JSON.parse(stdout));
  expect(does[0]).toContain('is pinned to');
  expect(does[1]).toContain('as stop 2');
});
