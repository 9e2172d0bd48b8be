/**
 * When an extra collection could be made, and what that costs: everything that was told stays where it is, and the
 * stop goes into the place of each day and window where it costs least, in the plan's own hours, loads and breaks.
 * What is told is the published plan and, beside it, every promise it does not hold yet (a booking confirmed since, a
 * rule's date on a day that nobody has planned): their room is taken, whoever asks next.
 */
import type { KnownSurge } from '../accumulation/site-model.ts';
import type { Instant, LocalDay, Metres, Micros, Seconds, TimeWindow } from '../quantity/units.ts';
import { assemblePlan } from './assemble.ts';
import { makeInserter, type Place } from './insertion.ts';
import type { Plan } from './plan.ts';
import type { PlanningProblem } from './problem.ts';
import { withPromises } from './promises.ts';
import { ROOM_FOR_MORE, withSite } from './quote-held.ts';
import { loneTripMicros, ON_THE_WAY_SHARE } from './reasons.ts';
import { ordersOfPlan, ordersOfState, stateAsTold } from './start.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import { visitInstants } from './visit-days.ts';
import { commonSpans, layOutWeek, startSpans, type Week } from './week.ts';
import {
  copyState,
  emptyState,
  insertStop,
  nodeBefore,
  removeStop,
  retimeRound,
  roundFits,
  type WeekState,
} from './week-state.ts';

export type WantedCollection = {
  readonly siteId: string;
  /** When the van may come. */
  readonly window: TimeWindow;
  /** What the event leaves, beside what waits there anyway; 0 kg when nothing extra. */
  readonly surge: KnownSurge;
};

/** A day and hours that could be promised. */
export type Slot = {
  readonly day: LocalDay;
  readonly fromAt: Instant;
  readonly untilAt: Instant;
  readonly shiftId: string;
  /** When the van would be there, as things stand. */
  readonly startAt: Instant;
  /** What the round would be longer, in metres, seconds and money of driving, hours and unloading. */
  readonly extraM: Metres;
  readonly extraS: Seconds;
  readonly extraMicros: Micros;
  /** The van calls there on that day in any case. */
  readonly isComingAnyway: boolean;
  /** A detour of less than 0.4 of a trip of its own (methods.md D), in a round that is driven in any case. */
  readonly isOnOurWay: boolean;
};

/** Per shift the stops in order; undefined parts two trips. */
export type Rounds = ReadonlyMap<string, readonly (string | undefined)[]>;
export type Offer = { readonly slot: Slot; readonly rounds: () => Rounds };

/** Shorter than this no van can be promised to hit. Own judgement. */
const LEAST_WINDOW_S = 900;

/** In order of time. @param told the published plan, or nothing before the first */
export function quoteCollection(
  problem: PlanningProblem,
  told: Pick<Plan, 'rounds'> | undefined,
  wanted: WantedCollection,
): Offer[] {
  const site = problem.sites.findIndex((one) => one.siteId === wanted.siteId);
  if (site < 0 || problem.shifts.length === 0) return [];
  const before = committed(problem, told);
  const { week } = withPromises(layOutWeek(withSurge(problem, site, wanted)));
  const state = stateAsTold(week, ordersOfState(before));
  const rounds = week.shifts.map(({ index }) => ({
    ...sizeOf(before, index),
    isFine: isFine(before, index),
  }));
  moveOwnVisits(state, site);
  return problem.days.flatMap((_, day) =>
    windowsOf(problem, site, day, wanted.window).flatMap((window) => {
      const offer = offerIn(state, site, day, window, rounds);
      return offer ? [offer] : [];
    }),
  );
}

/** The plan with these rounds, in the facts of `problem`; nothing where one of them cannot be driven or carried. */
export function planOfRounds(problem: PlanningProblem, rounds: Rounds, budget: Plan): Plan | undefined {
  const { week, hopeless } = withPromises(layOutWeek(problem));
  const siteOf = new Map(problem.sites.map((site, i) => [site.siteId, i]));
  const state = stateAsTold(
    week,
    problem.shifts.map(({ shiftId }) =>
      (rounds.get(shiftId) ?? []).flatMap((siteId) =>
        siteId === undefined ? UNLOAD : (siteOf.get(siteId) ?? []),
      ),
    ),
  );
  if (!week.shifts.every(({ index }) => isFine(state, index))) return undefined;
  return assemblePlan(state, hopeless, { seed: budget.seed, iterations: budget.iterations });
}

