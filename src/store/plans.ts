/**
 * Plans: immutable versions. `body` holds the plan as the core made it; rounds and stops are rows as well, so
 * that weigh-ins can point at a stop and a driver's round can be found. At most one plan is published.
 */
import { and, asc, desc, eq, gt, inArray, or, sql } from 'drizzle-orm';
import { plans, rounds, stops } from '../../db/schema.ts';
import { type Change, NO_WISHES, type Wishes } from '../core/planning/changes.ts';
import type { Plan, PlannedRound, PlannedStop } from '../core/planning/plan.ts';
import { ok, type Result, refuse } from '../core/quantity/result.ts';
import type { Instant, LocalDay, Micros } from '../core/quantity/units.ts';
import type { MissedReason, PlanState } from '../core/vocabulary.ts';
import type { Db, Tx } from './db.ts';
import { toG } from './grams.ts';
import { listMissedOfStops } from './missed-stops.ts';
import { listWeighInsOfStops } from './weigh-ins.ts';

export type PlanSummary = {
  readonly id: string;
  readonly state: PlanState;
  readonly firstDay: LocalDay;
  readonly days: number;
  readonly seed: number;
  readonly iterations: number;
  readonly inputHash: string;
  readonly costMicros: Micros;
  /** The plan that this one was changed from by hand, while there is one. */
  readonly baseId: string | null;
  readonly createdAt: Instant;
  readonly publishedAt: Instant | null;
  readonly supersededAt: Instant | null;
};

export type StoredStop = PlannedStop & { readonly id: string };
export type StoredRound = Omit<PlannedRound, 'stops'> & {
  readonly id: string;
  readonly planId: string;
  readonly stops: readonly StoredStop[];
};
/** The plan as the core made it, and the same rounds with their ids. */
export type StoredPlan = PlanSummary & {
  readonly plan: Plan;
  readonly rounds: readonly StoredRound[];
  /** What was changed by hand to make it; absent where the planner made it. */
  readonly changes?: readonly Change[];
  readonly wishes: Wishes;
};

export type NewPlan = {
  readonly id: string;
  readonly plan: Plan;
  readonly inputHash: string;
  readonly createdAt: Instant;
  readonly wishes?: Wishes;
  readonly changed?: { readonly baseId: string; readonly changes: readonly Change[] };
};

/** Saves a draft with its rounds and stops. */
export function savePlan(
  tx: Tx,
  { id, plan, inputHash, createdAt, wishes = NO_WISHES, changed }: NewPlan,
  newId: () => string,
): void {
  tx.insert(plans)
    .values({
      id,
      state: 'draft',
      firstDay: plan.firstDay,
      days: plan.days.length,
      seed: plan.seed,
      iterations: plan.iterations,
      inputHash,
      costMicros: plan.costMicros,
      body: plan,
      baseId: changed?.baseId ?? null,
      changes: changed?.changes ?? null,
      wishes: wishes.pins.length + wishes.drivers.length > 0 ? wishes : null,
      createdAt,
    })
    .run();
  for (const round of plan.rounds) {
    const roundId = newId();
    tx.insert(rounds)
      .values({
        id: roundId,
        planId: id,
        shiftId: round.shiftId,
        vanId: round.vanId,
        driverId: round.driverId,
        day: round.day,
        startsAt: round.startAt,
        endsAt: round.endAt,
        distanceM: round.distanceM,
        costMicros: Object.values(round.money).reduce((sum, part) => sum + part, 0),
      })
      .run();
    const rows = round.stops.map((stop, position) => ({
      id: newId(),
      roundId,
      position,
      kind: stop.kind,
      siteId: stop.siteId ?? null,
      arriveAt: stop.arriveAt,
      startAt: stop.startAt,
      departAt: stop.departAt,
      expectedG: toG(stop.expectedKg),
      expectedL: stop.expectedL,
    }));
    if (rows.length > 0) tx.insert(stops).values(rows).run();
  }
}

export type PublishRefusal =
  | { readonly kind: 'no-such-plan'; readonly planId: string }
  | { readonly kind: 'plan-not-a-draft'; readonly planId: string; readonly state: PlanState }
  /**
   * Made before these bookings were confirmed: they are neither in it nor named as not to be kept. Or these shifts cannot
   * be given to the drivers it has for them: they drive another by now.
   */
  | {
      readonly kind: 'out-of-date';
      readonly planId: string;
      readonly bookingIds: readonly string[];
      readonly shiftIds: readonly string[];
    };

