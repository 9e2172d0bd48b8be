/**
 * "What if we skip, add or move this?" answered by the plan's own evaluation: everything else stays where it is, what
 * is left open goes where it costs least, and the week is told in figures before and after. What neighbours would do
 * if the week were planned anew could only make it cheaper.
 */
import { ok, type Result } from '../quantity/result.ts';
import { applyChanges, type LaidOut } from './apply-changes.ts';
import { assemblePlan } from './assemble.ts';
import type { Change, ChangeRefusal, Obstacle, Wishes } from './changes.ts';
import { moneyDifference } from './money.ts';
import { prolonged } from './place-change.ts';
import type { Money, Plan, UnkeptPromise } from './plan.ts';
import type { PlanningProblem } from './problem.ts';
import { withPromises } from './promises.ts';
import { roundLoads } from './round-loads.ts';
import { ordersOfPlan, stateOfOrders } from './start.ts';
import { MAX_STOPS } from './steps.ts';
import { layOutWeek } from './week.ts';
import { type SiteFigures, siteFigures, type WeekFigures, weekFigures } from './week-figures.ts';
import { roundFits, type WeekState } from './week-state.ts';

export type Consequences = {
  /** Why it cannot be done; empty where it can. */
  readonly obstacles: readonly Obstacle[];
  /** Kept before and not any more. It can be done, but somebody was told. */
  readonly brokenPromises: readonly UnkeptPromise[];
  readonly before: WeekFigures;
  /** Absent where a round cannot be driven, so that there is nothing to reckon. */
  readonly after?: WeekFigures;
  /** After less before, by part; negative saves. */
  readonly difference?: Money;
  /** The sites that the changes name. */
  readonly sites: readonly { readonly before: SiteFigures; readonly after?: SiteFigures }[];
};

export type ChangedWeek = {
  readonly consequences: Consequences;
  /** What is fixed by hand from then on. */
  readonly wishes: Wishes;
  /** The problem that the changed plan answers: with the wishes. */
  readonly problem: PlanningProblem;
  /** With new reasons. Only where there are no obstacles. */
  readonly plan: () => Plan;
};

export type WhatIf = {
  /** Stops of the plan that cannot be driven any more on the facts of the problem, whatever is changed. */
  readonly lost: readonly { readonly siteId: string; readonly day: string; readonly shiftId: string }[];
  readonly before: WeekFigures;
  /** Some milliseconds an answer; a pin or other drivers lay the week out anew. */
  readonly ask: (changes: readonly Change[]) => Result<ChangedWeek, ChangeRefusal>;
};

/** Lays out the week of a plan once, for any number of questions. `wishes` are in the problem already. */
export function whatIf(
  problem: PlanningProblem,
  plan: Pick<Plan, 'rounds' | 'seed' | 'iterations'>,
  wishes: Wishes,
): WhatIf {
  const { week, hopeless } = withPromises(layOutWeek(problem));
  const base: LaidOut = { state: stateOfOrders(week, ordersOfPlan(week, plan)), hopeless, wishes };
  const before = weekFigures(base);

  const ask: WhatIf['ask'] = (changes) => {
    const applied = applyChanges(base, changes);
    if (!applied.ok) return applied;
    const { state, noPlace, ...rest } = applied.value;
    const undrivable = noPlace ? [noPlace] : tooLong(state);
    const after = undrivable.length === 0 ? weekFigures(applied.value) : undefined;
    const siteIds = new Set(changes.flatMap((change) => ('siteId' in change ? [change.siteId] : [])));
    const broken = after?.unkept.filter((promise) => !before.unkept.some((one) => isSame(one, promise)));
    return ok({
      consequences: {
        obstacles: after ? tooFull(state) : undrivable,
        brokenPromises: broken ?? [],
        before,
        ...(after ? { after, difference: moneyDifference(after.money, before.money) } : {}),
        sites: [...siteIds].map((siteId) => ({
          before: siteFigures(base.state, siteId),
          ...(after ? { after: siteFigures(state, siteId) } : {}),
        })),
      },
      wishes: rest.wishes,
      problem: state.week.problem,
      plan: () => assemblePlan(state, rest.hopeless, { seed: plan.seed, iterations: plan.iterations }),
    });
  };
  return { lost: lostStops(base.state, plan), before, ask };
}

function lostStops({ week, shiftOf }: WeekState, { rounds }: Pick<Plan, 'rounds'>): WhatIf['lost'] {
  const { problem, days } = week;
  const siteOf = new Map(problem.sites.map((site, i) => [site.siteId, i]));
  return rounds.flatMap(({ day, shiftId, stops }) => {
    const d = problem.days.indexOf(day);
    return stops.flatMap(({ siteId }) => {
      if (siteId === undefined || d < 0) return [];
      const site = siteOf.get(siteId);
      return site !== undefined && shiftOf[site * days + d]! >= 0 ? [] : [{ siteId, day, shiftId }];
    });
  });
}

const isSame = (a: UnkeptPromise, b: UnkeptPromise): boolean =>
  a.siteId === b.siteId && a.kind === b.kind && a.windowFromAt === b.windowFromAt;

/** Rounds that cannot be driven: by how much a longer shift would have to be longer, or that no time would do. */
function tooLong({ week, timer, roundMicros, orders, counts }: WeekState): Obstacle[] {
  const { problem, originAt } = week;
  return week.shifts
    .filter(({ index }) => roundMicros[index] === Infinity)
    .map((shift): Obstacle => {
      const { shiftId } = problem.shifts[shift.index]!;
      if (!timer.lay(prolonged(shift), orders, shift.index * MAX_STOPS, counts[shift.index]!))
        return { kind: 'hours-missed', day: problem.days[shift.day]!, shiftId };
      const { endS } = timer.table;
      const latestAt = originAt + shift.lastS;
      return {
        kind: 'shift-exceeded',
        shiftId,
        endAt: originAt + endS,
        latestAt,
        byS: endS - shift.lastS,
      };
    });
}

function tooFull(state: WeekState): Obstacle[] {
  const { week } = state;
  return week.shifts
    .filter(({ index }) => !roundFits(state, index))
    .flatMap(({ index, payloadKg, loadSpaceL }): Obstacle[] => {
      const { shiftId } = week.problem.shifts[index]!;
      const { cautiousLoadKg, cautiousLoadL } = roundLoads(state, index);
      const byKg = cautiousLoadKg >= payloadKg;
      const byL = cautiousLoadL >= loadSpaceL;
      return [
        ...(byKg || !byL ? [{ kind: 'van-over-payload', shiftId, cautiousLoadKg, payloadKg } as const] : []),
        ...(byL ? [{ kind: 'van-over-space', shiftId, cautiousLoadL, loadSpaceL } as const] : []),
      ];
    });
}
