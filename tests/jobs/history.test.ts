/** Work over the whole history beside a running server: real database files and real threads. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { START_PARAMETERS } from '../../src/core/accumulation/learn-workshop.ts';
import { fitInThread, scoreInThread } from '../../src/jobs/history-in-thread.ts';
import { keepFitted } from '../../src/jobs/keep-fitted.ts';
import { keepScored } from '../../src/jobs/keep-scored.ts';
import { inTransaction } from '../../src/store/db.ts';
import { appendEntry, type NewEntry, readEntriesAbout } from '../../src/store/journal.ts';
import { countPickups } from '../../src/store/weigh-ins.ts';
import { fitHistory, isFitDue } from '../../src/usecases/fit-estimator.ts';
import { parametersOf } from '../../src/usecases/learn-fills.ts';
import { scoreHistory } from '../../src/usecases/score-history.ts';
import { type Demo, openDemo } from '../fixtures/demo-app.ts';

const folder = mkdtempSync(join(tmpdir(), 'feedround-jobs-'));
const path = join(folder, 'town.db');
let demo: Demo;
beforeAll(async () => {
  demo = await openDemo(path);
});
afterAll(() => {
  demo.close();
  rmSync(folder, { recursive: true, force: true });
});
const about = (kind: string) => readEntriesAbout(demo.context.store, 'workshop:workshop', kind);
const note = (told: Pick<NewEntry, 'kind' | 'facts'>) =>
  inTransaction(demo.context.store, (tx) =>
    appendEntry(tx, {
      at: demo.context.now(),
      subject: 'workshop:workshop',
      actor: 'test',
      ...told,
    } as NewEntry),
  );
const imported = { kind: 'table-imported', facts: { added: 1, changed: 0, unchanged: 0, rows: 1 } } as const;
const later = { timeout: 30_000, interval: 20 };

describe('the back-test', () => {
  test('of a thread is the one made in place, and says how far it is', async () => {
    const phases: string[] = [];
    const scored = await scoreInThread(path)((phase) => phases.push(phase), new AbortController().signal);
    expect(scored).toEqual(scoreHistory(demo.context.store));
    expect(phases).toEqual(['reading', 'scoring']);
    expect(scored.result.evaluated).toBeLessThanOrEqual(countPickups(demo.context.store));
    expect(scored.result.evaluated).toBeGreaterThan(1000);
  });

  test('is kept while nothing that matters happens, made once for two readers, and anew when it does', async () => {
    let made = 0;
    const scored = scoreHistory(demo.context.store);
    const scores = keepScored(
      demo.context.store,
      async () => {
        made++;
        return scored;
      },
      () => {},
    );
    const both = await Promise.all([scores.read(1000), scores.read(1000)]);
    expect(both.map((state) => state.kind)).toEqual(['ready', 'ready']);
    note({ kind: 'entered', facts: {} });
    await scores.read(1000);
    expect(made).toBe(1);
    note(imported);
    expect((await scores.read(1000)).kind).toBe('ready');
    expect(made).toBe(2);
  });

  test('answers that it is running after the time it was given, and stops without a fault', async () => {
    const faults: unknown[] = [];
    const scores = keepScored(demo.context.store, scoreInThread(path), (error) => faults.push(error));
    expect(await scores.read(0)).toMatchObject({ kind: 'running', phase: 'reading' });
    await scores.stop();
    expect(faults).toEqual([]);
  });

  test('that fails says why, and is not tried again at once', async () => {
    let tried = 0;
    const faults: unknown[] = [];
    const failing = async () => {
      tried++;
      throw new Error('no memory');
    };
    const scores = keepScored(demo.context.store, failing, (error) => faults.push(error));
    expect(await scores.read(1000)).toEqual({ kind: 'failed', message: 'no memory' });
    expect(await scores.read(1000)).toEqual({ kind: 'failed', message: 'no memory' });
    expect([tried, faults.length]).toEqual([1, 1]);
  });
});

describe('fitting inside the server', () => {
  test('a thread that cannot open the database fails with its reason', async () => {
    const nowhere = fitInThread(join(folder, 'none', 'town.db'));
    await expect(nowhere(new AbortController().signal)).rejects.toThrow(/no folder/);
  });

  test('a fit that fails is in the journal and the log, and comes again after a while, not in a loop', async () => {
    const faults: unknown[] = [];
    let tried = 0;
    const fit = async () => {
      tried++;
      throw new Error('no memory');
    };
    const options = { context: demo.context, fit, onFault: (error: unknown) => faults.push(error) };
    const patient = keepFitted({ ...options, lookEveryMs: 5, retryAfterMs: 60_000 });
    await vi.waitFor(() => expect(about('estimator-fit-failed')).toHaveLength(1), later);
    note(imported);
    await new Promise((over) => setTimeout(over, 60));
    expect(tried).toBe(1);
    await patient.stop();
    const hasty = keepFitted({ ...options, lookEveryMs: 5, retryAfterMs: 20 });
    await vi.waitFor(() => expect(tried).toBeGreaterThanOrEqual(3), later);
    await hasty.stop();
    expect(faults).toHaveLength(tried);
    expect(about('estimator-fit-failed')[0]).toMatchObject({
      actor: 'server',
      facts: { message: 'no memory' },
    });
  });

  test('stopping ends a running fit, and keeps nothing of it', async () => {
    const faults: unknown[] = [];
    const onFault = (error: unknown) => faults.push(error);
    const keeper = keepFitted({ context: demo.context, fit: fitInThread(path), onFault });
    await keeper.stop();
    expect(about('estimator-fitted')).toHaveLength(0);
    expect(faults).toEqual([]);
  });

  test('fits at the start in a thread while requests are answered, one at a time, and rests until a tenth is new', async () => {
    const { store } = demo.context;
    expect(isFitDue(store)).toBe(true);
    expect(parametersOf(store)).toEqual(START_PARAMETERS);
    let fits = 0;
    const inThread = fitInThread(path);
    const keeper = keepFitted({
      context: demo.context,
      fit: (signal) => {
        fits++;
        return inThread(signal);
      },
      onFault: (error) => {
        throw error;
      },
      lookEveryMs: 5,
    });
    note(imported);
    expect((await demo.app.request('/health')).status).toBe(200);
    expect(about('estimator-fitted')).toHaveLength(0);
    await vi.waitFor(() => expect(about('estimator-fitted')).toHaveLength(1), later);
    expect(parametersOf(store)).toEqual(fitHistory(store).parameters);
    note(imported);
    await new Promise((over) => setTimeout(over, 60));
    await keeper.stop();
    expect(fits).toBe(1);
    expect(isFitDue(store)).toBe(false);
  });
});
