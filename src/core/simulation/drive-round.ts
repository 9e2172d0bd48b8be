/** The van on a simulated day: drives the stops of a round by the rules, whoever chose them. */
import type { Kg, Metres, Seconds } from '../quantity/units.ts';
import { legM, legS } from '../routing/travel-table.ts';
import { TO_WORKSHOP } from './policy.ts';
import type { World } from './world.ts';
import { isOpenOn } from './world-site.ts';

/** A van as full as this goes to unload before the next stop. */
const FULL_SHARE = 0.96;

export type Stop = {
  readonly site: number;
  readonly takenKg: Kg;
  readonly leftKg: Kg;
  readonly isMissed: boolean;
  readonly foundFull: boolean;
};

export type DrivenRound = {
  readonly stops: readonly Stop[];
  readonly distanceM: Metres;
  readonly workS: Seconds;
  readonly unloadings: number;
};

/**
 * Drives the stops in order, whatever policy made them. A van that is full goes to unload and comes back for the rest of the
 * trip, or leaves it for another day where no more than `leavesAtMost` stops of it are left; a stop after which the van
 * would not be back half an hour after the shift is left out; a break is taken when it is due.
 */
export function driveRound(
  world: World,
  day: number,
  order: readonly number[],
  now: readonly { waitingKg: Kg; besideKg: Kg }[],
  leavesAtMost = 0,
): DrivenRound {
  const { travel, sites, prices, van, breakRule, shiftHours } = world;
  const mostS = 3600 * (shiftHours.until - shiftHours.from) + prices.maxOvertimeS;
  const stops: Stop[] = [];
  let place = 0;
  let workS = 0;
  let distanceM = 0;
  let loadKg = 0;
  let unloadings = 0;
  let breaks = 0;
  const withBreaks = (s: Seconds): Seconds =>
    s + breakRule.breakS * Math.max(breaks, s > breakRule.maxWorkS ? 1 : 0);
  const drive = (to: number): void => {
    workS += legS(travel, place, to);
    distanceM += legM(travel, place, to);
    place = to;
  };
  const unload = (): void => {
    drive(0);
    workS += prices.unloadS;
    unloadings++;
    loadKg = 0;
  };
  for (const [k, stop] of order.entries()) {
    if (stop === TO_WORKSHOP) {
      if (loadKg > 0) unload();
      continue;
    }
    const site = sites[stop]!;
    const roomKg = (): Kg => Math.min(van.payloadKg, van.loadSpaceL / site.known.litresPerKg) - loadKg;
    const fullKg = Math.min(van.payloadKg, van.loadSpaceL / site.known.litresPerKg);
    const viaWorkshop = loadKg > FULL_SHARE * fullKg;
    if (viaWorkshop && leftOfTrip(order, k) <= leavesAtMost) continue;
    const there =
      workS +
      (viaWorkshop
        ? legS(travel, place, 0) + prices.unloadS + legS(travel, 0, site.place)
        : legS(travel, place, site.place)) +
      site.serviceS +
      legS(travel, site.place, 0) +
      prices.unloadS;
    if (withBreaks(there) > mostS) continue;
    if (viaWorkshop) unload();
    drive(site.place);
    workS += site.serviceS;
    const state = now[stop]!;
    if (!isOpenOn(site, day) || site.missDraw[day]! < world.missChance) {
      stops.push({ site: stop, takenKg: 0, leftKg: 0, isMissed: true, foundFull: false });
      continue;
    }
    const waitingKg = state.waitingKg + state.besideKg;
    const takenKg = Math.min(waitingKg, roomKg());
    const leftKg = waitingKg - takenKg;
    const foundFull = state.waitingKg >= site.capacityKg - 1e-9;
    // Sacks beside the container go first.
    const besideTakenKg = Math.min(state.besideKg, takenKg);
    state.besideKg -= besideTakenKg;
    state.waitingKg = Math.max(0, leftKg - state.besideKg);
    loadKg += takenKg;
    stops.push({ site: stop, takenKg, leftKg, isMissed: false, foundFull });
    if (workS > breakRule.maxWorkS) breaks = 1;
  }
  if (stops.length > 0) unload();
  return { stops, distanceM, workS: stops.length > 0 ? withBreaks(workS) : 0, unloadings };
}

/** Stops from the `k`-th on until the next planned unloading. */
function leftOfTrip(order: readonly number[], k: number): number {
  const end = order.indexOf(TO_WORKSHOP, k);
  return (end < 0 ? order.length : end) - k;
}
