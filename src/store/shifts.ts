/** Who drives which van, on which local day, from when to when. */
import { and, asc, between, eq, isNull } from 'drizzle-orm';
import { drivers, shifts, vans } from '../../db/schema.ts';
import type { Instant, LocalDay } from '../core/quantity/units.ts';
import type { Db, Tx } from './db.ts';

export type Shift = {
  readonly id: string;
  readonly key: string;
  readonly vanId: string;
  readonly vanKey: string;
  readonly driverId: string;
  readonly driverKey: string;
  readonly day: LocalDay;
  /** Minutes on the clock of that day. */
  readonly startsMinute: number;
  readonly endsMinute: number;
  readonly cancelledAt: Instant | null;
};

/** Inserts or replaces. */
export function saveShift(tx: Tx, { key, vanKey: _v, driverKey: _d, ...rest }: Shift): void {
  const row = { ...rest, externalKey: key };
  tx.insert(shifts).values(row).onConflictDoUpdate({ target: shifts.id, set: row }).run();
}

export function cancelShift(tx: Tx, id: string, at: Instant): void {
  tx.update(shifts)
    .set({ cancelledAt: at })
    .where(and(eq(shifts.id, id), isNull(shifts.cancelledAt)))
    .run();
}

const select = (db: Db) =>
  db
    .select({
      id: shifts.id,
      key: shifts.externalKey,
      vanId: shifts.vanId,
      vanKey: vans.externalKey,
      driverId: shifts.driverId,
      driverKey: drivers.externalKey,
      day: shifts.day,
      startsMinute: shifts.startsMinute,
      endsMinute: shifts.endsMinute,
      cancelledAt: shifts.cancelledAt,
    })
    .from(shifts)
    .innerJoin(vans, eq(vans.id, shifts.vanId))
    .innerJoin(drivers, eq(drivers.id, shifts.driverId))
    .$dynamic();

/** All, cancelled ones too, by day and key. */
export const listShifts = (db: Db): Shift[] =>
  select(db).orderBy(asc(shifts.day), asc(shifts.startsMinute), asc(shifts.externalKey)).all();
export const getShift = (db: Db, id: string): Shift | undefined => select(db).where(eq(shifts.id, id)).get();
/** Not cancelled, both days included. */
export const listShiftsBetween = (db: Db, fromDay: LocalDay, untilDay: LocalDay): Shift[] =>
  select(db)
    .where(and(between(shifts.day, fromDay, untilDay), isNull(shifts.cancelledAt)))
    .orderBy(asc(shifts.day), asc(shifts.startsMinute), asc(shifts.externalKey))
    .all();
