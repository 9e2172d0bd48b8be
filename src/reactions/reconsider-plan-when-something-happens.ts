/** Something happened that may put the published plan in danger: it is looked at again, and mended as a draft. */

import type { Db } from '../store/db.ts';
import { publishedPlan } from '../store/plans.ts';
import { reaction, type Told } from '../usecases/reaction.ts';
import { keepReconsidered, reconsiderPlan } from '../usecases/reconsider-plan.ts';

const KINDS = [
  'container-reported-full',
  'surge-announced',
  'surge-changed',
  'surge-cancelled',
  'extra-collection-requested',
  'extra-collection-confirmed',
  'extra-collection-changed',
  'extra-collection-cancelled',
  'stop-missed',
  'van-off-road',
  'van-back',
  'driver-away',
  'driver-back',
  'shift-changed',
  'production-day-changed',
  'production-day-pressed',
  'stock-corrected',
] as const;

export const reconsiderPlanWhenSomethingHappens = reaction({
  name: 'reconsider-plan-when-something-happens',
  on: KINDS,
  // Plans follow one another.
  subjectOf: () => 'plans',
  prepare: async (context, entry) => {
    const siteIds = sitesOf(context.store, entry);
    const reconsidered = await reconsiderPlan(context, siteIds);
    return reconsidered && { reconsidered, siteIds };
  },
  run: (context, { seq }, prepared) => {
    if (prepared) keepReconsidered(context, prepared.reconsidered, { seq, siteIds: prepared.siteIds });
  },
});

/** What the news is about: a site, or all that a van or a shift was to visit. */
function sitesOf(db: Db, entry: Told<(typeof KINDS)[number]>): string[] {
  const [about, id = ''] = entry.subject.split(':');
  if (about === 'site') return [id];
  const shiftId =
    entry.kind === 'driver-away' || entry.kind === 'driver-back'
      ? entry.facts.shiftId
      : entry.kind === 'shift-changed'
        ? entry.facts.insteadOfId
        : undefined;
  return (publishedPlan(db)?.rounds ?? [])
    .filter((round) => (about === 'van' ? round.vanId === id : round.shiftId === shiftId))
    .flatMap((round) => round.stops.flatMap(({ siteId }) => siteId ?? []));
}
