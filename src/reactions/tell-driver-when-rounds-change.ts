/** A plan was published: drivers whose rounds are not what they were hear of it. */
import { localOf } from '../core/calendar/zone.ts';
import { getPlan, type StoredPlan } from '../store/plans.ts';
import { requireWorkshop } from '../store/workshop.ts';
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
    const [now, then] = [roundsByDriver(plan, today), before && roundsByDriver(before, today)];
    for (const driverId of new Set([...now.keys(), ...(then?.keys() ?? [])]))
      if (now.get(driverId) !== then?.get(driverId))
        tell(
          context,
          { template: 'rounds-planned', facts: { planId, driverId, fromAt: at } },
          `entry ${seq}`,
        );
  },
});

/** What a driver would notice: days, times and stops, as one text to compare. */
function roundsByDriver({ rounds }: StoredPlan, today: string): ReadonlyMap<string, string> {
  const told = new Map<string, string>();
  for (const { driverId, day, startAt, vanId, stops } of rounds) {
    if (day < today) continue;
    const places = stops.map((stop) => stop.siteId ?? stop.kind);
    told.set(driverId, (told.get(driverId) ?? '') + JSON.stringify([day, startAt, vanId, places]));
  }
  return told;
}
