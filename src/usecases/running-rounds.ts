/**
 * Rounds that are on the road: their shift has begun, their driver said so, or something was handed in. A plan that is published
 * meanwhile does not touch them; they stay as they were when they left.
 */
import { shiftSpan } from '../core/calendar/shift.ts';
import { localOf } from '../core/calendar/zone.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import {
  getPlan,
  listPlans,
  publishedPlan,
  type StoredPlan,
  type StoredRound,
  stopOutcomes,
} from '../store/plans.ts';
import { startedAmong } from '../store/round-marks.ts';
import { listShiftsBetween, type Shift } from '../store/shifts.ts';
import { requireWorkshop } from '../store/workshop.ts';

/** Of today, by shift. */
export function runningRounds(db: Db, nowAt: Instant): ReadonlyMap<string, StoredRound> {
  const { zone } = requireWorkshop(db);
  const today = localOf(zone, nowAt).day;
  const running = new Map<string, StoredRound>();
  const shifts = listShiftsBetween(db, today, today);
  if (shifts.length === 0) return running;
  const told = plansInForce(db, today);
  for (const shift of shifts) {
    const round = roundThatLeft(db, shift, told, shiftSpan(zone, shift).fromAt, nowAt);
    if (round) running.set(shift.id, round);
  }
  return running;
}

/** What a driver has on the run sheet: the rounds on the road, and what is published from today on, by their start. */
export function roundsAhead(db: Db, driverId: string, nowAt: Instant): StoredRound[] {
  const today = localOf(requireWorkshop(db).zone, nowAt).day;
  const running = runningRounds(db, nowAt);
  const ahead = (publishedPlan(db)?.rounds ?? []).filter(
    (round) => round.day >= today && !running.has(round.shiftId),
  );
  return [...running.values(), ...ahead]
    .filter((round) => round.driverId === driverId)
    .sort((a, b) => a.startAt - b.startAt);
}

/** Published or superseded plans that reach today, the newest publication first. */
function plansInForce(db: Db, today: string): StoredPlan[] {
  const published = publishedPlan(db);
  const replaced = listPlans(db, 'superseded')
    .filter((plan) => plan.firstDay <= today && plan.publishedAt !== null)
    .sort((a, b) => (b.supersededAt ?? 0) - (a.supersededAt ?? 0));
  return [
    ...(published ? [published] : []),
    ...replaced.slice(0, 20).flatMap(({ id }) => getPlan(db, id) ?? []),
  ];
}

/**
 * Where its driver said that it left, or something was handed in, that version is the one being driven; else, once the shift has begun, the one in
 * force when it began.
 */
function roundThatLeft(
  db: Db,
  shift: Shift,
  told: readonly StoredPlan[],
  beginsAt: Instant,
  nowAt: Instant,
): StoredRound | undefined {
  const versions = told.flatMap((plan) => {
    const round = plan.rounds.find((one) => one.shiftId === shift.id);
    return round ? [{ plan, round }] : [];
  });
  const started = startedAmong(
    db,
    versions.map(({ round }) => round.id),
  );
  const driven = versions.find(
    ({ round }) =>
      started.has(round.id) ||
      stopOutcomes(
        db,
        round.stops.map((stop) => stop.id),
      ).size > 0,
  );
  if (driven) return driven.round;
  if (beginsAt > nowAt) return undefined;
  return versions.find(({ plan }) => (plan.publishedAt ?? 0) <= beginsAt)?.round ?? versions.at(-1)?.round;
}
