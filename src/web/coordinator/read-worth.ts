/** The view of simulated years, from what was kept and what runs. */
import type { Instant } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { getWorthRun, listWorthRuns, type WorthRun } from '../../store/worth-runs.ts';
import { compareWorth } from '../../usecases/compare-worth.ts';
import { secondsPerWorld, worldsOf } from '../../usecases/keep-worth-run.ts';
import { worthWanted } from '../../usecases/own-workshop.ts';
import { USUAL_WEEKS } from './worth-form.ts';
import type { WorthResult, WorthView } from './worth-view.ts';

type Running = {
  readonly run: WorthRun;
  readonly forS: number;
  readonly progress?: NonNullable<WorthView['running']>['progress'];
  readonly isStopping: boolean;
};

/** Nothing for a run that does not exist. */
export function readWorth(
  db: Db,
  nowAt: Instant,
  keeper: { readonly running: () => Running | undefined },
  runId?: string,
): WorthView | undefined {
  const { name, zone, currency } = requireWorkshop(db);
  const running = keeper.running();
  const runs = listWorthRuns(db).filter((run) => run.years.length > 0);
  const shown = runId === undefined ? runs[0] : getWorthRun(db, runId);
  if (runId !== undefined && !shown) return undefined;
  const wanted = worthWanted(db, nowAt, { worlds: 1, weeks: USUAL_WEEKS });
  const speed = wanted.ok ? secondsPerWorld(db, wanted.value) : undefined;
  return {
    workshop: { name, zone, currency },
    nowAt,
    ...(running
      ? {
          running: {
            forS: running.forS,
            ...(running.progress ? { progress: running.progress } : {}),
            isStopping: running.isStopping,
            worldsDone: worldsOf(running.run),
          },
        }
      : {}),
    ...(shown ? { result: resultOf(shown) } : {}),
    earlier: runs
      .filter((run) => run.id !== shown?.id)
      .map((run) => ({
        runId: run.id,
        startedAt: run.startedAt,
        worlds: worldsOf(run),
        weeks: run.wanted.world.weeks,
      })),
    next:
      wanted.ok && speed
        ? { kind: 'ready', wanted: wanted.value, worldS: speed.s, isMeasured: speed.isMeasured }
        : { kind: wanted.ok ? 'no-sites' : wanted.refusal.kind },
  };
}

const resultOf = (run: WorthRun): WorthResult => ({
  runId: run.id,
  startedAt: run.startedAt,
  startedBy: run.startedBy,
  outcome: run.outcome,
  wanted: run.wanted,
  tookS: run.tookS,
  comparison: compareWorth(run),
});
