/**
 * One year of a drawn world under one policy, day by day. The order of a day: the policy says in the morning what the
 * van does; half of the day's film has come when it calls; what does not fit beside the brim is lost; donors who see
 * the container getting full may call in the evening; production draws what it needs and buys what is missing.
 *
 * Every policy sees the same facts (weigh-ins, calls, announced events, declared volumes), drives by the same rules
 * (`drive-round.ts`) and pays the same prices.
 */
import type { Evidence, LoadWeighed, SiteHistory } from '../accumulation/site-history.ts';
import type { Kg } from '../quantity/units.ts';
import { dayAt } from './days.ts';
import { type DrivenRound, driveRound } from './drive-round.ts';
import type { Morning, Policy } from './policy.ts';
import { unavoidableKg } from './unavoidable.ts';
import { countsBags, weighIn } from './weigh-in.ts';
import type { World } from './world.ts';
import { isOpenOn } from './world-site.ts';
import { NO_MONEY_YET, NOTHING_YET, YEAR_PARTS, type YearPart, type YearResult } from './year-result.ts';

/** Told of what nobody in the workshop sees, to take a year apart; no policy is given it. All kg are the truth. */
export type YearWatch = {
  /** Before the policy decides. */
  readonly morning?: (day: number, sites: readonly Waiting[], stockKg: readonly Kg[]) => void;
  readonly round?: (day: number, order: readonly number[], driven: DrivenRound) => void;
  readonly lost?: (day: number, site: number, kg: Kg) => void;
  readonly boughtIn?: (day: number, grade: number, kg: Kg) => void;
};
export type Waiting = { readonly waitingKg: Kg; readonly besideKg: Kg };

type SiteNow = {
  readonly evidence: Evidence[];
  waitingKg: Kg;
  /** Sacks of an event beside the container: never lost, fetched at the next visit. */
  besideKg: Kg;
  emptiedDay: number;
  hasCalled: boolean;
  /** Film has been lost since the last emptying. */
  isOver: boolean;
};
type Announced = SiteHistory & { readonly surges: SiteHistory['surges'][number][] };

/** A year while it runs. */
type Year = {
  readonly world: World;
  readonly now: readonly SiteNow[];
  readonly histories: readonly Announced[];
  readonly loads: LoadWeighed[];
  readonly stockKg: Kg[];
  readonly sum: { [figure in keyof typeof NOTHING_YET]: number };
  /** Sites where film was lost today. */
  readonly lostToday: Set<number>;
  readonly money: { [part in YearPart]: number };
  /** Adds to the year's figures, once scoring has begun. */
  add(what: keyof typeof NOTHING_YET, amount: number): void;
  pay(part: YearPart, micros: number): void;
  readonly watch: YearWatch;
};

/** Weeks before scoring starts. */
const LEARNING_WEEKS = 8;

/** Yields the day that has passed; ends with the year's figures. */
export function* simulateYear(
  world: World,
  policy: Policy,
  watch: YearWatch = {},
): Generator<number, YearResult, void> {
  const scoredFrom = Math.min(LEARNING_WEEKS * 7, Math.floor(world.days / 2));
  let day = 0;
  const year = newYear(world, watch, () => day >= scoredFrom);
  const waiting = (): Kg => year.now.reduce((kg, site) => kg + site.waitingKg + site.besideKg, 0);
  let waitingAtStartKg = 0;
  let floorKg = 0;
  for (; day < world.days; day++) {
    if (day === scoredFrom) {
      waitingAtStartKg = waiting();
      floorKg = unavoidableKg(world, day, year.now, year.stockKg);
    }
    announceEvents(year, day);
    watch.morning?.(day, year.now, year.stockKg);
    const order = world.shiftDays[day % 7] ? decide(year, policy, day) : [];
    comeHalfOf(year, day);
    drive(year, day, order, policy.leavesAtMost);
    comeHalfOf(year, day);
    year.add('overflowDays', year.lostToday.size);
    year.pay('overflow', year.lostToday.size * world.prices.overflowMicrosPerDay);
    year.lostToday.clear();
    callIn(year, day);
    produce(year, day);
    yield day;
  }
  const money = { ...NO_MONEY_YET };
  for (const part of YEAR_PARTS) money[part] = Math.round(year.money[part]);
  return {
    seed: world.seed,
    policy: policy.name,
    scoredDays: world.days - scoredFrom,
    ...year.sum,
    unavoidableKg: floorKg,
    money,
    costMicros: YEAR_PARTS.reduce((sum, part) => sum + money[part], 0),
    waitingMoreKg: waiting() - waitingAtStartKg,
  };
}

function newYear(world: World, watch: YearWatch, isScored: () => boolean): Year {
  const now = world.sites.map(
    (): SiteNow => ({
      evidence: [],
      waitingKg: 0,
      besideKg: 0,
      emptiedDay: -1,
      hasCalled: false,
      isOver: false,
    }),
  );
  const sum = { ...NOTHING_YET };
  const money = { ...NO_MONEY_YET };
  return {
    world,
    now,
    histories: world.sites.map((site, i) => ({ ...site.known, evidence: now[i]!.evidence, surges: [] })),
    loads: [],
    stockKg: [...world.stockAtStartKg],
    sum,
    money,
    lostToday: new Set(),
    add: (what, amount) => {
      if (isScored()) sum[what] += amount;
    },
    pay: (part, micros) => {
      if (isScored()) money[part] += micros;
    },
    watch,
  };
}

