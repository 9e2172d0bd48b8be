/** A plan was published: drivers whose rounds are not what they were hear of it. */
import { localOf } from '../core/calendar/zone.ts';
import { getPlan } from '../store/plans.ts';
import { requireWorkshop } from '../store/workshop.ts';
import { driversWithOtherRounds } from '../usecases/plan-differences.ts';
import { reaction } from '../usecases/reaction.ts';
import { tell } from '../usecases/word/queue-word.ts';

export const tellDriverWhenRoundsChange = reaction({
  name: 'tell-driver-when-rounds-change',
  on: ['plan-published'],
  subjectOf: () => 'plans',
  run: (context, { subject, facts: { supersededId }, seq }) => {
    const { tx, at } = context;
    const planId = subject.slice('plan:'.length);
    const plan = getPlan(tx, planId);
    if (!plan) return;
    const before = supersededId === null ? undefined : getPlan(tx, supersededId);
    const today = localOf(requireWorkshop(tx).zone, at).day;
    for (const driverId of driversWithOtherRounds(before, plan, today))
      tell(context, { template: 'rounds-planned', facts: { planId, driverId, fromAt: at } }, `entry ${seq}`);
  },
});
