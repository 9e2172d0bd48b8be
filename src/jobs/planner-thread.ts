/** Runs in a worker thread, so that a search of seconds never holds up a driver's page. */
import { parentPort, workerData } from 'node:worker_threads';
import type { Plan } from '../core/planning/plan.ts';
import { planWeek } from '../core/planning/plan-week.ts';
import type { PlanningProgress } from '../usecases/context.ts';
import type { PlannerAnswer, PlannerWork } from './planner-messages.ts';

/** Five times a second is as fast as anybody reads. */
const TELL_EVERY_MS = 200;

const { problem, budget, stopFlag, seconds, tellsProgress, mend } = workerData as PlannerWork;
const stop = new Int32Array(stopFlag);
const startMs = performance.now();
const lastsMs = seconds === undefined ? Number.POSITIVE_INFINITY : seconds * 1000;
const say = (answer: PlannerAnswer): void => parentPort?.postMessage(answer);
const spent = (): number => (performance.now() - startMs) / lastsMs;

let bestNow: (() => Plan) | undefined;
let isBetter = false;
let figures: Pick<PlanningProgress, 'costMicros' | 'money' | 'distanceM'> | undefined;
let toldMs = Number.NEGATIVE_INFINITY;

/** A plan is laid out only when it is told of: that takes longer than a few tries of the search. */
function tell(iteration: number): void {
  const nowMs = performance.now();
  if (!bestNow || nowMs - toldMs < TELL_EVERY_MS) return;
  if (isBetter || !figures) {
    const { costMicros, money, rounds } = bestNow();
    figures = { costMicros, money, distanceM: rounds.reduce((sum, round) => sum + round.distanceM, 0) };
    isBetter = false;
  }
  const share = Math.min(1, Math.max(spent(), iteration / Math.max(1, budget.iterations)));
  say({ kind: 'progress', progress: { iteration, share, forS: (nowMs - startMs) / 1000, ...figures } });
  toldMs = performance.now();
}

try {
  const plan = planWeek(problem, budget, {
    ...(mend ? { mend } : {}),
    enough: () => Atomics.load(stop, 0) !== 0 || performance.now() - startMs > lastsMs,
    spent,
    ...(tellsProgress
      ? {
          progress: ({ iteration }) => tell(iteration),
          onBest: ({ iteration, plan: now }) => {
            bestNow = now;
            isBetter = true;
            tell(iteration);
          },
        }
      : {}),
  });
  say({ kind: 'plan', plan });
} catch (error) {
  say({ kind: 'failed', message: error instanceof Error ? (error.stack ?? error.message) : String(error) });
}