function announceEvents({ world, histories }: Year, day: number): void {
  world.sites.forEach((site, i) => {
    for (const event of site.events)
      if (event.announcedOn === day)
        histories[i]!.surges.push({
          eventKind: 'festival',
          startsAt: dayAt(event.from, 0),
          endsAt: dayAt(event.until + 1, 0),
          expectedBags: event.announcedKg / site.known.bagKg,
          announcedAt: dayAt(day, 0),
        });
  });
}

function decide({ world, now, histories, loads, stockKg, add }: Year, policy: Policy, day: number) {
  const morning: Morning = {
    world,
    day,
    facts: now.map(({ emptiedDay, hasCalled }, i) => ({ history: histories[i]!, emptiedDay, hasCalled })),
    loads,
    stockKg,
  };
  const order = policy.decide(morning);
  if (policy.changes) {
    const { changed, said } = policy.changes();
    add('planChanges', changed);
    add('plannedVisits', said);
  }
  return order;
}

/** Half of what comes in a day; what the container cannot hold is lost. */
function comeHalfOf({ world, now, lostToday, add, pay, watch }: Year, day: number): void {
  const { prices } = world;
  world.sites.forEach((site, i) => {
    const state = now[i]!;
    const cameKg = site.massByDayKg[day]! / 2;
    state.waitingKg += cameKg;
    add('cameKg', cameKg);
    const lostKg = state.waitingKg - site.capacityKg;
    if (lostKg > 1e-9) {
      state.waitingKg = site.capacityKg;
      add('lostKg', lostKg);
      pay('overflow', prices.overflowMicrosPerKg * lostKg);
      lostToday.add(i);
      watch.lost?.(day, i, lostKg);
      if (!state.isOver) {
        state.isOver = true;
        add('overflowEvents', 1);
        pay('overflow', prices.overflowMicros);
      }
    }
    for (const event of site.events)
      if (day >= event.from && day <= event.until) {
        const kg = event.kgByDay[day - event.from]! / 2;
        state.besideKg += kg;
        add('cameKg', kg);
      }
  });
}

function drive(year: Year, day: number, order: readonly number[], leavesAtMost = 0): void {
  const { world, now, loads, stockKg, add, pay, watch } = year;
  const { prices, van, shiftHours } = world;
  const round = driveRound(world, day, order, now, leavesAtMost);
  watch.round?.(day, order, round);
  if (round.stops.length === 0) return;
  add('rounds', 1);
  add('distanceM', round.distanceM);
  add('workS', round.workS);
  add('unloadings', round.unloadings);
  const overS = Math.max(0, round.workS - 3600 * (shiftHours.until - shiftHours.from));
  pay('driving', (round.distanceM * van.costMicrosPerKm) / 1000);
  pay('time', (round.workS * van.costMicrosPerHour + overS * prices.overtimeMicrosPerHour) / 3600);
  pay('unloading', round.unloadings * prices.unloadMicros);
  const loadId = countsBags(world, day) ? `load-${day}` : undefined;
  let loadKg = 0;
  for (const stop of round.stops) {
    const site = world.sites[stop.site]!;
    const state = now[stop.site]!;
    if (stop.isMissed) {
      add('missedStops', 1);
      const id = `${site.siteId}-${String(day).padStart(3, '0')}`;
      state.evidence.push({ kind: 'missed', id, at: dayAt(day, 12), reason: 'no-access' });
      continue;
    }
    add('stops', 1);
    add('collectedKg', stop.takenKg);
    loadKg += stop.takenKg;
    state.emptiedDay = day;
    state.hasCalled = false;
    state.isOver = false;
    state.evidence.push(weighIn(world, stop, day, loadId));
    site.shares.forEach((share, g) => {
      stockKg[g]! += stop.takenKg * share * (1 - prices.contaminationShare);
    });
  }
  if (loadId !== undefined && loadKg > 0) loads.push({ loadId, at: dayAt(day, 15.5), netKg: loadKg });
}

/** Donors who see their container getting full may call; once until somebody comes. */
function callIn({ world, now, add }: Year, day: number): void {
  world.sites.forEach((site, i) => {
    const state = now[i]!;
    if (state.hasCalled || !isOpenOn(site, day)) return;
    if (state.waitingKg < world.callFromShare * site.capacityKg || site.callDraw[day]! >= world.callChance)
      return;
    state.hasCalled = true;
    add('calls', 1);
    state.evidence.push({
      kind: 'reported',
      id: `${site.siteId}-${day}-call`,
      at: dayAt(day, 18),
      fraction: world.callFromShare,
    });
  });
}

/** Production draws its grades and buys what is missing; too full a store costs. */
function produce({ world, stockKg, add, pay, watch }: Year, day: number): void {
  const { prices, storeLimitKg, buyPriceMicrosPerKg } = world;
  world.drawKg[day]!.forEach((kg, g) => {
    add('neededKg', kg);
    stockKg[g]! -= kg;
    if (stockKg[g]! >= -1e-9) return;
    add('boughtInKg', -stockKg[g]!);
    add('shortDays', 1);
    pay('buying-in', -stockKg[g]! * buyPriceMicrosPerKg[g]!);
    watch.boughtIn?.(day, g, -stockKg[g]!);
    stockKg[g] = 0;
  });
  const overKg = stockKg.reduce<number>((kg, grade) => kg + grade, 0) - storeLimitKg;
  if (overKg > 0) pay('full-store', overKg * prices.storeOverflowMicrosPerKgDay);
}