function committed(problem: PlanningProblem, told: Pick<Plan, 'rounds'> | undefined): WeekState {
  const { week } = withPromises(layOutWeek(problem));
  const state = stateAsTold(week, told ? ordersOfPlan(week, told) : problem.shifts.map(() => []));
  const inserter = makeInserter();
  for (let site = 0; site < week.sites; site++)
    week.keepDays[site]!.forEach((keep, p) => {
      if (keep === 0 || !week.due[site]![p] || keep & state.visitDays[site]!) return;
      let best: Place | undefined;
      for (let day = 0; day < week.days; day++) {
        if ((keep & (1 << day)) === 0) continue;
        const place = cheapest(state, inserter, site, day);
        if (place && place.micros < (best?.micros ?? Infinity)) best = place;
      }
      if (best) insertStop(state, best.shift, best.at, site, best.unload);
    });
  return state;
}

/**
 * A visit that was told to the donor itself and cannot take what the event leaves: it goes to another place of its day
 * (another van, after unloading), or out, where nothing promises it.
 */
function moveOwnVisits(state: WeekState, site: number): void {
  const { week } = state;
  for (let day = 0; day < week.days; day++) {
    const shift = state.shiftOf[site * week.days + day]!;
    if (shift < 0 || isFine(state, shift)) continue;
    removeStop(state, site, day);
    const place = isFine(state, shift) ? cheapest(state, makeInserter(), site, day) : undefined;
    const isPromised = week.keepDays[site]!.some((keep) => (keep & (1 << day)) !== 0);
    if (place) insertStop(state, place.shift, place.at, site, place.unload);
    else if (isPromised) insertStop(state, shift, state.counts[shift]!, site, 0);
  }
}

function offerIn(
  told: WeekState,
  site: number,
  day: number,
  window: TimeWindow,
  before: readonly RoundSize[],
): Offer | undefined {
  const node = site * told.week.days + day;
  const spans = told.week.spans.slice();
  spans[node] = commonSpans(spans[node]!, startSpans([window], told.week.originAt));
  if (spans[node]!.length === 0) return undefined;
  const week: Week = { ...told.week, spans };
  const state = emptyState(week);
  copyState(state, told);
  const there = state.shiftOf[node]!;
  let shift = there;
  if (there >= 0) retimeRound(state, there);
  else {
    const place = cheapest(state, makeInserter(), site, day);
    if (!place) return undefined;
    shift = place.shift;
    insertStop(state, shift, place.at, site, place.unload);
  }
  // What was in trouble before may stay so, but not by this site: it takes its sacks along on its first visit.
  if (before.some((was, s) => (was.isFine || visits(state, site, s)) && !isFine(state, s))) return undefined;
  // All rounds: a visit of the site's own may have gone to another place.
  const extra = { distanceM: 0, durationS: 0, micros: 0 };
  before.forEach((was, s) => {
    const is = sizeOf(state, s);
    extra.distanceM += is.distanceM - was.distanceM;
    extra.durationS += is.durationS - was.durationS;
    extra.micros += is.micros - was.micros;
  });
  const beganS = beginS(state, shift, site);
  const isComingAnyway = there >= 0;
  const isDriven = told.counts[shift]! > 0;
  return {
    slot: {
      day: week.problem.days[day]!,
      ...window,
      shiftId: week.problem.shifts[shift]!.shiftId,
      startAt: week.originAt + beganS,
      extraM: extra.distanceM,
      extraS: extra.durationS,
      extraMicros: extra.micros,
      isComingAnyway,
      isOnOurWay:
        isComingAnyway || (isDriven && extra.micros < ON_THE_WAY_SHARE * loneTripMicros(week, site, shift)),
    },
    rounds: () => roundsOf(state),
  };
}

