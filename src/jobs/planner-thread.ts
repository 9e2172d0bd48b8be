/** Runs in a worker thread, so that a search of seconds never holds up a driver's page. */
import { parentPort, workerData } from 'node:worker_threads';
import { planWeek } from '../core/planning/plan-week.ts';
import type { PlannerAnswer, PlannerWork } from './planner-messages.ts';

const { problem, budget, stopFlag, seconds, mend } = workerData as PlannerWork;
const stop = new Int32Array(stopFlag);
const startMs = performance.now();
const lastsMs = seconds === undefined ? Number.POSITIVE_INFINITY : seconds * 1000;
const say = (answer: PlannerAnswer): void => parentPort?.postMessage(answer);

try {
  const plan = planWeek(problem, budget, {
    ...(mend ? { mend } : {}),
    enough: () => Atomics.load(stop, 0) !== 0 || performance.now() - startMs > lastsMs,
    spent: () => (performance.now() - startMs) / lastsMs,
    progress: (progress) => say({ kind: 'progress', progress }),
  });
  say({ kind: 'plan', plan });
} catch (error) {
  say({ kind: 'failed', message: error instanceof Error ? (error.stack ?? error.message) : String(error) });
}
