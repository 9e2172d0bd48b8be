/**
 * Whether what was told can still be kept when the facts have changed, with the reason in numbers. The told rounds are
 * laid into the new facts as they are: nothing is planned anew here.
 */
import type { Instant, Kg, Litres, LocalDay, Micros, Seconds } from '../quantity/units.ts';
import { weekMoney } from './evaluate.ts';
import type { Plan } from './plan.ts';
import type { PlanningProblem } from './problem.ts';
import { withPromises } from './promises.ts';
import { ordersOfPlan, stateAsTold } from './start.ts';
import { MAX_STOPS, UNLOAD } from './steps.ts';
import { layOutWeek } from './week.ts';
import { roundFits, visitMassKg, visitVarianceKg2, type WeekState } from './week-state.ts';

export type Danger =
  /** A chance of 0.3 or more that the container overflows before we come (methods.md D). */
  | {
      readonly kind: 'overflow';
      readonly siteId: string;
      readonly risk: number;
      /** The next visit, or nothing when none is planned. */
      readonly visitDay?: LocalDay;
    }
  /** What production must buy in costs 25 more than when the plan was made (methods.md D). */
  | { readonly kind: 'shortage'; readonly moreMicros: Micros }
  | {
      readonly kind: 'van-too-small';
      readonly shiftId: string;
      readonly day: LocalDay;
      readonly kg: Kg;
      readonly payloadKg: Kg;
      readonly litres: Litres;
      readonly loadSpaceL: Litres;
    }
  | {
      readonly kind: 'shift-too-short';
      readonly shiftId: string;
      readonly day: LocalDay;
      readonly stops: number;
    }
  | {
      readonly kind: 'promise-not-held';
      readonly siteId: string;
      readonly promise: 'rule' | 'booking' | 'pinned';
      readonly fromAt: Instant;
      readonly untilAt: Instant;
    }
  /** The van or the driver of a round is not there any more. */
  | {
      readonly kind: 'round-without-van';
      readonly shiftId: string;
      readonly day: LocalDay;
      readonly siteIds: readonly string[];
    }
  /** A stop that nobody needs any more: its booking was cancelled, or its container was emptied. */
  | {
      readonly kind: 'stop-without-need';
      readonly siteId: string;
      readonly day: LocalDay;
      readonly expectedKg: Kg;
      readonly extraS: Seconds;
    };

const OVERFLOW_RISK = 0.3;
const SHORTAGE_MICROS = 25_000_000;

/**
 * @param touched sites that the news is about: only they are looked at for overflow and need, for a plan may take such
 * a risk elsewhere with open eyes
 * @param goneShiftIds shifts whose round has left or is over: their stops are not in danger
 */
export function dangersOf(
  problem: PlanningProblem,
  told: Plan,
  touched: ReadonlySet<string>,
  goneShiftIds: ReadonlySet<string> = new Set(),
): Danger[] {
  const { week } = withPromises(layOutWeek(problem));
  const state = stateAsTold(week, ordersOfPlan(week, told));
  return [
    ...roundsWithoutVan(problem, told, goneShiftIds),
    ...roundsThatDoNotHold(state),
    ...promisesNotHeld(state),
    ...overflows(state, touched),
    ...needless(problem, told, touched),
    ...shortage(state, told),
  ];
}

function roundsWithoutVan(
  { shifts, days }: PlanningProblem,
  { rounds }: Plan,
  gone: ReadonlySet<string>,
): Danger[] {
  const open = new Set(shifts.map((shift) => shift.shiftId));
  return rounds
    .filter(({ shiftId, day }) => days.includes(day) && !open.has(shiftId) && !gone.has(shiftId))
    .map(({ shiftId, day, stops }) => ({
      kind: 'round-without-van',
      shiftId,
      day,
      siteIds: stops.flatMap(({ siteId }) => siteId ?? []),
    }));
}

function roundsThatDoNotHold(state: WeekState): Danger[] {
  const { week, counts, roundMicros } = state;
  return week.shifts.flatMap(({ index, day, payloadKg, loadSpaceL }): Danger | [] => {
    const shiftId = week.problem.shifts[index]!.shiftId;
    const on = { shiftId, day: week.problem.days[day]! };
    if (roundMicros[index] === Infinity) return { kind: 'shift-too-short', ...on, stops: counts[index]! };
    if (roundFits(state, index)) return [];
    return { kind: 'van-too-small', ...on, ...fullestTrip(state, index), payloadKg, loadSpaceL };
  });
}

