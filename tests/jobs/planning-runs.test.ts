/** Planning runs over real threads: progress, the best so far, nothing of what was dropped, one run at a time. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { checkPlan } from '../../src/core/planning/check.ts';
import { MONEY_PARTS } from '../../src/core/planning/plan.ts';
import { keepPlanning } from '../../src/jobs/keep-planning.ts';
import { planInThread } from '../../src/jobs/plan-in-thread.ts';
import { readEntriesAfter } from '../../src/store/journal.ts';
import { getPlan, listPlans } from '../../src/store/plans.ts';
import { buildPlanningProblem, nextHorizon } from '../../src/usecases/build-planning-problem.ts';
import type { PlanningProgress } from '../../src/usecases/context.ts';
import { withBetter } from '../../src/usecases/planning-run.ts';
import { type Demo, openDemo } from '../fixtures/demo-app.ts';

/** More than any test waits for: these runs end because somebody says so. */
const ENDLESS = { seed: 1, iterations: 100_000_000 };

let demo: Demo;
beforeEach(async () => {
  demo = await openDemo();
});
afterEach(() => demo.close());

const problem = () => {
  const { store, now } = demo.context;
  return buildPlanningProblem(store, now(), nextHorizon(store, now()));
};
const summed = ({ money }: Pick<PlanningProgress, 'money'>): number =>
  MONEY_PARTS.reduce((sum, part) => sum + money[part], 0);

describe('the thread', () => {
  test('tells how far it is, gets no dearer, and answers its best when it is stopped', async () => {
    const told: PlanningProgress[] = [];
    const stopping = new AbortController();
    const week = problem();
    const plan = await planInThread(week, ENDLESS, {
      onProgress: (progress) => {
        told.push(progress);
        if (told.length === 4) stopping.abort();
      },
      signal: stopping.signal,
    });
    expect(told.length).toBeGreaterThanOrEqual(4);
    for (const [i, progress] of told.entries()) {
      expect(summed(progress)).toBe(progress.costMicros);
      expect(progress.distanceM).toBeGreaterThan(0);
      const before = told[i - 1];
      if (!before) continue;
      expect(progress.iteration).toBeGreaterThan(before.iteration);
      expect(progress.share).toBeGreaterThan(before.share);
      // At most five times a second, by the thread's own clock.
      expect(progress.forS - before.forS).toBeGreaterThanOrEqual(0.2);
    }
    expect(plan.costMicros).toBeLessThanOrEqual(told.at(-1)!.costMicros);
    expect(checkPlan(week, plan)).toEqual([]);
  });

  test('with a bound in seconds, the share is the clock’s', async () => {
    const told: PlanningProgress[] = [];
    await planInThread(problem(), ENDLESS, { onProgress: (one) => told.push(one), seconds: 1 });
    expect(told.length).toBeGreaterThan(0);
    for (const { share, forS } of told) expect(share).toBeCloseTo(Math.min(1, forS), 1);
  });

  test('whether somebody watches or not, the same facts, seed and tries give the same bytes', async () => {
    const week = problem();
    const budget = { seed: 7, iterations: 500 };
    const [watched, unwatched] = await Promise.all([
      planInThread(week, budget, { onProgress: () => {} }),
      planInThread(week, budget),
    ]);
    expect(JSON.stringify(watched)).toBe(JSON.stringify(unwatched));
  });

  test('dropped before or in the middle, it rejects with the reason', async () => {
    const before = AbortSignal.abort(new Error('not wanted'));
    await expect(planInThread(problem(), ENDLESS, { drop: before })).rejects.toThrow('not wanted');
    const dropping = new AbortController();
    const run = planInThread(problem(), ENDLESS, {
      onProgress: () => dropping.abort(new Error('enough of it')),
      drop: dropping.signal,
    });
    await expect(run).rejects.toThrow('enough of it');
  });
});

