/** A planning run: a search that somebody watches, stops with the best so far, or drops. What it says of itself. */
import type { Result } from '../core/quantity/result.ts';
import type { Instant, Metres, Micros, Seconds } from '../core/quantity/units.ts';
import type { PlanningProgress } from './context.ts';
import type { PlanRequest } from './plan-week.ts';

/** `stopping`: asked to end with its best; `dropped` and `failed` leave nothing behind. */
export const RUN_STATES = ['running', 'stopping', 'done', 'dropped', 'failed'] as const;
export type RunState = (typeof RUN_STATES)[number];

export type BetterWeek = { readonly forS: Seconds; readonly costMicros: Micros; readonly distanceM: Metres };

export type PlanningRun = {
  readonly id: string;
  readonly startedAt: Instant;
  readonly startedBy: string;
  readonly iterations: number;
  readonly seconds?: Seconds;
  readonly state: RunState;
  /** Since it began, or all it took. */
  readonly forS: Seconds;
  /** Absent in the first moments. */
  readonly progress?: PlanningProgress;
  /** Each week that was better than the one before, as far as it was told of; the first is the first whole week. */
  readonly better: readonly BetterWeek[];
  /** The draft, once it is kept. */
  readonly planId?: string;
  /** The draft is the best that was found until somebody ended the search. */
  readonly wasStopped?: true;
};

export type RunRequest = PlanRequest & { readonly seconds?: Seconds };
export type StartRefusal = { readonly kind: 'already-planning'; readonly run: PlanningRun };
export type EndRefusal = { readonly kind: 'no-such-planning-run' | 'planning-run-over' };

/** The workshop's runs: one at a time, and the last ones for whoever comes back. */
export type PlanningRuns = {
  /** Newest first. */
  readonly list: () => readonly PlanningRun[];
  readonly get: (runId: string) => PlanningRun | undefined;
  readonly start: (request: RunRequest) => Result<PlanningRun, StartRefusal>;
  /** Keeps the best so far as a draft, or drops it. What is asked to end may still be dropped. */
  readonly end: (runId: string, how: { readonly keep: boolean }) => Result<PlanningRun, EndRefusal>;
};

export const isOver = ({ state }: Pick<PlanningRun, 'state'>): boolean =>
  state !== 'running' && state !== 'stopping';

const MOST_POINTS = 120;

/** With one better week more; every second one goes when there are too many to draw. */
export function withBetter(weeks: readonly BetterWeek[], next: BetterWeek): readonly BetterWeek[] {
  if (weeks.at(-1)?.costMicros === next.costMicros) return weeks;
  const all = [...weeks, next];
  return all.length <= MOST_POINTS ? all : all.filter((_, i) => i % 2 === 0 || i === all.length - 1);
}
