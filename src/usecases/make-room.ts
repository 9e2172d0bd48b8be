/**
 * A visit on a day on which there is no room for it, or only at a price: pinned there, and the sites around it arranged
 * anew so that it fits (methods.md D: let the neighbours react). Everybody else stays where it costs least to stay.
 */
import { type Change, type Wishes, withPins } from '../core/planning/changes.ts';
import { comparePlans, type Difference } from '../core/planning/compare-plans.ts';
import type { Plan, UnkeptPromise } from '../core/planning/plan.ts';
import type { PlanningProblem } from '../core/planning/problem.ts';
import type { WeekFigures } from '../core/planning/week-figures.ts';
import { whatIf } from '../core/planning/what-if.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { LocalDay } from '../core/quantity/units.ts';
import { getPlan, type StoredPlan } from '../store/plans.ts';
import type { Context, Planner } from './context.ts';
import { type ChangedMeanwhile, changedMeanwhile, isMadeBy, saveChangedPlan } from './save-changed-plan.ts';
import { layOutPlan, type WhatIfRefusal } from './what-if.ts';

/** As for a draft that mends: methods.md D says 500 to 2,000. The same every time, so that what is kept is what was seen. */
const BUDGET = { seed: 1, iterations: 600 };

/** `day` is where it is now; absent where it is not visited. */
export type RoomWanted = { readonly siteId: string; readonly day?: LocalDay; readonly toDay: LocalDay };

export type RoomRefusal =
  | WhatIfRefusal
  /** Whoever else would move, it does not fit, or somebody's promise would break. */
  | { readonly kind: 'no-room-to-make'; readonly unkept: readonly UnkeptPromise[] };

export type RoomMade = {
  readonly base: StoredPlan;
  readonly newest: StoredPlan | undefined;
  readonly changes: readonly Change[];
  readonly plan: Plan;
  readonly problem: PlanningProblem;
  readonly wishes: Wishes;
  readonly before: WeekFigures;
  readonly after: WeekFigures;
  /** For everybody, the site itself among them. */
  readonly differences: readonly Difference[];
};

export type KeepRoomRequest = {
  readonly factId: string;
  readonly planId: string;
  readonly wanted: RoomWanted;
  readonly actor: string;
};

/** Reads and computes, some tenths of a second. */
export async function askForRoom(
  { store, now }: Pick<Context, 'store' | 'now'>,
  planner: Planner,
  planId: string,
  wanted: RoomWanted,
): Promise<Result<RoomMade, RoomRefusal>> {
  const laid = layOutPlan(store, now(), planId);
  if (!laid.ok) return laid;
  const { base, newest, week } = laid.value;
  const changes = changesFor(wanted);
  // Only to hear whether the request can be read at all.
  const read = week.ask(changes.slice(0, 1));
  if (!read.ok) return read;
  const unchanged = week.ask([]);
  if (!unchanged.ok) return unchanged;
  const asNow = unchanged.value;
  const told = asNow.plan();
  const rounds = withoutVisit(told, wanted);
  const pins = [
    ...asNow.wishes.pins.filter(({ siteId, day }) => siteId !== wanted.siteId || day !== wanted.day),
    { siteId: wanted.siteId, day: wanted.toDay },
  ];
  const wishes = { ...asNow.wishes, pins };
  const problem = withPins(asNow.problem, pins);
  const mend = { told: { rounds }, siteIds: [wanted.siteId] };
  const found = await planner(withoutOldDay(problem, wanted), BUDGET, { mend });
  const unkept = found.unkept.filter((one) => !week.before.unkept.some((was) => isSame(was, one)));
  if (unkept.length > 0) return refuse({ kind: 'no-room-to-make', unkept });
  // Told on the problem as later runs know it, where the old day is open again.
  const again = whatIf(problem, found, wishes);
  const made = again.ask([]);
  if (!made.ok) return made;
  const plan = made.value.plan();
  const { differences } = comparePlans(told, plan);
  const { before } = week;
  return ok({ base, newest, changes, plan, problem, wishes, before, after: again.before, differences });
}

/** Makes the same plan again and keeps it. @throws Error when the checker finds a fault */
export async function keepRoom(
  context: Context,
  planner: Planner,
  { factId, planId, wanted, actor }: KeepRoomRequest,
): Promise<
  Result<{ readonly planId: string }, RoomRefusal | ChangedMeanwhile | { readonly kind: 'fact-differs' }>
> {
  const made = getPlan(context.store, factId);
  if (made)
    return isMadeBy(made, planId, changesFor(wanted))
      ? ok({ planId: factId })
      : refuse({ kind: 'fact-differs' });
  const asked = await askForRoom(context, planner, planId, wanted);
  if (!asked.ok) return asked;
  const { base, newest, before, after: _a, differences: _d, ...changed } = asked.value;
  if (newest?.id !== planId) return refuse(changedMeanwhile(context.store, base, newest));
  return saveChangedPlan(context, { ...changed, factId, base, costBeforeMicros: before.costMicros, actor });
}

function changesFor({ siteId, day, toDay }: RoomWanted): Change[] {
  return [
    day === undefined ? { kind: 'add', siteId, day: toDay } : { kind: 'move', siteId, day, toDay },
    { kind: 'pin', siteId, day: toDay },
  ];
}

/** A visit that moves does not come on its old day as well, however well that would pay. */
const withoutOldDay = (problem: PlanningProblem, { siteId, day }: RoomWanted): PlanningProblem => {
  const old = day === undefined ? -1 : problem.days.indexOf(day);
  if (old < 0) return problem;
  const sites = problem.sites.map((site) =>
    site.siteId === siteId ? { ...site, barredDays: [...site.barredDays, old] } : site,
  );
  return { ...problem, sites };
};

const withoutVisit = ({ rounds }: Plan, { siteId, day }: RoomWanted): Plan['rounds'] =>
  rounds.map((round) =>
    round.day === day ? { ...round, stops: round.stops.filter((stop) => stop.siteId !== siteId) } : round,
  );

const isSame = (a: UnkeptPromise, b: UnkeptPromise): boolean =>
  a.siteId === b.siteId && a.kind === b.kind && a.windowFromAt === b.windowFromAt;
