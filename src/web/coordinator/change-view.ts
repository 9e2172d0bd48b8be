/** What the pages about changes by hand show: a stop with its choices, and what would follow from one; read from the store. */
import type { Change } from '../../core/planning/changes.ts';
import type { LeftOut, Plan, StopReason } from '../../core/planning/plan.ts';
import type { PlanningProblem } from '../../core/planning/problem.ts';
import type { Consequences } from '../../core/planning/what-if.ts';
import { ok, type Result, refuse } from '../../core/quantity/result.ts';
import type { Instant, LocalDay } from '../../core/quantity/units.ts';
import type { PlanState } from '../../core/vocabulary.ts';
import type { Db } from '../../store/db.ts';
import type { StoredPlan } from '../../store/plans.ts';
import { getSite } from '../../store/sites.ts';
import { planToShow } from '../../usecases/plan-to-show.ts';
import { type ChangeableWeek, layOutPlan, type WhatIfRefusal } from '../../usecases/what-if.ts';
import { type Names, readNames } from '../shared/names.ts';

/** A visit of the site, on the facts of now. */
export type VisitView = {
  readonly day: LocalDay;
  readonly shiftId: string;
  readonly vanId: string;
  readonly startAt: Instant;
  /** Among the site stops of its round, 1 is first. */
  readonly position: number;
  /** All sites of the round in order. */
  readonly order: readonly string[];
  readonly reason?: StopReason;
  readonly isPinned: boolean;
};

export type Choice = {
  readonly change: Change;
  readonly toDay?: LocalDay;
  /** The van that would take it; absent where none can. */
  readonly vanId?: string;
  readonly consequences: Consequences;
};

type Head = {
  readonly names: Names;
  readonly planId: string;
  readonly planState: PlanState;
  /** Its id where another plan is on show. */
  readonly newestId?: string;
  /** Stops that cannot be driven any more on the facts of now, whatever is changed. */
  readonly lost: ChangeableWeek['lost'];
};

export type ChoicesView = Head & {
  readonly siteId: string;
  /** The visit that is to be changed; absent where another is to be added. */
  readonly visit?: VisitView;
  readonly otherVisits: readonly VisitView[];
  /** Why it is left out, where it is not visited at all. */
  readonly leftOut?: LeftOut;
  readonly choices: readonly Choice[];
};

export type AnswerView = Head & { readonly change: Change; readonly consequences: Consequences };

export type ViewRefusal = WhatIfRefusal | { readonly kind: 'site-not-found' };

/** Without a plan's id, of the plan on show. `day` names the visit; `isMore` asks for another one. */
export function readChoices(
  db: Db,
  at: Instant,
  asked: {
    readonly planId?: string | undefined;
    readonly siteId: string;
    readonly day?: string | undefined;
    readonly isMore: boolean;
  },
): Result<ChoicesView, ViewRefusal> {
  const { siteId, day, isMore } = asked;
  if (!getSite(db, siteId)) return refuse({ kind: 'site-not-found' });
  const laid = layOutPlan(db, at, asked.planId ?? planToShow(db)?.id ?? '');
  if (!laid.ok) return laid;
  const { week, base } = laid.value;
  const asItIs = week.ask([]);
  if (!asItIs.ok) return asItIs;
  const { problem } = asItIs.value;
  const plan = asItIs.value.plan();
  const visits = visitsOf(plan, base, siteId);
  const visit = isMore ? undefined : (visits.find((one) => one.day === day) ?? visits[0]);
  const leftOut = plan.leftOut.find((one) => one.siteId === siteId);
  return ok({
    ...headOf(db, laid.value),
    siteId,
    ...(visit ? { visit } : {}),
    otherVisits: visits.filter((one) => one !== visit),
    ...(leftOut ? { leftOut } : {}),
    choices: changesFor(problem, siteId, visits, visit).flatMap((change) => {
      const answer = week.ask([change]);
      return answer.ok ? choiceOf(change, answer.value.consequences) : [];
    }),
  });
}

export function readAnswer(
  db: Db,
  at: Instant,
  planId: string,
  change: Change,
): Result<AnswerView, WhatIfRefusal> {
  const laid = layOutPlan(db, at, planId);
  if (!laid.ok) return laid;
  const answer = laid.value.week.ask([change]);
  if (!answer.ok) return answer;
  return ok({ ...headOf(db, laid.value), change, consequences: answer.value.consequences });
}

const headOf = (db: Db, { base, newest, lost }: ChangeableWeek): Head => ({
  names: readNames(db),
  planId: base.id,
  planState: base.state,
  ...(newest && newest.id !== base.id ? { newestId: newest.id } : {}),
  lost,
});

function visitsOf({ rounds }: Plan, { wishes }: StoredPlan, siteId: string): VisitView[] {
  return rounds.flatMap(({ day, shiftId, vanId, stops }) => {
    const order = stops.flatMap((stop) => stop.siteId ?? []);
    const stop = stops.find((one) => one.siteId === siteId);
    if (!stop) return [];
    return {
      day,
      shiftId,
      vanId,
      startAt: stop.startAt,
      position: order.indexOf(siteId) + 1,
      order,
      ...(stop.reason ? { reason: stop.reason } : {}),
      isPinned: wishes.pins.some((pin) => pin.siteId === siteId && pin.day === day),
    };
  });
}

/** Leaving it out, each other day, each other van of its day; or a visit on each day. */
function changesFor(
  { days, shifts }: PlanningProblem,
  siteId: string,
  visits: readonly VisitView[],
  visit: VisitView | undefined,
): Change[] {
  const free = days.filter((day) => !visits.some((one) => one.day === day));
  if (!visit) return free.map((day) => ({ kind: 'add', siteId, day }));
  const { day, shiftId: ownId } = visit;
  const others = shifts.filter((shift) => days[shift.dayIndex] === day && shift.shiftId !== ownId);
  return [
    { kind: 'skip', siteId, day },
    ...others.map(({ shiftId }): Change => ({ kind: 'move', siteId, day, shiftId })),
    ...free.map((toDay): Change => ({ kind: 'move', siteId, day, toDay })),
  ];
}

function choiceOf(change: Change, consequences: Consequences): Choice {
  const { before, after } = consequences;
  const toDay =
    change.kind === 'move' ? (change.toDay ?? change.day) : change.kind === 'add' ? change.day : undefined;
  const stopsOf = (shiftId: string): number =>
    before.rounds.find((round) => round.shiftId === shiftId)?.stops ?? 0;
  const taker = after?.rounds.find((round) => round.day === toDay && round.stops > stopsOf(round.shiftId));
  return {
    change,
    ...(toDay === undefined ? {} : { toDay }),
    ...(taker ? { vanId: taker.vanId } : {}),
    consequences,
  };
}
