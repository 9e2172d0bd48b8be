/** What film that waits costs: overflow between visits, and its relative value at the end of the horizon. */
import {
  accrualBetween,
  expectedOverflowKg,
  type MassForecast,
  meanKg,
  overflowRisk,
} from '../../accumulation/forecast.ts';
import type { SiteModel } from '../../accumulation/site-model.ts';
import { legM, legS } from '../../routing/travel-table.ts';
import type { PlanningProblem } from '../problem.ts';
import type { Visit } from './faults.ts';
import { endOf, massAt, midday, takenKg, vanKg } from './masses.ts';
import type { MoneySums } from './sums.ts';

const DAY_S = 86_400;

/** Overflow day by day between visits, and the relative value of the fill at the end. */
export function siteOverflow(
  problem: PlanningProblem,
  model: SiteModel,
  index: number,
  visits: readonly Visit[],
  visitMicros: number,
  kiloMicros: number,
  byDay: MoneySums[],
): void {
  const { prices } = problem;
  const { model: checked, besideKg = 0, calls } = problem.sites[index]!;
  const capacityKg = checked.capacityKg;
  const heldKg = capacityKg + besideKg;
  const days = problem.days.length;
  const hasCalled = checked.atLeast !== undefined && checked.atLeast.at >= checked.emptiedAt;
  /** Risk, excess and the price of calls of a forecast, for a site last emptied on `since` (-1: before now). */
  const danger = (f: MassForecast, since: number): Danger => {
    const isAwaited = calls !== undefined && (since >= 0 || !hasCalled);
    const left = isAwaited ? 1 - calls.reliability : 1;
    return {
      risk: left * overflowRisk(f, capacityKg),
      excessKg: left * expectedOverflowKg(f, heldKg),
      called:
        isAwaited && calls.reliability * calls.premiumMicros > 0
          ? calls.reliability * calls.premiumMicros * overflowRisk(f, calls.fromShare * capacityKg)
          : 0,
    };
  };
  let lastDay = -1;
  let riskDays = 0;
  let before = 0;
  for (let day = 0; day < days; day++) {
    const now = danger(massAt(problem, model, lastDay, midday(problem, day)), lastDay);
    riskDays += now.risk;
    const cost = Math.round(overflowPrice(prices, now.risk, riskDays, now.excessKg, now.called));
    byDay[day]!.overflow += cost - before;
    before = cost;
    if (!visits.some((visit) => visit.day === day)) continue;
    lastDay = day;
    riskDays = 0;
    before = 0;
  }
  const endAt = endOf(problem);
  const atEnd = massAt(problem, model, lastDay, endAt);
  const end = danger(atEnd, lastDay);
  byDay[days - 1]!.overflow +=
    Math.round(overflowPrice(prices, end.risk, riskDays, end.excessKg, end.called)) - before;

  // g: the best long-run cost per day. Cycles of one day to six weeks.
  let perDay = Number.POSITIVE_INFINITY;
  let cycleRiskDays = 0;
  for (let cycle = 1; cycle <= 42; cycle++) {
    const c = danger(accrualBetween(model, endAt, endAt + cycle * DAY_S), 0);
    cycleRiskDays += c.risk;
    const cost = visitMicros + overflowPrice(prices, c.risk, cycleRiskDays, c.excessKg, c.called);
    perDay = Math.min(perDay, cost / cycle);
    if (prices.overflowMicrosPerDay > 0 && prices.overflowMicrosPerDay * c.risk >= perDay) break;
  }
  // W - O: wait as long as it pays.
  let value = visitMicros;
  let waitRiskDays = 0;
  let { risk } = end;
  for (let wait = 1; wait <= 42; wait++) {
    if (prices.overflowMicrosPerDay > 0 && prices.overflowMicrosPerDay * risk >= perDay) break;
    const w = danger(massAt(problem, model, lastDay, endAt + wait * DAY_S), lastDay);
    risk = w.risk;
    waitRiskDays += risk;
    const more = overflowPrice(
      prices,
      risk - end.risk,
      waitRiskDays,
      w.excessKg - end.excessKg,
      w.called - end.called,
    );
    value = Math.min(value, visitMicros + more - perDay * wait);
  }
  const kg = Math.max(0, meanKg(atEnd) - expectedOverflowKg(atEnd, takenKg(problem, problem.sites[index]!)));
  byDay[days - 1]!['left-at-end'] += Math.round(value + kiloMicros * kg);
}

type Danger = { readonly risk: number; readonly excessKg: number; readonly called: number };

const overflowPrice = (
  prices: PlanningProblem['prices'],
  risk: number,
  riskDays: number,
  excessKg: number,
  calledMicros: number,
): number =>
  prices.overflowMicros * risk +
  prices.overflowMicrosPerDay * riskDays +
  prices.overflowMicrosPerKg * excessKg +
  calledMicros;

/** Service, half the legs to the first and third neighbour, 15 % of the leg from the workshop; mean prices. */
export function visitPrices(problem: PlanningProblem): number[] {
  const { shifts, sites, workshopPlace } = problem;
  if (shifts.length === 0) return sites.map(() => 0);
  const { perHour, price } = legPrices(problem);
  return sites.map((site, i) => {
    const service = (site.serviceS * perHour) / 3600;
    const out = price(workshopPlace, site.place);
    const neighbours = sites
      .filter((_, j) => j !== i)
      .map((other) => price(site.place, other.place))
      .sort((a, b) => a - b);
    if (neighbours.length === 0) return service + out + price(site.place, workshopPlace);
    const third = neighbours[Math.min(2, neighbours.length - 1)]!;
    return service + 0.5 * (neighbours[0]! + third) + 0.15 * out;
  });
}

/** A kilogram's part of a full van's way there, back and unloading; nothing for a site alone in town. */
export function kiloPrices(problem: PlanningProblem): number[] {
  const { shifts, sites, workshopPlace, prices } = problem;
  if (shifts.length === 0 || sites.length < 2) return sites.map(() => 0);
  const { perHour, price } = legPrices(problem);
  return sites.map((site) => {
    const unload = prices.unloadMicros + (prices.unloadS * perHour) / 3600;
    const load = price(workshopPlace, site.place) + price(site.place, workshopPlace) + unload;
    const kg = vanKg(problem, site);
    return kg > 0 ? load / kg : 0;
  });
}

function legPrices({ shifts, travel }: PlanningProblem) {
  const perKm = shifts.reduce((sum, shift) => sum + shift.costMicrosPerKm / shifts.length, 0);
  const perHour = shifts.reduce((sum, shift) => sum + shift.costMicrosPerHour / shifts.length, 0);
  const price = (from: number, to: number): number =>
    (legM(travel, from, to) * perKm) / 1000 + (legS(travel, from, to) * perHour) / 3600;
  return { perHour, price };
}
