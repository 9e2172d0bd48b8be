/** What was published, version by version: the rows that calendars are made of. Drafts were told to nobody. */
import { and, asc, eq, gte, isNotNull } from 'drizzle-orm';
import { plans, rounds, shifts, stops } from '../../db/schema.ts';
import type { Instant, LocalDay } from '../core/quantity/units.ts';
import type { Db } from './db.ts';

export type ToldStop = {
  readonly planId: string;
  readonly roundId: string;
  readonly shiftId: string;
  readonly vanId: string;
  readonly driverId: string;
  readonly day: LocalDay;
  readonly shiftStartsMinute: number;
  readonly roundStartsAt: Instant;
  readonly roundEndsAt: Instant;
  readonly stopId: string;
  readonly kind: 'site' | 'unload' | 'break';
  readonly siteId: string | null;
  readonly startAt: Instant;
  readonly departAt: Instant;
};

export type ToldPlan = {
  readonly planId: string;
  readonly publishedAt: Instant;
  readonly stops: readonly ToldStop[];
};

/** Published or superseded plans that begin on `sinceDay` or later, by publication; stops in order of time. */
export function toldPlansSince(db: Db, sinceDay: LocalDay): ToldPlan[] {
  const told = and(isNotNull(plans.publishedAt), gte(plans.firstDay, sinceDay));
  const versions = db
    .select({ planId: plans.id, publishedAt: plans.publishedAt })
    .from(plans)
    .where(told)
    .orderBy(asc(plans.publishedAt), asc(plans.id))
    .all();
  const rows = db
    .select({
      planId: plans.id,
      roundId: rounds.id,
      shiftId: rounds.shiftId,
      vanId: rounds.vanId,
      driverId: rounds.driverId,
      day: rounds.day,
      shiftStartsMinute: shifts.startsMinute,
      roundStartsAt: rounds.startsAt,
      roundEndsAt: rounds.endsAt,
      stopId: stops.id,
      kind: stops.kind,
      siteId: stops.siteId,
      startAt: stops.startAt,
      departAt: stops.departAt,
    })
    .from(stops)
    .innerJoin(rounds, eq(rounds.id, stops.roundId))
    .innerJoin(plans, eq(plans.id, rounds.planId))
    .innerJoin(shifts, eq(shifts.id, rounds.shiftId))
    .where(told)
    .orderBy(asc(stops.startAt), asc(stops.id))
    .all();
  const ofPlan = Map.groupBy(rows, ({ planId }) => planId);
  return versions.map(({ planId, publishedAt }) => ({
    planId,
    publishedAt: publishedAt ?? 0,
    stops: ofPlan.get(planId) ?? [],
  }));
}
