/** Changes made one after the other to a week that is laid out: stops, pins and who drives. */
import { ok, type Result, refuse } from '../quantity/result.ts';
import type { LocalDay } from '../quantity/units.ts';
import type { Hopeless } from './assemble.ts';
import {
  type Change,
  type ChangeRefusal,
  type DriverWish,
  type Obstacle,
  type StopChange,
  type Wishes,
  withPins,
} from './changes.ts';
import { placeFor } from './place-change.ts';
import type { PlanningProblem, PlanningShift } from './problem.ts';
import { withPromises } from './promises.ts';
import { ordersOfState, stateAsTold } from './start.ts';
import { layOutWeek } from './week.ts';
import { copyState, emptyState, insertStop, removeStop, type WeekState } from './week-state.ts';

export type LaidOut = { readonly state: WeekState; readonly hopeless: Hopeless; readonly wishes: Wishes };
/** Where one change finds no place at all, the week is not changed any further. */
export type Applied = LaidOut & { readonly noPlace?: Obstacle };

type Refused = Result<never, ChangeRefusal>;
type Draft = {
  readonly state: WeekState;
  problem: PlanningProblem;
  pins: { siteId: string; day: LocalDay }[];
  drivers: Map<string, DriverWish>;
};

export function applyChanges(base: LaidOut, changes: readonly Change[]): Result<Applied, ChangeRefusal> {
  const { week } = base.state;
  const draft: Draft = {
    state: emptyState(week),
    problem: week.problem,
    pins: [...base.wishes.pins],
    drivers: new Map(base.wishes.drivers.map((wish) => [wish.shiftId, wish])),
  };
  copyState(draft.state, base.state);
  let noPlace: Obstacle | undefined;
  for (const [i, change] of changes.entries()) {
    const done = apply(draft, change, i);
    if (done && 'ok' in done) return done;
    noPlace ??= done;
    if (noPlace) break;
  }
  const wishes: Wishes = {
    pins: draft.pins,
    // Whoever is back in the own place is wished no more.
    drivers: [...draft.drivers.values()].filter((wish) => wish.driverId !== wish.insteadOfId),
  };
  return ok({ ...laidOutAnew(base, draft, wishes), ...(noPlace ? { noPlace } : {}) });
}

/** Pins and drivers are part of the problem: with others the week is laid out anew, every stop in its place. */
function laidOutAnew(base: LaidOut, { state, problem, pins }: Draft, wishes: Wishes): LaidOut {
  const isAsPinned =
    pins.length === base.wishes.pins.length && pins.every((pin) => hasPin(base.wishes.pins, pin));
  if (problem === state.week.problem && isAsPinned) return { state, hopeless: base.hopeless, wishes };
  const { week, hopeless } = withPromises(layOutWeek(withPins(problem, pins)));
  return { state: stateAsTold(week, ordersOfState(state)), hopeless, wishes };
}

function apply(draft: Draft, change: Change, i: number): Refused | Obstacle | undefined {
  const no = (kind: ChangeRefusal['kind']): Refused => refuse({ kind, change: i });
  if (change.kind === 'swap-drivers') return swapDrivers(draft, change, no);
  const { problem } = draft.state.week;
  const site = problem.sites.findIndex((one) => one.siteId === change.siteId);
  if (site < 0) return no('unknown-site');
  const day = problem.days.indexOf(change.day);
  if (day < 0) return no('unknown-day');
  const shift = draft.state.shiftOf[site * problem.days.length + day]!;
  if (change.kind !== 'add' && change.kind !== 'unpin' && shift < 0) return no('not-planned');
  switch (change.kind) {
    case 'pin':
      if (!hasPin(draft.pins, change)) draft.pins.push({ siteId: change.siteId, day: change.day });
      return undefined;
    case 'unpin':
      if (!hasPin(draft.pins, change)) return no('not-pinned');
      dropPin(draft, change);
      return undefined;
    case 'skip':
      removeStop(draft.state, site, day);
      dropPin(draft, change);
      return undefined;
    case 'add':
      return put(draft, change, { site, day, shift: -1, toDay: change.day }, no);
    case 'move':
      return put(draft, change, { site, day, shift, toDay: change.toDay ?? change.day }, no);
  }
}

