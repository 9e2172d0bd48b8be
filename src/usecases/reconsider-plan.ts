/**
 * Something happened: can what was told still be kept? If not, a draft that changes as little as it can, with the reason
 * in numbers. A small safe change publishes itself where the workshop allows it; anything else waits for the coordinator.
 */
import { type Wishes, wishesWithin } from '../core/planning/changes.ts';
import { checkPlan } from '../core/planning/check.ts';
import { comparePlans } from '../core/planning/compare-plans.ts';
import { type Danger, dangersOf } from '../core/planning/danger.ts';
import type { Plan } from '../core/planning/plan.ts';
import type { PlanningProblem } from '../core/planning/problem.ts';
import type { Db } from '../store/db.ts';
import { appendEntry, newestEntry } from '../store/journal.ts';
import { readFacts } from '../store/journal-kinds.ts';
import { deleteDraft, getPlan, publishedPlan } from '../store/plans.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { buildPlanningProblem, nextHorizon } from './build-planning-problem.ts';
import type { Context } from './context.ts';
import { keepDraft } from './plan-week.ts';
import { publishDraft } from './publish-plan.ts';
import type { PrepareContext, RunContext } from './reaction.ts';
import { runningRounds } from './running-rounds.ts';

/** Iterations around the sites that the news is about: methods.md D says 500 to 2,000. */
const ITERATIONS = 600;
/** What publishes itself: a booking put in or taken out. */
const SMALL: readonly Danger['kind'][] = ['promise-not-held', 'stop-without-need'];

export type Reconsidered = {
  readonly toldId: string;
  readonly dangers: readonly Danger[];
  /** Absent where nothing can be changed for the better. */
  readonly draft?: {
    readonly plan: Plan;
    readonly problem: PlanningProblem;
    readonly wishes: Wishes;
    readonly changedDaySiteIds: readonly string[];
  };
};

/** Reads and computes; nothing where the published plan is not in danger. */
export async function reconsiderPlan(
  { store, now, planner, signal }: Pick<PrepareContext, 'store' | 'now' | 'planner' | 'signal'>,
  newsSiteIds: readonly string[],
): Promise<Reconsidered | undefined> {
  const at = now();
  const told = publishedPlan(store);
  const days = told?.plan.days.filter((day) => day >= nextHorizon(store, at).firstDay) ?? [];
  const [firstDay] = days;
  if (!told || firstDay === undefined) return undefined;
  const problem = buildPlanningProblem(store, at, { firstDay, days: days.length }, told);
  const gone = new Set(runningRounds(store, at).keys());
  const siteIds = [...new Set([...newsSiteIds, ...sitesStillInDanger(store)])];
  const dangers = dangersOf(problem, told.plan, new Set(siteIds), gone);
  if (dangers.length === 0) return undefined;

  const mend = { told: told.plan, siteIds };
  const plan = await planner(problem, { seed: 1, iterations: ITERATIONS }, { mend, signal });
  const faults = checkPlan(problem, plan);
  if (faults.length > 0)
    throw new Error(`The mended plan does not hold: ${JSON.stringify(faults.slice(0, 5))}`);
  const left = told.plan.rounds.filter((round) => !gone.has(round.shiftId));
  const compared = comparePlans({ ...told.plan, rounds: left }, plan);
  return {
    toldId: told.id,
    dangers,
    ...(compared.differences.length > 0
      ? {
          draft: {
            plan,
            problem,
            wishes: wishesWithin(told.wishes, problem),
            changedDaySiteIds: compared.changedDaySiteIds,
          },
        }
      : {}),
  };
}

/** Keeps the draft and says why. @throws Error when another plan was published meanwhile: then it is looked at anew */
export function keepReconsidered(
  { tx, at, newId }: RunContext,
  { toldId, dangers, draft }: Reconsidered,
  cause: { readonly seq: number; readonly siteIds: readonly string[] },
): void {
  if (publishedPlan(tx)?.id !== toldId) throw new Error('Another plan was published meanwhile.');
  const before = waitingDraft(tx);
  // What is known already, with the draft that mends it, need not be told twice.
  if (before && draft && isSame(before.dangers, dangers) && isSame(before.plan.rounds, draft.plan.rounds))
    return;
  const actor = 'server';
  const context: Pick<Context, 'now' | 'newId'> = { now: () => at, newId };
  // It was made on the facts of then.
  if (before) {
    deleteDraft(tx, before.id);
    appendEntry(tx, { at, kind: 'plan-dropped', subject: `plan:${before.id}`, actor, facts: {} });
  }
  const draftId = draft ? keepDraft(tx, context, { ...draft, actor }) : null;
  const isSmall =
    requireWorkshop(tx).settings.publishesSmallChanges &&
    dangers.every(({ kind }) => SMALL.includes(kind)) &&
    draft?.plan.unkept.length === 0 &&
    draft.changedDaySiteIds.every((siteId) => cause.siteIds.includes(siteId));
  const published = isSmall && draftId !== null && publishDraft(tx, at, { planId: draftId, actor }).ok;
  appendEntry(tx, {
    at,
    kind: 'plan-in-danger',
    subject: `plan:${toldId}`,
    actor,
    facts: { causeSeq: cause.seq, dangers: [...dangers], draftId, isPublished: published },
  });
}

/** The draft that was made for the newest danger, while it waits. */
function waitingDraft(db: Db) {
  const entry = newestEntry(db, 'plan-in-danger');
  const facts = entry && readFacts('plan-in-danger', entry.facts);
  const draft = facts?.draftId ? getPlan(db, facts.draftId) : undefined;
  return facts && draft?.state === 'draft'
    ? { id: draft.id, plan: draft.plan, dangers: facts.dangers }
    : undefined;
}

/** Earlier news that a draft mends which nobody has published yet. */
const sitesStillInDanger = (db: Db): string[] =>
  (waitingDraft(db)?.dangers ?? []).flatMap(({ siteId }) => (typeof siteId === 'string' ? siteId : []));

const isSame = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);
