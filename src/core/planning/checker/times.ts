/** Legs, hours, windows and breaks of one round, walked through stop by stop. */
import { legM, legS } from '../../routing/travel-table.ts';
import type { PlannedRound } from '../plan.ts';
import type { PlanningProblem, PlanningShift } from '../problem.ts';
import type { Fault, FaultCode, Visit } from './faults.ts';

export function checkTimes(
  problem: PlanningProblem,
  round: PlannedRound,
  shift: PlanningShift,
  s: number,
  siteOf: ReadonlyMap<string, number>,
  visits: Visit[],
  faults: Fault[],
): void {
  const where = `round ${round.shiftId}`;
  const day = shift.dayIndex;
  const { prices, breakRule, travel, workshopPlace } = problem;
  const wrong = (code: FaultCode, what: string, says: number | string, is: number | string): void => {
    faults.push({ code, where: `${where}: ${what}`, says, is });
  };
  if (round.day !== problem.days[day]) wrong('shape', 'day', round.day, problem.days[day]!);
  if (round.vanId !== shift.vanId) wrong('shape', 'van', round.vanId, shift.vanId);
  if (round.driverId !== shift.driverId) wrong('shape', 'driver', round.driverId, shift.driverId);
  if (round.shiftEndAt !== shift.endAt) wrong('shape', 'shift end', round.shiftEndAt, shift.endAt);
  if (round.payloadKg !== shift.payloadKg) wrong('shape', 'payload', round.payloadKg, shift.payloadKg);
  if (round.loadSpaceL !== shift.loadSpaceL) wrong('shape', 'load space', round.loadSpaceL, shift.loadSpaceL);
  const firstAt = Math.max(shift.startAt, problem.nowAt);
  if (round.startAt < firstAt) wrong('shift', 'leaves too early', round.startAt, firstAt);

  let t = round.startAt;
  let place = workshopPlace;
  let metres = 0;
  let seconds = 0;
  let restedAt = round.startAt;
  round.stops.forEach((stop, k) => {
    const what = `stop ${k}`;
    if (
      !Number.isInteger(stop.arriveAt) ||
      !Number.isInteger(stop.startAt) ||
      !Number.isInteger(stop.departAt)
    )
      wrong('time', `${what} whole seconds`, stop.startAt, Math.round(stop.startAt));
    if (stop.kind === 'break') {
      if (stop.legM !== 0 || stop.legS !== 0) wrong('leg', what, stop.legM, 0);
      if (stop.arriveAt !== t || stop.startAt !== t) wrong('time', `${what} break starts`, stop.startAt, t);
      if (stop.departAt - stop.startAt !== breakRule.breakS)
        wrong('break', `${what} length`, stop.departAt - stop.startAt, breakRule.breakS);
      if (stop.startAt - restedAt > breakRule.maxWorkS)
        wrong('break', `${what} work before`, stop.startAt - restedAt, breakRule.maxWorkS);
      restedAt = stop.departAt;
      t = stop.departAt;
      return;
    }
    const site = stop.kind === 'site' ? siteOf.get(stop.siteId ?? '') : undefined;
    if (stop.kind === 'site' && site === undefined) {
      faults.push({ code: 'unknown', where: `${where}: ${what} ${stop.siteId}` });
      return;
    }
    const to = site === undefined ? workshopPlace : problem.sites[site]!.place;
    const m = legM(travel, place, to);
    const drive = legS(travel, place, to);
    if (stop.legM !== m) wrong('leg', `${what} metres`, stop.legM, m);
    if (stop.legS !== drive) wrong('leg', `${what} seconds`, stop.legS, drive);
    if (stop.arriveAt !== t + drive) wrong('time', `${what} arrives`, stop.arriveAt, t + drive);
    if (stop.startAt < stop.arriveAt)
      wrong('time', `${what} starts before it arrives`, stop.startAt, stop.arriveAt);
    const workS = site === undefined ? prices.unloadS : problem.sites[site]!.serviceS;
    if (stop.departAt !== stop.startAt + workS)
      wrong('time', `${what} departs`, stop.departAt, stop.startAt + workS);
    const windows = site === undefined ? problem.unloadByDay[day]! : problem.sites[site]!.openByDay[day]!;
    if (!windows.some((w) => w.fromAt <= stop.startAt && stop.startAt < w.untilAt))
      wrong('window', `${what} ${stop.siteId ?? 'unload'}`, stop.startAt, JSON.stringify(windows));
    if (site !== undefined) {
      if (problem.sites[site]!.barredDays.includes(day)) wrong('window', `${what} barred`, stop.siteId!, day);
      if (visits.some((visit) => visit.site === site && visit.day === day))
        wrong('twice', what, stop.siteId!, round.day);
      visits.push({ site, day, shift: s, startAt: stop.startAt });
    }
    metres += m;
    seconds += drive;
    place = to;
    t = stop.departAt;
  });
  const kinds = round.stops.filter((stop) => stop.kind !== 'break').map((stop) => stop.kind);
  kinds.forEach((kind, k) => {
    if (kind === 'unload' && (k === 0 || kinds[k - 1] === 'unload')) wrong('load', 'unloads nothing', k, 0);
  });
  if (kinds.at(-1) !== 'unload')
    wrong('load', 'does not end with an unloading', kinds.at(-1) ?? 'nothing', 'unload');
  if (round.endAt !== t) wrong('time', 'ends', round.endAt, t);
  if (t > shift.endAt + prices.maxOvertimeS)
    wrong('shift', 'ends too late', t, shift.endAt + prices.maxOvertimeS);
  if (t - restedAt > breakRule.maxWorkS)
    wrong('break', 'work after the last break', t - restedAt, breakRule.maxWorkS);
  if (round.distanceM !== metres) wrong('leg', 'distance', round.distanceM, metres);
  if (round.driveS !== seconds) wrong('leg', 'driving', round.driveS, seconds);
}
