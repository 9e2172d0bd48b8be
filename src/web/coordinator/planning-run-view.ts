/** What the page of a planning run shows. */
import type { Instant } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import type { PlanningRun, PlanningRuns } from '../../usecases/planning-run.ts';
import type { WorkshopView } from './week-sheet-view.ts';

export type PlanningRunView = {
  readonly workshop: WorkshopView;
  readonly nowAt: Instant;
  readonly run: PlanningRun;
};

/** Nothing for a run that is not remembered. */
export function readPlanningRun(
  db: Db,
  nowAt: Instant,
  runs: Pick<PlanningRuns, 'get'>,
  runId: string,
): PlanningRunView | undefined {
  const run = runs.get(runId);
  if (!run) return undefined;
  const { name, zone, currency } = requireWorkshop(db);
  return { workshop: { name, zone, currency }, nowAt, run };
}