/** Makes a draft the published plan; the one before it is superseded at the same instant. */
export function publishPlan(
  tx: Tx,
  id: string,
  at: Instant,
): Result<{ readonly supersededId: string | null }, PublishRefusal> {
  const draft = getPlanSummary(tx, id);
  if (!draft) return refuse({ kind: 'no-such-plan', planId: id });
  if (draft.state !== 'draft') return refuse({ kind: 'plan-not-a-draft', planId: id, state: draft.state });
  const before = tx.select({ id: plans.id }).from(plans).where(eq(plans.state, 'published')).get();
  if (before)
    tx.update(plans).set({ state: 'superseded', supersededAt: at }).where(eq(plans.id, before.id)).run();
  tx.update(plans).set({ state: 'published', publishedAt: at }).where(eq(plans.id, id)).run();
  return ok({ supersededId: before?.id ?? null });
}

/** Drafts that nobody published; a published or superseded plan stays. Says how many went. */
export const deleteDraftsBefore = (tx: Tx, createdBefore: Instant): number => {
  const old = listPlans(tx, 'draft').filter((plan) => plan.createdAt < createdBefore);
  for (const { id } of old) tx.delete(plans).where(eq(plans.id, id)).run();
  return old.length;
};

export function deleteDraft(tx: Tx, id: string): void {
  tx.delete(plans)
    .where(and(eq(plans.id, id), eq(plans.state, 'draft')))
    .run();
}

const summary = {
  id: plans.id,
  state: plans.state,
  firstDay: plans.firstDay,
  days: plans.days,
  seed: plans.seed,
  iterations: plans.iterations,
  inputHash: plans.inputHash,
  costMicros: plans.costMicros,
  baseId: plans.baseId,
  createdAt: plans.createdAt,
  publishedAt: plans.publishedAt,
  supersededAt: plans.supersededAt,
};

export const getPlanSummary = (db: Db, id: string): PlanSummary | undefined =>
  db.select(summary).from(plans).where(eq(plans.id, id)).get();

const NEWEST_FIRST = [desc(plans.createdAt), sql`${plans}.rowid DESC`];

/** Newest first, of one second the one that came last; of one state, or of all. */
export const listPlans = (db: Db, state?: PlanState, limit = 100): PlanSummary[] =>
  db
    .select(summary)
    .from(plans)
    .where(state === undefined ? undefined : eq(plans.state, state))
    .orderBy(...NEWEST_FIRST)
    .limit(limit)
    .all();

/** The newest draft that was made after what is published, or after which nothing was published. */
export const newestDraftAfter = (db: Db, published: PlanSummary | undefined): PlanSummary | undefined =>
  db
    .select(summary)
    .from(plans)
    .where(and(eq(plans.state, 'draft'), published && madeAfterPublication(published)))
    .orderBy(...NEWEST_FIRST)
    .limit(1)
    .get();

/** In the second of the publication itself, a row that is older than the published one was made before it. */
const madeAfterPublication = ({ id, publishedAt }: PlanSummary) =>
  or(
    gt(plans.createdAt, publishedAt ?? 0),
    and(
      eq(plans.createdAt, publishedAt ?? 0),
      sql`${plans}.rowid > (SELECT p.rowid FROM plans AS p WHERE p.id = ${id})`,
    ),
  );

export function getPlan(db: Db, id: string): StoredPlan | undefined {
  const row = db.select().from(plans).where(eq(plans.id, id)).get();
  if (!row) return undefined;
  const { body, changes, wishes, ...rest } = row;
  // Written by `savePlan` and never changed since.
  const plan = body as Plan;
  return {
    ...rest,
    plan,
    rounds: readRounds(db, id, plan),
    ...(changes === null ? {} : { changes: changes as readonly Change[] }),
    wishes: wishesOf(rest.state, (wishes as Wishes | null) ?? NO_WISHES),
  };
}

/** With its publication the register has the drivers: what it says from then on counts. */
const wishesOf = (state: PlanState, wishes: Wishes): Wishes =>
  state === 'draft' ? wishes : { ...wishes, drivers: [] };

export function publishedPlan(db: Db): StoredPlan | undefined {
  const row = db.select({ id: plans.id }).from(plans).where(eq(plans.state, 'published')).get();
  return row && getPlan(db, row.id);
}

