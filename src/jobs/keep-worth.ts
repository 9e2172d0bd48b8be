/** Simulated years of the own workshop: one run at a time, kept world by world, stopped when somebody says so. */

import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Seconds } from '../core/quantity/units.ts';
import type { YearsProgress } from '../core/simulation/run-years.ts';
import type { WorthRun } from '../store/worth-runs.ts';
import type { Context } from '../usecases/context.ts';
import { endWorthRun, keepWorthYears, newWorthRun, type YearsRunner } from '../usecases/keep-worth-run.ts';
import { type SizeRefusal, worthWanted } from '../usecases/own-workshop.ts';

export type RunningWorth = {
  readonly run: WorthRun;
  /** Absent in the first moments. */
  readonly progress?: YearsProgress;
  readonly forS: Seconds;
  readonly isStopping: boolean;
};

export type WorthRequest = { readonly worlds: number; readonly weeks: number; readonly actor: string };
export type WorthRefusal = SizeRefusal | { readonly kind: 'already-running' };

export type WorthKeeper = {
  readonly running: () => RunningWorth | undefined;
  readonly start: (request: WorthRequest) => Result<{ readonly runId: string }, WorthRefusal>;
  /** False where nothing runs. The worlds that are whole are kept. */
  readonly stopRun: () => boolean;
  /** When what runs now is over and kept. */
  readonly ended: () => Promise<void>;
  /** Ends what runs, and returns when nothing of it is left. */
  readonly stop: () => Promise<void>;
};

export function keepWorth(
  context: Context,
  drive: YearsRunner,
  onFault: (error: unknown) => void,
): WorthKeeper {
  type Work = {
    run: WorthRun;
    progress?: YearsProgress;
    readonly stopping: AbortController;
    ended: Promise<void>;
  };
  let work: Work | undefined;

  const start: WorthKeeper['start'] = ({ actor, ...size }) => {
    if (work) return refuse({ kind: 'already-running' });
    const wanted = worthWanted(context.store, context.now(), size);
    if (!wanted.ok) return wanted;
    const sinceMs = performance.now();
    const took = (): Seconds => Math.round((performance.now() - sinceMs) / 1000);
    const stopping = new AbortController();
    const own: Work = {
      run: newWorthRun(context, { wanted: wanted.value, actor }),
      stopping,
      ended: Promise.resolve(),
    };
    work = own;
    own.ended = drive(wanted.value, {
      onProgress: (progress) => {
        own.progress = progress;
      },
      onWorld: (years) => {
        own.run = { ...own.run, years: [...own.run.years, ...years], tookS: took() };
        keepWorthYears(context, own.run);
      },
      signal: stopping.signal,
    })
      .then(
        () => endWorthRun(context, { ...own.run, outcome: stopping.signal.aborted ? 'stopped' : 'done' }),
        (error: unknown) => {
          onFault(error);
          const message = error instanceof Error ? error.message : String(error);
          endWorthRun(context, { ...own.run, outcome: 'failed' }, message);
        },
      )
      // The file may be locked by then: the worlds that are whole are kept already.
      .catch(onFault)
      .finally(() => {
        work = undefined;
      });
    return ok({ runId: own.run.id });
  };

  return {
    running() {
      if (!work) return undefined;
      const { run, progress, stopping } = work;
      return {
        run,
        ...(progress ? { progress } : {}),
        forS: context.now() - run.startedAt,
        isStopping: stopping.signal.aborted,
      };
    },
    start,
    stopRun() {
      work?.stopping.abort();
      return work !== undefined;
    },
    async ended() {
      await work?.ended;
    },
    async stop() {
      work?.stopping.abort();
      await work?.ended;
    },
  };
}
