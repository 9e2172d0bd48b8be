/** What would follow if a plan were changed by hand: reckoned on the facts of now, and nothing is kept. */
import type { Change, ChangeRefusal } from '../core/planning/changes.ts';
import { wishesWithin } from '../core/planning/changes.ts';
import { type ChangedWeek, type WhatIf, whatIf } from '../core/planning/what-if.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { lastSeq } from '../store/journal.ts';
import { getPlan, publishedPlan, type StoredPlan } from '../store/plans.ts';
import { buildPlanningProblem, nextHorizon } from './build-planning-problem.ts';
import type { Context } from './context.ts';
import { planToShow } from './plan-to-show.ts';
import { runningRounds } from './running-rounds.ts';

export type WhatIfRefusal =
  | { readonly kind: 'no-such-plan'; readonly planId: string }
  /** Another plan was published in its place. */
  | { readonly kind: 'plan-replaced'; readonly planId: string; readonly newestId: string | null }
  /** All its days are over, or have left. */
  | { readonly kind: 'plan-over'; readonly planId: string }
  | ChangeRefusal;

export type ChangeableWeek = {
  readonly base: StoredPlan;
  /** The plan that is on show; changes are kept only where it is the base. */
  readonly newest: StoredPlan | undefined;
  readonly week: WhatIf;
  readonly lost: WhatIf['lost'];
};

export type WhatIfAnswer = Pick<ChangeableWeek, 'lost'> & {
  readonly planId: string;
  readonly newestId: string | null;
  readonly consequences: ChangedWeek['consequences'];
};

export function askWhatIf(
  { store, now }: Pick<Context, 'store' | 'now'>,
  { planId, changes }: { readonly planId: string; readonly changes: readonly Change[] },
): Result<WhatIfAnswer, WhatIfRefusal> {
  const laid = layOutPlan(store, now(), planId);
  if (!laid.ok) return laid;
  const { newest, week, lost } = laid.value;
  const asked = week.ask(changes);
  if (!asked.ok) return asked;
  return ok({ planId, newestId: newest?.id ?? null, lost, consequences: asked.value.consequences });
}

type LaidOut = Result<ChangeableWeek, Exclude<WhatIfRefusal, ChangeRefusal>>;
const kept = new WeakMap<Db, { readonly key: string; readonly laid: LaidOut }>();

/**
 * A draft or what is published, on its days that are still to come. Laid out once for all questions of a minute: every
 * write leaves a journal entry, so its last number says whether anything changed; shifts leave with the clock.
 */
export function layOutPlan(db: Db, at: Instant, planId: string): LaidOut {
  const key = `${planId} ${lastSeq(db)} ${Math.floor(at / 60)}`;
  const known = kept.get(db);
  if (known?.key === key) return known.laid;
  const laid = layOutAnew(db, at, planId);
  kept.set(db, { key, laid });
  return laid;
}

function layOutAnew(db: Db, at: Instant, planId: string): LaidOut {
  const base = getPlan(db, planId);
  if (!base) return refuse({ kind: 'no-such-plan', planId });
  const newest = planToShow(db);
  if (base.state === 'superseded')
    return refuse({ kind: 'plan-replaced', planId, newestId: newest?.id ?? null });
  const days = base.plan.days.filter((day) => day >= nextHorizon(db, at).firstDay);
  const [firstDay] = days;
  if (firstDay === undefined) return refuse({ kind: 'plan-over', planId });
  const horizon = { firstDay, days: days.length };
  const problem = buildPlanningProblem(db, at, horizon, publishedPlan(db) ?? null, base.wishes);
  const week = whatIf(problem, base.plan, wishesWithin(base.wishes, problem));
  const gone = runningRounds(db, at);
  return ok({ base, newest, week, lost: week.lost.filter(({ shiftId }) => !gone.has(shiftId)) });
}
