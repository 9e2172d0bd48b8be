/** Starts a planner thread and hands back its plan; can be stopped, and then answers the best so far. */
import { Worker } from 'node:worker_threads';
import type { Plan } from '../core/planning/plan.ts';
import type { PlanningBudget, PlanningProblem } from '../core/planning/problem.ts';
import type { Mending } from '../core/planning/replan.ts';
import type { PlannerAnswer, PlannerProgress, PlannerWork } from './planner-messages.ts';

export type PlanningHooks = {
  readonly onProgress?: (progress: PlannerProgress) => void;
  readonly signal?: AbortSignal;
  /** Wall-clock bound in seconds. With one, the result depends on the machine; without, only on the seed. */
  readonly seconds?: number;
  readonly mend?: Mending;
};

/** @throws Error when the thread fails, with the thread's own message. */
export function planInThread(
  problem: PlanningProblem,
  budget: PlanningBudget,
  { onProgress, signal, seconds, mend }: PlanningHooks = {},
): Promise<Plan> {
  return new Promise((resolve, reject) => {
    const stopFlag = new SharedArrayBuffer(4);
    const work: PlannerWork = {
      problem,
      budget,
      stopFlag,
      ...(seconds === undefined ? {} : { seconds }),
      ...(mend ? { mend } : {}),
    };
    const worker = new Worker(new URL('./planner-thread.ts', import.meta.url), { workerData: work });
    const stop = (): void => {
      Atomics.store(new Int32Array(stopFlag), 0, 1);
    };
    if (signal?.aborted) stop();
    signal?.addEventListener('abort', stop);
    worker.on('message', (answer: PlannerAnswer) => {
      if (answer.kind === 'progress') onProgress?.(answer.progress);
      else if (answer.kind === 'plan') resolve(answer.plan);
      else reject(new Error(`The planner thread failed: ${answer.message}`));
    });
    worker.on('error', reject);
    worker.on('exit', (code) => {
      signal?.removeEventListener('abort', stop);
      if (code !== 0) reject(new Error(`The planner thread ended with code ${code}.`));
    });
  });
}
