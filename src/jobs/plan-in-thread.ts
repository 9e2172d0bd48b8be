/** Starts a planner thread and hands back its plan; can be stopped, and then answers the best so far, or dropped. */
import { Worker } from 'node:worker_threads';
import type { Plan } from '../core/planning/plan.ts';
import type { PlanningBudget, PlanningProblem } from '../core/planning/problem.ts';
import type { PlannerHooks } from '../usecases/context.ts';
import type { PlannerAnswer, PlannerWork } from './planner-messages.ts';

/**
 * Progress comes at most five times a second.
 * @throws Error when the thread fails, with the thread's own message; the reason of `drop` when that is aborted.
 */
export function planInThread(
  problem: PlanningProblem,
  budget: PlanningBudget,
  { onProgress, signal, drop, seconds, mend }: PlannerHooks = {},
): Promise<Plan> {
  if (drop?.aborted) return Promise.reject(drop.reason);
  return new Promise((resolve, reject) => {
    const stopFlag = new SharedArrayBuffer(4);
    const work: PlannerWork = {
      problem,
      budget,
      stopFlag,
      tellsProgress: onProgress !== undefined,
      ...(seconds === undefined ? {} : { seconds }),
      ...(mend ? { mend } : {}),
    };
    const worker = new Worker(new URL('./planner-thread.ts', import.meta.url), { workerData: work });
    const stop = (): void => {
      Atomics.store(new Int32Array(stopFlag), 0, 1);
    };
    const end = (): void => {
      reject(drop?.reason);
      void worker.terminate();
    };
    if (signal?.aborted) stop();
    signal?.addEventListener('abort', stop);
    drop?.addEventListener('abort', end);
    worker.on('message', (answer: PlannerAnswer) => {
      if (answer.kind === 'progress') onProgress?.(answer.progress);
      else if (answer.kind === 'plan') resolve(answer.plan);
      else reject(new Error(`The planner thread failed: ${answer.message}`));
    });
    worker.on('error', reject);
    worker.on('exit', (code) => {
      signal?.removeEventListener('abort', stop);
      drop?.removeEventListener('abort', end);
      if (code !== 0) reject(new Error(`The planner thread ended with code ${code}.`));
    });
  });
}
