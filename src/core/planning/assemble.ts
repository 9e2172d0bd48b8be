/** From a searched week to the plan that people read: times, loads, reasons, what is left out and what is not kept. */
import { quantileKg } from '../accumulation/forecast.ts';
import { addRound, moneyByDay, weekMoney } from './evaluate.ts';
import { makeInserter } from './insertion.ts';
import { noMoney, totalMicros } from './money.ts';
import type { LeftOut, Plan, PlannedRound, PlannedStop, UnkeptPromise } from './plan.ts';
import type { PlanningBudget } from './problem.ts';
import type { PromiseFate } from './promises.ts';
import { leftOutReason, stopReason } from './reasons.ts';
import { roundLoads } from './round-loads.ts';
import { skipFirst } from './skip-rule.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import { type Collected, stockDays } from './stock.ts';
import { freshModel, massForecast, vanMostKg } from './tables.ts';
import { visitInstants } from './visit-days.ts';
import type { Week } from './week.ts';
import {
  copyState,
  emptyState,
  forgetTouched,
  nodeBefore,
  visitMassKg,
  visitVarianceKg2,
  type WeekState,
} from './week-state.ts';

export type Hopeless = readonly (readonly (PromiseFate | undefined)[])[];

export function assemblePlan(state: WeekState, hopeless: Hopeless, budget: PlanningBudget): Plan {
  const { week } = state;
  const { problem } = week;
  const money = weekMoney(state);
  const scratch = emptyState(week);
  copyState(scratch, state);
  forgetTouched(scratch);
  const shifts = week.shifts
    .filter((shift) => state.counts[shift.index]! > 0)
    .sort((a, b) => a.day - b.day || a.startS - b.startS || a.index - b.index);
  return {
    firstDay: problem.days[0]!,
    days: problem.days,
    seed: budget.seed,
    iterations: budget.iterations,
    rounds: shifts.map((shift) => plannedRound(state, scratch, shift.index)),
    leftOut: leftOutSites(state, scratch),
    unkept: unkeptPromises(state, hopeless),
    stock: stockDays(problem, collected(state)),
    money,
    moneyByDay: moneyByDay(state),
    costMicros: totalMicros(money),
  };
}

/** What every visit of the week brings. */
export function collected(state: WeekState): Collected[] {
  const { week } = state;
  const visits: Collected[] = [];
  for (let day = 0; day < week.days; day++)
    for (let site = 0; site < week.sites; site++)
      if (state.visitDays[site]! & (1 << day))
        visits.push({
          site,
          day,
          massKg: visitMassKg(state, site, day),
          varianceKg2: visitVarianceKg2(state, site, day),
        });
  return visits;
}

function plannedRound(state: WeekState, scratch: WeekState, shift: number): PlannedRound {
  const { week, orders, counts, timer } = state;
  const { problem, originAt } = week;
  const given = problem.shifts[shift]!;
  const day = given.dayIndex;
  const roundMoney = noMoney();
  addRound(state, shift, roundMoney);
  const { table } = timer;
  const { startS, endS, distanceM, driveS } = table;
  const stops: PlannedStop[] = [];
  let at = problem.workshopPlace;
  for (let k = 0; k < table.count; k++) {
    const site = k < counts[shift]! ? orders[shift * MAX_STOPS + k]! : UNLOAD;
    const to = site === UNLOAD ? problem.workshopPlace : week.place[site]!;
    stops.push({
      kind: site === UNLOAD ? 'unload' : 'site',
      ...(site === UNLOAD ? {} : { siteId: problem.sites[site]!.siteId }),
      arriveAt: originAt + table.arriveS[k]!,
      startAt: originAt + table.beginS[k]!,
      departAt: originAt + table.leaveS[k]!,
      legM: week.legM[at * week.places + to]!,
      legS: week.legS[at * week.places + to]!,
      ...loadOf(state, site, day),
    });
    at = to;
    for (let b = 0; b < table.breaks; b++)
      if (table.breakAfter[b] === k) {
        const breakAt = originAt + table.breakStartS[b]!;
        stops.push({
          kind: 'break',
          arriveAt: breakAt,
          startAt: breakAt,
          departAt: breakAt + problem.breakRule.breakS,
          legM: 0,
          legS: 0,
          ...NOTHING,
        });
      }
  }
  const withReasons = stops.map((stop) =>
    stop.siteId === undefined
      ? stop
      : {
          ...stop,
          reason: stopReason(state, scratch, siteIndex(week, stop.siteId), day, stop.startAt),
        },
  );
  return {
    shiftId: given.shiftId,
    vanId: given.vanId,
    driverId: given.driverId,
    day: problem.days[day]!,
    startAt: originAt + startS,
    endAt: originAt + endS,
    shiftEndAt: given.endAt,
    distanceM,
    driveS,
    money: roundMoney,
    ...roundLoads(state, shift),
    payloadKg: given.payloadKg,
    loadSpaceL: given.loadSpaceL,
    skipFirst: skipFirst(withReasons),
    stops: withReasons,
  };
}

