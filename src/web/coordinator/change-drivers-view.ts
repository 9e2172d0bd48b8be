/** Who could change places with the driver of a round, and what that would do; read from the store. */
import { ok, type Result, refuse } from '../../core/quantity/result.ts';
import type { Instant, LocalDay } from '../../core/quantity/units.ts';
import type { Db } from '../../store/db.ts';
import { layOutPlan, type WhatIfRefusal } from '../../usecases/what-if.ts';
import { type Names, readNames } from '../shared/names.ts';
import type { Choice } from './change-view.ts';

export type DriverChoice = Pick<Choice, 'change' | 'consequences'> & {
  readonly driverId: string;
  readonly vanId: string;
  readonly day: LocalDay;
};
export type DriversView = {
  readonly names: Names;
  readonly planId: string;
  readonly newestId?: string;
  readonly shiftId: string;
  readonly driverId: string;
  /** Those who are free on each other's day. */
  readonly choices: readonly DriverChoice[];
};

export function readDriverChoices(
  db: Db,
  at: Instant,
  planId: string,
  shiftId: string,
): Result<DriversView, WhatIfRefusal> {
  const laid = layOutPlan(db, at, planId);
  if (!laid.ok) return laid;
  const { week, newest } = laid.value;
  const asItIs = week.ask([]);
  if (!asItIs.ok) return asItIs;
  const { shifts, days } = asItIs.value.problem;
  const own = shifts.find((shift) => shift.shiftId === shiftId);
  if (!own) return refuse({ kind: 'unknown-shift', change: 0 });
  return ok({
    names: readNames(db),
    planId,
    ...(newest && newest.id !== planId ? { newestId: newest.id } : {}),
    shiftId,
    driverId: own.driverId,
    choices: shifts
      .filter((shift) => shift.driverId !== own.driverId)
      .flatMap(({ shiftId: withShiftId, driverId, vanId, dayIndex }) => {
        const change = { kind: 'swap-drivers', shiftId, withShiftId } as const;
        const answer = week.ask([change]);
        if (!answer.ok) return [];
        return { change, driverId, vanId, day: days[dayIndex]!, consequences: answer.value.consequences };
      }),
  });
}