function cheapest(
  state: WeekState,
  inserter: ReturnType<typeof makeInserter>,
  site: number,
  day: number,
): Place | undefined {
  const table = state.week.tables[site]!;
  const at = nodeBefore(state.visitDays[site]!, day) * table.nodes + day + 1;
  const places = inserter.scanDay(state, site, day);
  const place = inserter.cheapestPlace(state, places, site, table.massKg[at]!, table.varianceKg2[at]!);
  return place && place.micros < Infinity ? place : undefined;
}

const isFine = (state: WeekState, shift: number): boolean =>
  state.roundMicros[shift]! < Infinity && roundFits(state, shift);

const visits = ({ week, shiftOf }: WeekState, site: number, shift: number): boolean =>
  shiftOf[site * week.days + week.shifts[shift]!.day] === shift;

/** What of the wanted window lies in each opening window of the day, and in the hours of that day's shifts. */
function windowsOf(problem: PlanningProblem, site: number, day: number, wanted: TimeWindow): TimeWindow[] {
  const shifts = problem.shifts.filter((shift) => shift.dayIndex === day);
  if (shifts.length === 0) return [];
  const startAt = Math.min(...shifts.map((shift) => shift.startAt));
  const endAt = Math.max(...shifts.map((shift) => shift.endAt));
  return problem.sites[site]!.openByDay[day]!.map((open) => ({
    fromAt: Math.max(open.fromAt, wanted.fromAt, startAt),
    untilAt: Math.min(open.untilAt, wanted.untilAt, endAt),
  })).filter(({ fromAt, untilAt }) => untilAt - fromAt >= LEAST_WINDOW_S);
}

/** Sacks that come in later on the window's first day than visits count from are there for a visit of that day. */
function withSurge(
  problem: PlanningProblem,
  site: number,
  { window, surge }: WantedCollection,
): PlanningProblem {
  const endsAt = sacksThereAt(problem, surge.endsAt, window);
  return withSite(problem, problem.sites[site]!.siteId, (one) => ({
    ...one,
    // A promise is kept whole: no van takes a part of it and leaves the rest for another day.
    promises: [...one.promises, { kind: 'booking' as const, windows: [] }],
    model: {
      ...one.model,
      surges: [...one.model.surges, { ...surge, startsAt: Math.min(surge.startsAt, endsAt - 1), endsAt }],
    },
    besideKg: (one.besideKg ?? 0) + ROOM_FOR_MORE * surge.expectedKg,
  }));
}

/** When announced sacks count as there: at the event's end, but not after noon of the first day we may come. */
export function sacksThereAt(problem: PlanningProblem, endsAt: Instant, { fromAt }: TimeWindow): Instant {
  const day = problem.dayStartsAt.findIndex((startAt, i) => {
    const nextAt = problem.dayStartsAt[i + 1];
    return nextAt !== undefined && startAt <= fromAt && fromAt < nextAt;
  });
  return day < 0 ? endsAt : Math.min(endsAt, visitInstants(problem)[day + 1]!);
}

const roundsOf = (state: WeekState): Rounds =>
  new Map(
    ordersOfState(state).map((order, shift) => [
      state.week.problem.shifts[shift]!.shiftId,
      order.map((site) => (site === UNLOAD ? undefined : state.week.problem.sites[site]!.siteId)),
    ]),
  );

type RoundSize = {
  readonly distanceM: Metres;
  readonly durationS: Seconds;
  readonly micros: Micros;
  readonly isFine: boolean;
};

/** Nothing for a round that cannot be driven. */
function sizeOf({ timer, week, orders, counts, roundMicros }: WeekState, shift: number) {
  const laid = timer.lay(week.shifts[shift]!, orders, shift * MAX_STOPS, counts[shift]!);
  if (!laid) return { distanceM: 0, durationS: 0, micros: 0 };
  const { distanceM, endS, startS } = timer.table;
  return { distanceM, durationS: endS - startS, micros: roundMicros[shift]! };
}

function beginS({ timer, week, orders, counts }: WeekState, shift: number, site: number): Seconds {
  timer.lay(week.shifts[shift]!, orders, shift * MAX_STOPS, counts[shift]!);
  for (let k = 0; k < counts[shift]!; k++)
    if (orders[shift * MAX_STOPS + k] === site) return timer.table.beginS[k]!;
  return week.shifts[shift]!.startS;
}