/** Adds the stop, or moves it from `day` and `shift`. */
function put(
  draft: Draft,
  { siteId, shiftId, position }: Exclude<StopChange, { kind: 'skip' }>,
  { site, day, shift, toDay }: { site: number; day: number; shift: number; toDay: LocalDay },
  no: (kind: ChangeRefusal['kind']) => Refused,
): Refused | Obstacle | undefined {
  const { state } = draft;
  const { problem, days } = state.week;
  const to = problem.days.indexOf(toDay);
  if (to < 0) return no('unknown-day');
  const isMovedInDay = shift >= 0 && to === day;
  if (!isMovedInDay && state.shiftOf[site * days + to]! >= 0) return no('already-planned');
  const named = problem.shifts.findIndex((one) => one.shiftId === shiftId && one.dayIndex === to);
  if (shiftId !== undefined && named < 0) return no('unknown-shift');
  // Another position alone means in its own round.
  const wanted = shiftId !== undefined ? named : isMovedInDay && position !== undefined ? shift : undefined;

  if (shift >= 0) removeStop(state, site, day);
  const place = placeFor(state, site, to, wanted, position);
  if (place === 'hours-missed')
    return { kind: place, day: toDay, ...(shiftId === undefined ? {} : { shiftId }) };
  if (typeof place === 'string') return { kind: place, siteId, day: toDay };
  insertStop(state, place.shift, place.at, site, place.unload);
  const fromDay = problem.days[day]!;
  draft.pins = draft.pins.map((pin) =>
    pin.siteId === siteId && pin.day === fromDay ? { siteId, day: toDay } : pin,
  );
  return undefined;
}

const hasPin = (pins: Wishes['pins'], { siteId, day }: Wishes['pins'][number]): boolean =>
  pins.some((pin) => pin.siteId === siteId && pin.day === day);

function dropPin(draft: Draft, { siteId, day }: Wishes['pins'][number]): void {
  draft.pins = draft.pins.filter((pin) => pin.siteId !== siteId || pin.day !== day);
}

function swapDrivers(
  draft: Draft,
  { shiftId, withShiftId }: Extract<Change, { kind: 'swap-drivers' }>,
  no: (kind: ChangeRefusal['kind']) => Refused,
): Refused | undefined {
  const one = draft.problem.shifts.find((shift) => shift.shiftId === shiftId);
  const other = draft.problem.shifts.find((shift) => shift.shiftId === withShiftId);
  if (!one || !other || one === other) return no('unknown-shift');
  const drivenBy = (shift: PlanningShift, { driverId, costMicrosPerHour }: PlanningShift): PlanningShift => ({
    ...shift,
    driverId,
    costMicrosPerHour,
  });
  const shifts = draft.problem.shifts.map((shift) =>
    shift === one ? drivenBy(one, other) : shift === other ? drivenBy(other, one) : shift,
  );
  if (shifts.some((shift) => isAtTwoPlaces(shift, shifts))) return no('driver-has-other-shift');
  draft.problem = { ...draft.problem, shifts };
  for (const [from, to] of [
    [one, other],
    [other, one],
  ] as const) {
    const insteadOfId = draft.drivers.get(from.shiftId)?.insteadOfId ?? from.driverId;
    draft.drivers.set(from.shiftId, { shiftId: from.shiftId, driverId: to.driverId, insteadOfId });
  }
  return undefined;
}

const isAtTwoPlaces = (shift: PlanningShift, shifts: readonly PlanningShift[]): boolean =>
  shifts.some(
    (other) =>
      other !== shift &&
      other.driverId === shift.driverId &&
      other.startAt < shift.endAt &&
      shift.startAt < other.endAt,
  );
