/**
 * One year of a drawn world under one policy, day by day. The order of a day: the policy says in the morning what the
 * van does; half of the day's film has come when it calls; what does not fit beside the brim is lost; donors who see
 * the container getting full may call in the evening; production draws what it needs and buys what is missing.
 *
 * Every policy sees the same facts (weigh-ins, calls, announced events, declared volumes), drives by the same rules
 * (`driveRound`) and pays the same prices.
 */
import type { Evidence, LoadWeighed, SiteHistory } from '../accumulation/site-history.ts';
import type { Kg, Metres, Seconds } from '../quantity/units.ts';
import { legM, legS } from '../routing/travel-table.ts';
import { dayAt, isOpenOn, type World, type WorldSite } from './world.ts';

/** In a round: empty the van at the workshop, then go on. */
export const TO_WORKSHOP = -1;

/** What anybody in the workshop may know of a site on a morning. */
export type SiteFacts = {
  readonly history: SiteHistory;
  /** Day of the last emptying, -1 at the start; and whether the donor has called since. */
  readonly emptiedDay: number;
  readonly hasCalled: boolean;
};

export type Morning = {
  readonly world: World;
  readonly day: number;
  readonly facts: readonly SiteFacts[];
  readonly loads: readonly LoadWeighed[];
  readonly stockKg: readonly Kg[];
};

export type Policy = {
  readonly name: string;
  /** The day's rounds as stops in order (site index or TO_WORKSHOP); one van, so one round. */
  decide(morning: Morning): readonly number[];
  /** Visits of today and tomorrow that differ from what was said the day before, and how many were said. */
  readonly changes?: () => { readonly changed: number; readonly said: number };
};

export type YearResult = {
  readonly seed: number;
  readonly policy: string;
  /** Days that were scored; the first weeks are for learning, the same for all. */
  readonly scoredDays: number;
  readonly collectedKg: Kg;
  readonly cameKg: Kg;
  readonly distanceM: Metres;
  readonly workS: Seconds;
  readonly rounds: number;
  readonly stops: number;
  readonly unloadings: number;
  readonly missedStops: number;
  readonly overflowEvents: number;
  /** Site-days on which film was lost. */
  readonly overflowDays: number;
  readonly lostKg: Kg;
  readonly neededKg: Kg;
  readonly boughtInKg: Kg;
  /** Grade-days on which production had to buy. */
  readonly shortDays: number;
  readonly planChanges: number;
  readonly plannedVisits: number;
  readonly costMicros: number;
  readonly calls: number;
  /** What waits at sites and beside them at the end, less what waited when scoring began. */
  readonly waitingMoreKg: Kg;
};

type SiteNow = {
  readonly evidence: Evidence[];
  waitingKg: Kg;
  /** Sacks of an event beside the container: never lost, fetched at the next visit. */
  besideKg: Kg;
  emptiedDay: number;
  hasCalled: boolean;
  isOver: boolean;
};

/** Weeks before scoring starts. */
export const LEARNING_WEEKS = 8;
const SORTED_SHARE = 0.3;
const TYPING_SLIP = 0.01;
const COUNTED_DAYS_SHARE = 0.45;
/** A van as full as this goes to unload before the next stop. */
const FULL_SHARE = 0.96;

