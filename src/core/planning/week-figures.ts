/** A week in figures that two versions of it are compared by: money, days, vans, and what overflows or runs short. */
import type { Instant, Kg, LocalDay, Metres, Micros, Seconds } from '../quantity/units.ts';
import type { LaidOut } from './apply-changes.ts';
import { collected, unkeptPromises } from './assemble.ts';
import { weekMoney } from './evaluate.ts';
import { totalMicros } from './money.ts';
import type { Money, PlannedRound, UnkeptPromise } from './plan.ts';
import { roundLoads } from './round-loads.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import { stockDays } from './stock.ts';
import type { WeekState } from './week-state.ts';

export type DayFigures = {
  readonly day: LocalDay;
  readonly rounds: number;
  readonly stops: number;
  readonly distanceM: Metres;
  /** From leaving the workshop to the end of the last unloading, all rounds together. */
  readonly durationS: Seconds;
  readonly expectedKg: Kg;
};

export type RoundFigures = Pick<
  PlannedRound,
  | 'shiftId'
  | 'vanId'
  | 'driverId'
  | 'day'
  | 'startAt'
  | 'endAt'
  | 'shiftEndAt'
  | 'distanceM'
  | 'loadKg'
  | 'loadL'
  | 'cautiousLoadKg'
  | 'cautiousLoadL'
  | 'payloadKg'
  | 'loadSpaceL'
  | 'fullEarlyRisk'
> & { readonly stops: number; readonly durationS: Seconds; readonly overtimeS: Seconds };

export type SiteFigures = {
  readonly siteId: string;
  readonly days: readonly LocalDay[];
  /** The highest chance that the container is over its brim before the van comes or the days end, 0 to 1. */
  readonly overflowRisk: number;
  readonly overflowKg: Kg;
};

export type WeekFigures = {
  readonly money: Money;
  readonly costMicros: Micros;
  readonly days: readonly DayFigures[];
  /** Of the shifts that have stops. */
  readonly rounds: readonly RoundFigures[];
  /** Expected, of all sites, up to the end of the days. */
  readonly overflowKg: Kg;
  /** Expected to be bought in. */
  readonly shortageKg: Kg;
  readonly unkept: readonly UnkeptPromise[];
};

/** Every round of the state can be driven. */
export function weekFigures({ state, hopeless }: LaidOut): WeekFigures {
  const { week } = state;
  const { problem } = week;
  const money = weekMoney(state);
  const rounds = week.shifts
    .filter(({ index }) => state.counts[index]! > 0)
    .sort((a, b) => a.day - b.day || a.startS - b.startS || a.index - b.index)
    .map(({ index }) => roundFigures(state, index));
  const visits = collected(state);
  let overflowKg = 0;
  for (let site = 0; site < week.sites; site++) overflowKg += overflowOf(state, site).kg;
  const shortageKg = stockDays(problem, visits).reduce((sum, { shortKg }) => sum + shortKg, 0);
  return {
    money,
    costMicros: totalMicros(money),
    days: problem.days.map((day, d) => {
      const own = rounds.filter((round) => round.day === day);
      const sum = (of: (round: RoundFigures) => number): number =>
        own.reduce((total, round) => total + of(round), 0);
      const kg = visits.reduce((total, visit) => total + (visit.day === d ? visit.massKg : 0), 0);
      return {
        day,
        rounds: own.length,
        stops: sum((round) => round.stops),
        distanceM: sum((round) => round.distanceM),
        durationS: sum((round) => round.durationS),
        expectedKg: grams(kg),
      };
    }),
    rounds,
    overflowKg: grams(overflowKg),
    shortageKg: grams(shortageKg),
    unkept: unkeptPromises(state, hopeless),
  };
}

export function siteFigures(state: WeekState, siteId: string): SiteFigures {
  const { week } = state;
  const { problem } = week;
  const site = problem.sites.findIndex((one) => one.siteId === siteId);
  const { kg, risk } = overflowOf(state, site);
  return {
    siteId,
    days: problem.days.filter((_, day) => state.visitDays[site]! & (1 << day)),
    overflowRisk: Math.round(risk * 1e6) / 1e6,
    overflowKg: grams(kg),
  };
}

function roundFigures(state: WeekState, shift: number): RoundFigures {
  const { week, timer, orders, counts } = state;
  const given = week.problem.shifts[shift]!;
  timer.lay(week.shifts[shift]!, orders, shift * MAX_STOPS, counts[shift]!);
  const { startS, endS, distanceM } = timer.table;
  const instant = (s: Seconds): Instant => week.originAt + s;
  let stops = 0;
  for (let k = 0; k < counts[shift]!; k++) if (orders[shift * MAX_STOPS + k] !== UNLOAD) stops++;
  const { tripRisks: _, ...loads } = roundLoads(state, shift);
  return {
    shiftId: given.shiftId,
    vanId: given.vanId,
    driverId: given.driverId,
    day: week.problem.days[given.dayIndex]!,
    startAt: instant(startS),
    endAt: instant(endS),
    shiftEndAt: given.endAt,
    stops,
    distanceM,
    durationS: endS - startS,
    overtimeS: Math.max(0, endS - week.shifts[shift]!.endS),
    ...loads,
    payloadKg: given.payloadKg,
    loadSpaceL: given.loadSpaceL,
  };
}

/** Over every stretch between two visits and to the end of the days. */
function overflowOf({ week, visitDays }: WeekState, site: number): { kg: Kg; risk: number } {
  const { nodes, overflowKg, risk } = week.tables[site]!;
  let kg = 0;
  let most = 0;
  let a = 0;
  for (let b = 1; b < nodes; b++) {
    if (b < nodes - 1 && !(visitDays[site]! & (1 << (b - 1)))) continue;
    kg += overflowKg[a * nodes + b]!;
    most = Math.max(most, risk[a * nodes + b]!);
    a = b;
  }
  return { kg, risk: most };
}

const grams = (kg: Kg): Kg => Math.round(kg * 1000) / 1000 || 0;
