/** A plan was published in place of another: donors whose day has changed hear of it, and nobody else. */
import { localOf } from '../core/calendar/zone.ts';
import type { Instant, LocalDay } from '../core/quantity/units.ts';
import type { Tx } from '../store/db.ts';
import { getPlan, type StoredPlan, stopOutcomes } from '../store/plans.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { reaction } from '../usecases/reaction.ts';
import { runningRounds } from '../usecases/running-rounds.ts';
import { tell } from '../usecases/word/queue-word.ts';

export const tellDonorWhenVisitMoves = reaction({
  name: 'tell-donor-when-visit-moves',
  on: ['plan-published'],
  // Plans follow one another: their words must, too.
  subjectOf: () => 'plans',
  run: (context, { subject, facts: { supersededId }, seq }) => {
    const { tx, at } = context;
    const plan = getPlan(tx, subject.slice('plan:'.length));
    const before = supersededId === null ? undefined : getPlan(tx, supersededId);
    if (!plan || !before) return;
    for (const moved of movedVisits(tx, before, plan, at))
      tell(context, { template: 'visit-moved', facts: moved }, `entry ${seq}`);
  },
});

type Moved = { readonly siteId: string; readonly fromDay: LocalDay; readonly startAt: Instant | null };

/** By site, the first day that was planned and is no longer, and when we come instead. */
function movedVisits(tx: Tx, before: StoredPlan, plan: StoredPlan, at: Instant): Moved[] {
  const today = localOf(requireWorkshop(tx).zone, at).day;
  const onRoad = new Set([...runningRounds(tx, at).values()].map((round) => round.shiftId));
  const visits = ({ rounds }: StoredPlan) =>
    rounds
      // A round that is on the road stays as it left.
      .filter((round) => round.day >= today && !onRoad.has(round.shiftId))
      .flatMap(({ day, stops }) =>
        stops.flatMap(({ siteId, startAt, id }) =>
          siteId === undefined ? [] : { siteId, day, startAt, id },
        ),
      )
      .sort((a, b) => a.startAt - b.startAt);
  const now = Map.groupBy(visits(plan), (visit) => visit.siteId);
  const then = visits(before).filter((visit) => visit.day <= plan.plan.days.at(-1)!);
  const done = stopOutcomes(
    tx,
    then.map((visit) => visit.id),
  );
  const moved = new Map<string, Moved>();
  for (const { siteId, day, id } of then) {
    const planned = now.get(siteId) ?? [];
    if (moved.has(siteId) || done.has(id) || planned.some((visit) => visit.day === day)) continue;
    moved.set(siteId, { siteId, fromDay: day, startAt: planned[0]?.startAt ?? null });
  }
  return [...moved.values()];
}
