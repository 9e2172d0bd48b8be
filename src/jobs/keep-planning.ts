/** Planning runs in the server: one at a time, watched, ended when somebody says so; the draft is kept as any other. */
import { ok, refuse } from '../core/quantity/result.ts';
import type { Seconds } from '../core/quantity/units.ts';
import type { Context, Planner } from '../usecases/context.ts';
import { planWeek } from '../usecases/plan-week.ts';
import { isOver, type PlanningRun, type PlanningRuns, withBetter } from '../usecases/planning-run.ts';

/** Those who watched come back within the day; what lasts is the draft and the journal. */
const REMEMBERED = 20;

export type PlanningKeeper = PlanningRuns & {
  /** When what runs now is over. */
  readonly ended: () => Promise<void>;
  /** Drops what runs, and returns when nothing of it is left. */
  readonly stop: () => Promise<void>;
};

type Work = {
  run: PlanningRun;
  readonly sinceMs: number;
  readonly stopping: AbortController;
  readonly dropping: AbortController;
  ended: Promise<void>;
};

export function keepPlanning(
  context: Context,
  planner: Planner,
  onFault: (error: unknown) => void,
): PlanningKeeper {
  let past: readonly PlanningRun[] = [];
  let work: Work | undefined;

  const forS = ({ sinceMs }: Work): Seconds => (performance.now() - sinceMs) / 1000;
  const current = (): readonly PlanningRun[] => (work ? [{ ...work.run, forS: forS(work) }] : []);
  const list = (): readonly PlanningRun[] => [...current(), ...past];

  const start: PlanningKeeper['start'] = ({ seconds, ...request }) => {
    const running = current()[0];
    if (running) return refuse({ kind: 'already-planning', run: running });
    const own: Work = {
      run: {
        id: context.newId(),
        startedAt: context.now(),
        startedBy: request.actor,
        iterations: request.iterations,
        ...(seconds === undefined ? {} : { seconds }),
        state: 'running',
        forS: 0,
        better: [],
      },
      sinceMs: performance.now(),
      stopping: new AbortController(),
      dropping: new AbortController(),
      ended: Promise.resolve(),
    };
    work = own;
    own.ended = search(own, request, seconds).finally(() => {
      past = [{ ...own.run, forS: forS(own) }, ...past].slice(0, REMEMBERED);
      work = undefined;
    });
    return ok(own.run);
  };

  async function search(
    own: Work,
    request: Parameters<typeof planWeek>[2],
    seconds?: Seconds,
  ): Promise<void> {
    try {
      const { planId, plan } = await planWeek(context, planner, request, {
        onProgress: (progress) => {
          const { costMicros, distanceM } = progress;
          const better = withBetter(own.run.better, { forS: progress.forS, costMicros, distanceM });
          own.run = { ...own.run, progress, better };
        },
        signal: own.stopping.signal,
        drop: own.dropping.signal,
        ...(seconds === undefined ? {} : { seconds }),
      });
      const distanceM = plan.rounds.reduce((sum, round) => sum + round.distanceM, 0);
      const last = { forS: forS(own), costMicros: plan.costMicros, distanceM };
      own.run = {
        ...own.run,
        state: 'done',
        planId,
        better: withBetter(own.run.better, last),
        ...(own.stopping.signal.aborted ? { wasStopped: true } : {}),
      };
    } catch (error) {
      if (own.dropping.signal.aborted) return;
      own.run = { ...own.run, state: 'failed' };
      onFault(error);
    }
  }

  return {
    list,
    get: (runId) => list().find(({ id }) => id === runId),
    start,
    end(runId, { keep }) {
      const run = list().find(({ id }) => id === runId);
      if (!run) return refuse({ kind: 'no-such-planning-run' });
      if (isOver(run) || work?.run.id !== runId) return refuse({ kind: 'planning-run-over' });
      work.run = { ...work.run, state: keep ? 'stopping' : 'dropped' };
      (keep ? work.stopping : work.dropping).abort();
      return ok({ ...work.run, forS: forS(work) });
    },
    async ended() {
      await work?.ended;
    },
    async stop() {
      if (work) work.run = { ...work.run, state: 'dropped' };
      work?.dropping.abort();
      await work?.ended;
    },
  };
}
