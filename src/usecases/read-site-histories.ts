/** Everything the estimator learns from, read from the store in the core's own words. */

import { weekdayWeights } from '../core/accumulation/learn-weekdays.ts';
import type { Evidence, SiteHistory } from '../core/accumulation/site-history.ts';
import { dayStart } from '../core/calendar/zone.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { readEvidence } from '../store/evidence.ts';
import { listSites, type Site } from '../store/sites.ts';
import { listSurges, type Surge } from '../store/surges.ts';
import { requireWorkshop, type Workshop } from '../store/workshop.ts';

export const readSiteHistories = (db: Db): SiteHistory[] => historiesWith(db, readEvidence(db));

/** The same without any evidence. */
export const readRegister = (db: Db): SiteHistory[] => historiesWith(db, new Map());

function historiesWith(db: Db, evidence: ReadonlyMap<string, readonly Evidence[]>): SiteHistory[] {
  const workshop = requireWorkshop(db);
  const surges = Map.groupBy(listSurges(db), (surge) => surge.siteId);
  return listSites(db).map((site) => {
    const own = evidence.get(site.id) ?? [];
    const history = {
      siteId: site.id,
      kind: site.kind,
      zone: workshop.zone,
      declaredBagsPerWeek: site.declaredBagsPerWeek,
      bagKg: site.bagKg ?? workshop.bagKg,
      litresPerKg: litresPerKg(workshop),
      containers: site.containers.map(({ count, litresEach, fromDay, untilDay }) => ({
        count,
        litresEach,
        ...(fromDay === null ? {} : { fromDay }),
        ...(untilDay === null ? {} : { untilDay }),
      })),
      openWeekdays: openWeekdays(site),
      closedDays: site.closures.map(({ fromDay, untilDay }) => ({ fromDay, untilDay })),
      ...start(site, workshop.zone, own[0]?.at),
      declaredShares: site.gradeShares,
      evidence: own,
      surges: (surges.get(site.id) ?? []).map(historicSurge),
    };
    return { ...history, weekdayWeights: weekdayWeights(history, workshop.settings.filter?.weekdays) };
  });
}

export const litresPerKg = (workshop: Workshop): number => 1000 / workshop.filmKgPerM3;

/** A site without hours is always open, so film gathers on every day. */
const openWeekdays = (site: Site): boolean[] =>
  [1, 2, 3, 4, 5, 6, 7].map(
    (weekday) => site.hours.length === 0 || site.hours.some((row) => row.weekday === weekday),
  );

/**
 * Film gathers from the day a site became active, or from when it was registered. Pickups from before that
 * (an imported history) mean that nobody knows what waited at the first of them.
 */
function start(site: Site, zone: string, firstAt: Instant | undefined) {
  const since = site.activeFromDay === null ? site.registeredAt : dayStart(zone, site.activeFromDay);
  return firstAt !== undefined && firstAt < since
    ? { fillsSinceAt: firstAt, isStartKnown: false }
    : { fillsSinceAt: since, isStartKnown: true };
}

const historicSurge = ({ eventKind, startsAt, endsAt, expectedBags, announcedAt, cancelledAt }: Surge) => ({
  eventKind,
  startsAt,
  endsAt,
  expectedBags,
  announcedAt,
  ...(cancelledAt === null ? {} : { cancelledAt }),
});