const NOTHING = { expectedKg: 0, lowKg: 0, highKg: 0, expectedL: 0 };

function loadOf(state: WeekState, site: number, day: number): typeof NOTHING {
  if (site === UNLOAD) return NOTHING;
  const { week } = state;
  const { model: known, besideKg = 0 } = week.problem.sites[site]!;
  const model = freshModel(known);
  const heldKg = week.tables[site]!.fillsVan
    ? vanMostKg(week.problem, model.litresPerKg)
    : model.capacityKg + besideKg;
  const instants = visitInstants(week.problem);
  const a = nodeBefore(state.visitDays[site]!, day);
  const forecast = massForecast(model, instants, a, instants[day + 1]!);
  const quantile = (p: number): number => grams(Math.min(heldKg, quantileKg(forecast, p)));
  const expectedKg = visitMassKg(state, site, day);
  return {
    expectedKg: grams(expectedKg),
    lowKg: quantile(0.1),
    highKg: quantile(0.9),
    expectedL: grams(expectedKg * model.litresPerKg),
  };
}

function leftOutSites(state: WeekState, scratch: WeekState): LeftOut[] {
  const inserter = makeInserter();
  const leftOut: LeftOut[] = [];
  for (let site = 0; site < state.week.sites; site++)
    if (state.visitDays[site] === 0) leftOut.push(leftOutReason(state, scratch, inserter, site));
  return leftOut;
}

export function unkeptPromises(state: WeekState, hopeless: Hopeless): UnkeptPromise[] {
  const { week } = state;
  const inserter = makeInserter();
  return week.problem.sites.flatMap((site, i) =>
    site.promises.flatMap((promise, p): UnkeptPromise | [] => {
      const keep = week.keepDays[i]![p]!;
      if (!week.due[i]![p] || keep & state.visitDays[i]!) return [];
      const window = promise.windows.at(-1);
      let fate = hopeless[i]![p];
      if (!fate) {
        // Something could keep it, were it not for other stops: is it time or room that they take?
        let hasTime = false;
        for (let day = 0; day < week.days; day++)
          if (keep & (1 << day))
            hasTime ||= inserter.scanDay(state, i, day).plain.some((place) => place.micros < Infinity);
        fate = { why: hasTime ? 'no-room' : 'no-time', mend: 'second-van' };
      }
      return {
        siteId: site.siteId,
        kind: promise.kind,
        windowFromAt: promise.windows[0]?.fromAt ?? week.problem.nowAt,
        windowUntilAt: window?.untilAt ?? week.problem.nowAt,
        ...fate,
      };
    }),
  );
}

const siteIndex = (week: Week, siteId: string): number =>
  week.problem.sites.findIndex((site) => site.siteId === siteId);
const grams = (value: number): number => Math.round(value * 1000) / 1000 || 0;