/** The fullest trip at the quantile that loads are held with. */
function fullestTrip(state: WeekState, shift: number): { kg: Kg; litres: Litres } {
  const { week, orders, counts } = state;
  const { day } = week.shifts[shift]!;
  const common = week.problem.prices.commonSd ** 2;
  const most = { kg: 0, litres: 0 };
  let [kg, kg2, litres, litres2] = [0, 0, 0, 0];
  for (let k = 0; k <= counts[shift]!; k++) {
    const site = k < counts[shift]! ? orders[shift * MAX_STOPS + k]! : UNLOAD;
    if (site === UNLOAD) {
      most.kg = Math.max(most.kg, kg + week.cautionZ * Math.sqrt(kg2 + common * kg * kg));
      most.litres = Math.max(
        most.litres,
        litres + week.cautionZ * Math.sqrt(litres2 + common * litres * litres),
      );
      kg = kg2 = litres = litres2 = 0;
      continue;
    }
    const mass = visitMassKg(state, site, day);
    const variance = visitVarianceKg2(state, site, day);
    const l = week.problem.sites[site]!.model.litresPerKg;
    kg += mass;
    kg2 += variance;
    litres += mass * l;
    litres2 += variance * l * l;
  }
  return most;
}

const promisesNotHeld = ({ week, visitDays }: WeekState): Danger[] =>
  week.problem.sites.flatMap(({ siteId, promises }, site) =>
    promises.flatMap(({ kind, windows }, p): Danger | [] => {
      const isHeld = (week.keepDays[site]![p]! & visitDays[site]!) !== 0;
      if (isHeld || !week.due[site]![p] || windows.length === 0) return [];
      return {
        kind: 'promise-not-held',
        siteId,
        promise: kind,
        fromAt: windows[0]!.fromAt,
        untilAt: windows.at(-1)!.untilAt,
      };
    }),
  );

function overflows({ week, visitDays }: WeekState, touched: ReadonlySet<string>): Danger[] {
  return week.problem.sites.flatMap(({ siteId }, site): Danger | [] => {
    if (!touched.has(siteId)) return [];
    const { risk, nodes } = week.tables[site]!;
    const days = visitDays[site]!;
    const next = days === 0 ? week.days : 31 - Math.clz32(days & -days);
    const chance = risk[Math.min(nodes - 1, next + 1)]!;
    if (chance < OVERFLOW_RISK) return [];
    const visitDay = week.problem.days[next];
    return { kind: 'overflow', siteId, risk: chance, ...(visitDay === undefined ? {} : { visitDay }) };
  });
}

/** A told stop whose reason was a booking or a fill that is not there any more. */
function needless(problem: PlanningProblem, told: Plan, touched: ReadonlySet<string>): Danger[] {
  const open = new Set(problem.shifts.map((shift) => shift.shiftId));
  return told.rounds.flatMap(({ day, shiftId, stops }) =>
    stops.flatMap(({ siteId, reason, startAt, expectedKg }): Danger | [] => {
      if (siteId === undefined || !touched.has(siteId) || !open.has(shiftId) || reason?.code !== 'booked')
        return [];
      const site = problem.sites.find((one) => one.siteId === siteId);
      const isPromised = site?.promises.some((promise) =>
        promise.windows.some((window) => window.fromAt <= startAt && startAt < window.untilAt),
      );
      return isPromised ? [] : { kind: 'stop-without-need', siteId, day, expectedKg, extraS: reason.extraS };
    }),
  );
}

function shortage(state: WeekState, told: Plan): Danger[] {
  // Money of two horizons cannot be compared: only what lies on the told days counts.
  const isSameDays = state.week.problem.days.join() === told.days.join();
  const moreMicros = weekMoney(state).shortage - told.money.shortage;
  return isSameDays && moreMicros >= SHORTAGE_MICROS ? [{ kind: 'shortage', moreMicros }] : [];
}
