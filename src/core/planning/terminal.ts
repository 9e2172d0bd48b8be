/**
 * What a site's fill is worth at the end of the horizon, relative to an empty container: without it a plan lives
 * for today and leaves every container for the week after.
 *
 * Renewal reward theory (Ross 1996, Stochastic Processes, 2nd ed., section 3.6: long-run cost per time is the
 * expected cost of a cycle over its expected length), applied to one site on its own:
 *
 *   g    = min over T of (v + O(0, T)) / T                   long-run cost per day with a visit every T days
 *   W(a) = min over t of v + O(a, end + t) - g t             relative value, last emptied at a
 *
 * v = `visitMicros`, the marginal cost of one visit; O = expected cost of overflow; T, t whole days up to
 * `LOOK_AHEAD_DAYS`. W minus O(a, end), which the horizon has already paid, and what bringing M(a, end) home will cost
 * (`loadCosts`) are the part `left-at-end`.
 */
import type { Micros } from '../quantity/units.ts';
import { legM, legS } from '../routing/travel-table.ts';
import type { PlanningProblem, PlanningSite } from './problem.ts';

export const LOOK_AHEAD_DAYS = 42;
/** A visit is one of several on a round: half the detour to near neighbours, and a part of the way out. */
const NEIGHBOUR_SHARE = 0.5;
const WORKSHOP_LEG_SHARE = 0.15;

/** P(mass > capacity), E(mass - capacity)+ and what calls of the donor cost (see tables.ts). */
export type Overflow = { readonly risk: number; readonly excessKg: number; readonly calledMicros?: number };
/** Overflow after `days` further days. */
export type OverflowAhead = (days: number) => Overflow;

/** Expected marginal cost of visiting each site, not rounded: service, detour to the 1st and 3rd neighbour. */
export function visitCosts(problem: PlanningProblem): Float64Array {
  const { sites, shifts, workshopPlace } = problem;
  const costs = new Float64Array(sites.length);
  if (shifts.length === 0) return costs;
  const { legCost, perHour } = meanPrices(problem);
  sites.forEach((site, i) => {
    const service = (site.serviceS * perHour) / 3600;
    const near = nearestCosts(sites, i, legCost, 3);
    const out = legCost(workshopPlace, site.place);
    costs[i] =
      near.length === 0
        ? service + out + legCost(site.place, workshopPlace)
        : service + NEIGHBOUR_SHARE * (near[0]! + near[near.length - 1]!) + WORKSHOP_LEG_SHARE * out;
  });
  return costs;
}

/**
 * What a load from each site costs to bring home, not rounded: there, back and unloading. A kilogram that is left has its
 * part of it still to come, however it is fetched later (the radial bound: Haimovich & Rinnooy Kan 1985, Mathematics of
 * Operations Research 10(4)); without that a plan gains by leaving film to the days after its end. A site that is
 * alone has the whole way in the price of its visit.
 */
export function loadCosts(problem: PlanningProblem): Float64Array {
  const { sites, shifts, workshopPlace, prices } = problem;
  const costs = new Float64Array(sites.length);
  if (shifts.length === 0 || sites.length < 2) return costs;
  const { legCost, perHour } = meanPrices(problem);
  const unload = prices.unloadMicros + (prices.unloadS * perHour) / 3600;
  sites.forEach(({ place }, i) => {
    costs[i] = legCost(workshopPlace, place) + legCost(place, workshopPlace) + unload;
  });
  return costs;
}

/** Of all shifts. */
function meanPrices({ shifts, travel }: PlanningProblem): {
  readonly legCost: (from: number, to: number) => number;
  readonly perHour: Micros;
} {
  let perKm = 0;
  let perHour = 0;
  for (const shift of shifts) {
    perKm += shift.costMicrosPerKm / shifts.length;
    perHour += shift.costMicrosPerHour / shifts.length;
  }
  const legCost = (from: number, to: number): number =>
    (legM(travel, from, to) * perKm) / 1000 + (legS(travel, from, to) * perHour) / 3600;
  return { legCost, perHour };
}

/** The `count` smallest leg costs from a site to other sites, ascending. */
function nearestCosts(
  sites: readonly PlanningSite[],
  from: number,
  legCost: (from: number, to: number) => number,
  count: number,
): number[] {
  const nearest: number[] = [];
  for (let j = 0; j < sites.length; j++) {
    if (j === from) continue;
    const cost = legCost(sites[from]!.place, sites[j]!.place);
    if (nearest.length === count && cost >= nearest[count - 1]!) continue;
    let at = nearest.length;
    while (at > 0 && nearest[at - 1]! > cost) at--;
    nearest.splice(at, 0, cost);
    if (nearest.length > count) nearest.pop();
  }
  return nearest;
}

export type OverflowPrices = {
  readonly overflowMicros: Micros;
  readonly overflowMicrosPerDay: Micros;
  readonly overflowMicrosPerKg: Micros;
};

/** g: long-run cost per day, not rounded. `ahead` counts from an emptying. */
export function longRunMicrosPerDay(
  visitMicros: number,
  prices: OverflowPrices,
  ahead: OverflowAhead,
): number {
  let best = Infinity;
  let days = 0;
  for (let cycle = 1; cycle <= LOOK_AHEAD_DAYS; cycle++) {
    const { risk, excessKg, calledMicros = 0 } = ahead(cycle);
    days += risk;
    const cost =
      visitMicros +
      prices.overflowMicros * risk +
      prices.overflowMicrosPerDay * days +
      prices.overflowMicrosPerKg * excessKg +
      calledMicros;
    best = Math.min(best, cost / cycle);
    // Every further day adds its own day price, and risk does not fall: from here the rate only rises.
    if (prices.overflowMicrosPerDay * risk >= best && prices.overflowMicrosPerDay > 0) break;
  }
  return best;
}

/** W(a) - O(a, end), not rounded. `atEnd` is the overflow at the end; `ahead` counts days from there. */
export function leftAtEndMicros(
  visitMicros: number,
  microsPerDay: number,
  prices: OverflowPrices,
  atEnd: Overflow,
  ahead: OverflowAhead,
): number {
  let best = visitMicros; // visited at once
  let days = 0;
  if (prices.overflowMicrosPerDay > 0 && prices.overflowMicrosPerDay * atEnd.risk >= microsPerDay)
    return best;
  for (let wait = 1; wait <= LOOK_AHEAD_DAYS; wait++) {
    const { risk, excessKg, calledMicros = 0 } = ahead(wait);
    days += risk;
    const cost =
      visitMicros +
      prices.overflowMicros * (risk - atEnd.risk) +
      prices.overflowMicrosPerDay * days +
      prices.overflowMicrosPerKg * (excessKg - atEnd.excessKg) +
      (calledMicros - (atEnd.calledMicros ?? 0)) -
      microsPerDay * wait;
    best = Math.min(best, cost);
    if (prices.overflowMicrosPerDay * risk >= microsPerDay && prices.overflowMicrosPerDay > 0) break;
  }
  return best;
}