describe('the keeper', () => {
  const faults: unknown[] = [];
  const keep = () => keepPlanning(demo.context, planInThread, (error) => faults.push(error));
  /** Once it has been told of a whole week. */
  const underWay = async (keeper: ReturnType<typeof keep>, runId: string): Promise<void> => {
    while (!keeper.get(runId)?.progress) await new Promise((later) => setTimeout(later, 20));
  };
  const started = (keeper: ReturnType<typeof keep>, actor = 'Ina') => {
    const run = keeper.start({ ...ENDLESS, actor });
    if (!run.ok) throw new Error(run.refusal.kind);
    return run.value.id;
  };
  const lastEntry = () => readEntriesAfter(demo.context.store, 0, 100_000).at(-1)!;

  test('stopped, it keeps the best so far as a draft, with its entry in the journal', async () => {
    const keeper = keep();
    const runId = started(keeper);
    expect(keeper.start({ ...ENDLESS, actor: 'Jo' })).toMatchObject({
      ok: false,
      refusal: { kind: 'already-planning', run: { id: runId, startedBy: 'Ina' } },
    });
    await underWay(keeper, runId);
    expect(keeper.end(runId, { keep: true })).toMatchObject({ ok: true, value: { state: 'stopping' } });
    await keeper.ended();
    const run = keeper.get(runId)!;
    expect(run.state).toBe('done');
    const plan = getPlan(demo.context.store, run.planId!)!;
    expect(plan).toMatchObject({ state: 'draft', costMicros: run.better.at(-1)!.costMicros });
    expect(lastEntry()).toMatchObject({ kind: 'plan-drafted', actor: 'Ina', subject: `plan:${run.planId}` });
    expect(keeper.end(runId, { keep: false })).toEqual({
      ok: false,
      refusal: { kind: 'planning-run-over' },
    });
    expect(faults).toEqual([]);
  });

  test('dropped, it leaves nothing, and the next one may begin', async () => {
    const keeper = keep();
    const before = lastEntry();
    const runId = started(keeper);
    await underWay(keeper, runId);
    // Asked to end with its best, it may still be dropped.
    keeper.end(runId, { keep: true });
    expect(keeper.end(runId, { keep: false })).toMatchObject({ ok: true, value: { state: 'dropped' } });
    await keeper.ended();
    expect(keeper.get(runId)!.state).toBe('dropped');
    expect(listPlans(demo.context.store)).toEqual([]);
    expect(lastEntry()).toEqual(before);
    const next = started(keeper, 'Jo');
    expect(keeper.list().map(({ id }) => id)).toEqual([next, runId]);
    await keeper.stop();
    expect(keeper.get(next)!.state).toBe('dropped');
    expect(listPlans(demo.context.store)).toEqual([]);
    expect(faults).toEqual([]);
  });

  test('what fails is said, and does not stand in the way of the next', async () => {
    const failing = keepPlanning(
      demo.context,
      () => Promise.reject(new Error('no memory')),
      (error) => faults.push(error),
    );
    const runId = started(failing);
    await failing.ended();
    expect(failing.get(runId)!.state).toBe('failed');
    expect(faults.splice(0)).toEqual([new Error('no memory')]);
    expect(failing.end('nobody', { keep: true })).toEqual({
      ok: false,
      refusal: { kind: 'no-such-planning-run' },
    });
  });
});

test('the line of better weeks keeps its ends and stays short', () => {
  let weeks: ReturnType<typeof withBetter> = [];
  for (let i = 0; i < 1000; i++) weeks = withBetter(weeks, { forS: i, costMicros: 5000 - i, distanceM: 1 });
  expect(weeks.length).toBeLessThanOrEqual(120);
  expect(weeks[0]!.forS).toBe(0);
  expect(weeks.at(-1)!.forS).toBe(999);
  expect(withBetter(weeks, { ...weeks.at(-1)!, forS: 2000 })).toBe(weeks);
});