/** Yields the day that has passed; ends with the year's figures. */
export function* simulateYear(world: World, policy: Policy): Generator<number, YearResult, void> {
  const { sites, prices, van } = world;
  const now = sites.map(
    (): SiteNow => ({
      evidence: [],
      waitingKg: 0,
      besideKg: 0,
      emptiedDay: -1,
      hasCalled: false,
      isOver: false,
    }),
  );
  const histories = sites.map((site, i): SiteHistory & { surges: SiteHistory['surges'][number][] } => ({
    ...site.known,
    evidence: now[i]!.evidence,
    surges: [],
  }));
  const loads: LoadWeighed[] = [];
  const stockKg = [...world.stockAtStartKg];
  const sum = {
    collectedKg: 0,
    cameKg: 0,
    distanceM: 0,
    workS: 0,
    rounds: 0,
    stops: 0,
    unloadings: 0,
    missedStops: 0,
    overflowEvents: 0,
    overflowDays: 0,
    lostKg: 0,
    neededKg: 0,
    boughtInKg: 0,
    shortDays: 0,
    planChanges: 0,
    plannedVisits: 0,
    costMicros: 0,
    calls: 0,
  };
  const learningDays = Math.min(LEARNING_WEEKS * 7, Math.floor(world.days / 2));
  let waitingAtStartKg = 0;
  const waiting = (): Kg => now.reduce((kg, site) => kg + site.waitingKg + site.besideKg, 0);

  for (let day = 0; day < world.days; day++) {
    const isScored = day >= learningDays;
    if (day === learningDays) waitingAtStartKg = waiting();
    const add = (what: keyof typeof sum, amount: number): void => {
      if (isScored) sum[what] += amount;
    };
    sites.forEach((site, i) => {
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
    const half = (): void => {
      sites.forEach((site, i) => {
        const state = now[i]!;
        const cameKg = site.massByDayKg[day]! / 2;
        state.waitingKg += cameKg;
        add('cameKg', cameKg);
        const lostKg = state.waitingKg - site.capacityKg;
        if (lostKg > 1e-9) {
          state.waitingKg = site.capacityKg;
          add('lostKg', lostKg);
          add('costMicros', prices.overflowMicrosPerKg * lostKg);
          lostToday.add(i);
        }
        for (const event of site.events)
          if (day >= event.from && day <= event.until) {
            const kg = event.kgByDay[day - event.from]! / 2;
            state.besideKg += kg;
            add('cameKg', kg);
          }
      });
    };
    const lostToday = new Set<number>();
    const isWorkday = day % 7 < 5;
    const morning: Morning = {
      world,
      day,
      facts: now.map((state, i) => ({
        history: histories[i]!,
        emptiedDay: state.emptiedDay,
        hasCalled: state.hasCalled,
      })),
      loads,
      stockKg,
    };
    const order = isWorkday ? policy.decide(morning) : [];
    if (isWorkday && policy.changes) {
      const { changed, said } = policy.changes();
      add('planChanges', changed);
      add('plannedVisits', said);
    }
    half();
    const round = driveRound(world, day, order, now);
    if (round.stops.length > 0) {
      add('rounds', 1);
      add('distanceM', round.distanceM);
      add('workS', round.workS);
      add('unloadings', round.unloadings);
      const overS = Math.max(0, round.workS - 3600 * (world.shiftHours.until - world.shiftHours.from));
      add(
        'costMicros',
        (round.distanceM * van.costMicrosPerKm) / 1000 +
          (round.workS * van.costMicrosPerHour) / 3600 +
          (overS * prices.overtimeMicrosPerHour) / 3600 +
          round.unloadings * prices.unloadMicros,
      );
    }
    const countsBags = world.sites[0]!.slipDraw[day]! < COUNTED_DAYS_SHARE;
    let loadKg = 0;
    for (const { site: i, takenKg, leftKg, isMissed, foundFull } of round.stops) {
      const site = sites[i]!;
      const state = now[i]!;
      const at = dayAt(day, 12);
      const id = `${site.siteId}-${String(day).padStart(3, '0')}`;
      if (isMissed) {
        add('missedStops', 1);
        state.evidence.push({ kind: 'missed', id, at, reason: 'no-access' });
        continue;
      }
      add('stops', 1);
      add('collectedKg', takenKg);
      loadKg += takenKg;
      state.emptiedDay = day;
      state.hasCalled = false;
      state.isOver = false;
      state.evidence.push(
        weighIn(site, day, id, takenKg, leftKg, foundFull, countsBags ? `load-${day}` : undefined, world),
      );
      site.shares.forEach((share, g) => {
        stockKg[g]! += takenKg * share * (1 - prices.contaminationShare);
      });
    }
    if (countsBags && loadKg > 0) loads.push({ loadId: `load-${day}`, at: dayAt(day, 15.5), netKg: loadKg });
    half();
    for (const i of lostToday) {
      add('overflowDays', 1);
      add('costMicros', prices.overflowMicrosPerDay);
      if (now[i]!.isOver) continue;
      now[i]!.isOver = true;
      add('overflowEvents', 1);
      add('costMicros', prices.overflowMicros);
    }
    sites.forEach((site, i) => {
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
    world.drawKg[day]!.forEach((kg, g) => {
      add('neededKg', kg);
      stockKg[g]! -= kg;
      if (stockKg[g]! >= -1e-9) return;
      add('boughtInKg', -stockKg[g]!);
      add('shortDays', 1);
      add('costMicros', -stockKg[g]! * world.buyPriceMicrosPerKg[g]!);
      stockKg[g] = 0;
    });
    const overKg = stockKg.reduce<number>((kg, grade) => kg + grade, 0) - world.storeLimitKg;
    if (overKg > 0) add('costMicros', overKg * prices.storeOverflowMicrosPerKgDay);
    yield day;
  }
  return {
    seed: world.seed,
    policy: policy.name,
    scoredDays: world.days - learningDays,
    ...sum,
    costMicros: Math.round(sum.costMicros),
    waitingMoreKg: waiting() - waitingAtStartKg,
  };
}

function weighIn(
  { slipDraw, shares, known }: WorldSite,
  day: number,
  id: string,
  takenKg: Kg,
  leftKg: Kg,
  foundFull: boolean,
  loadId: string | undefined,
  world: World,
): Evidence {
  const draw = slipDraw[day]!;
  const bags = Math.max(takenKg > 0.2 ? 1 : 0, Math.round(takenKg / known.bagKg));
  const shared = {
    kind: 'picked-up' as const,
    id,
    at: dayAt(day, 12),
    foundFull,
    ...(leftKg > 0 ? { leftKg } : {}),
    ...(draw > 1 - SORTED_SHARE
      ? { gradesKg: Object.fromEntries(world.grades.map((grade, g) => [grade, takenKg * shares[g]!])) }
      : {}),
  };
  if (loadId !== undefined) return { ...shared, bags, method: 'bag-count', loadId };
  // A point in the wrong place, once in a hundred.
  const slip = draw < TYPING_SLIP / 2 ? 10 : draw < TYPING_SLIP ? 0.1 : 1;
  return { ...shared, bags, netKg: Math.round(takenKg * slip * 10) / 10, method: 'scale' };
}

type Stop = {
  readonly site: number;
  readonly takenKg: Kg;
  readonly leftKg: Kg;
  readonly isMissed: boolean;
  readonly foundFull: boolean;
};

/**
 * Drives the stops in order, whatever policy made them. A van that is full goes to unload first; a stop after which
 * the van would not be back half an hour after the shift is left out; a break is taken when it is due.
 */
export function driveRound(
  world: World,
  day: number,
  order: readonly number[],
  now: readonly { waitingKg: Kg; besideKg: Kg }[],
): {
  readonly stops: Stop[];
  readonly distanceM: Metres;
  readonly workS: Seconds;
  readonly unloadings: number;
} {
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
  for (const stop of order) {
    if (stop === TO_WORKSHOP) {
      if (loadKg > 0) unload();
      continue;
    }
    const site = sites[stop]!;
    const roomKg = (): Kg => Math.min(van.payloadKg, van.loadSpaceL / site.known.litresPerKg) - loadKg;
    const fullKg = Math.min(van.payloadKg, van.loadSpaceL / site.known.litresPerKg);
    const viaWorkshop = loadKg > FULL_SHARE * fullKg;
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