/** Of any plan, published or not. */
export function getRound(db: Db, id: string): StoredRound | undefined {
  const row = db.select({ planId: rounds.planId }).from(rounds).where(eq(rounds.id, id)).get();
  return row && getPlan(db, row.planId)?.rounds.find((round) => round.id === id);
}

/** In the published plan, in order of time. */
export const roundsOfDriver = (db: Db, driverId: string, day: LocalDay): StoredRound[] =>
  (publishedPlan(db)?.rounds ?? [])
    .filter((round) => round.driverId === driverId && round.day === day)
    .sort((a, b) => a.startAt - b.startAt);

export type StopPlace = {
  readonly stopId: string;
  readonly roundId: string;
  readonly planId: string;
  readonly planState: PlanState;
  readonly siteId: string | null;
  readonly driverId: string;
  readonly day: LocalDay;
};

/** Where a stop belongs, and whose it is: what must be known before somebody may report on it. */
export const getStopPlace = (db: Db, stopId: string): StopPlace | undefined =>
  db
    .select({
      stopId: stops.id,
      roundId: rounds.id,
      planId: plans.id,
      planState: plans.state,
      siteId: stops.siteId,
      driverId: rounds.driverId,
      day: rounds.day,
    })
    .from(stops)
    .innerJoin(rounds, eq(rounds.id, stops.roundId))
    .innerJoin(plans, eq(plans.id, rounds.planId))
    .where(eq(stops.id, stopId))
    .get();

/** Planned pickups at a site in the published plan, in order of time. */
export const publishedStopsOfSite = (
  db: Db,
  siteId: string,
): { stopId: string; day: LocalDay; arriveAt: Instant; startAt: Instant; driverId: string }[] =>
  db
    .select({
      stopId: stops.id,
      day: rounds.day,
      arriveAt: stops.arriveAt,
      startAt: stops.startAt,
      driverId: rounds.driverId,
    })
    .from(stops)
    .innerJoin(rounds, eq(rounds.id, stops.roundId))
    .innerJoin(plans, eq(plans.id, rounds.planId))
    .where(and(eq(plans.state, 'published'), eq(stops.siteId, siteId)))
    .orderBy(asc(stops.startAt))
    .all();

export type StopOutcome =
  | {
      readonly kind: 'collected';
      readonly weighInId: string;
      readonly at: Instant;
      readonly netKg: number | null;
    }
  | {
      readonly kind: 'missed';
      readonly missedId: string;
      readonly at: Instant;
      readonly reason: MissedReason;
    };

/** What came of these stops, by stop id; absent where nothing was handed in. A weigh-in beats a missed stop. */
export function stopOutcomes(db: Db, stopIds: readonly string[]): Map<string, StopOutcome> {
  const outcomes = new Map<string, StopOutcome>();
  for (const { id, stopId, at, reason } of listMissedOfStops(db, stopIds))
    if (stopId !== null) outcomes.set(stopId, { kind: 'missed', missedId: id, at, reason });
  for (const { id, stopId, at, netKg } of listWeighInsOfStops(db, stopIds))
    if (stopId !== null) outcomes.set(stopId, { kind: 'collected', weighInId: id, at, netKg });
  return outcomes;
}

/** The plan's rounds with the ids of their rows: a shift has one round in a plan, a stop one position in it. */
function readRounds(db: Db, planId: string, plan: Plan): StoredRound[] {
  const roundIds = new Map(
    db
      .select({ id: rounds.id, shiftId: rounds.shiftId })
      .from(rounds)
      .where(eq(rounds.planId, planId))
      .all()
      .map(({ id, shiftId }) => [shiftId, id]),
  );
  const stopIds = new Map<string, string[]>();
  const rows = db
    .select({ id: stops.id, roundId: stops.roundId })
    .from(stops)
    .where(inArray(stops.roundId, [...roundIds.values()]))
    .orderBy(asc(stops.position))
    .all();
  for (const { id, roundId } of rows) {
    const known = stopIds.get(roundId);
    if (known) known.push(id);
    else stopIds.set(roundId, [id]);
  }
  return plan.rounds.map((round) => {
    const id = roundIds.get(round.shiftId);
    const ids = (id !== undefined && stopIds.get(id)) || [];
    if (id === undefined || ids.length !== round.stops.length)
      throw new Error(`plan ${planId}: the round of shift ${round.shiftId} and its rows differ`);
    return { ...round, id, planId, stops: round.stops.map((stop, i) => ({ ...stop, id: ids[i]! })) };
  });
}
