/**
 * A drawn workshop whose truth is known: what really comes to every site on every day, who calls, where nobody opens,
 * what events really bring. All of it is drawn from the seed before the first day, so that every policy meets the same
 * year (common random numbers) and only what it does differs.
 *
 * The truth breaks the estimator's assumptions on purpose: bags of random mass in Poisson numbers, days that hang
 * together, drift, season, jumps, bursts that nobody announced, events that bring less than announced, declarations
 * that are optimistic, slips of the pen. Figures are own judgement, but for those of the methods note (A.11, E.3): 18 kg
 * a week at the median site, one van that volume binds, a shift of eight hours on weekdays, production at 95 % of what
 * comes.
 */
import type { SiteHistory } from '../accumulation/site-history.ts';
import type { BreakRule, Prices } from '../planning/problem.ts';
import { bagsDraw, gammaDraw, type Random, seededRandom } from '../quantity/random.ts';
import type { Instant, Kg, Litres, LocalDay, Micros, Seconds } from '../quantity/units.ts';
import type { TravelTable } from '../routing/travel-table.ts';
import type { Grade, SiteKind } from '../vocabulary.ts';

export const DAY_S = 86_400;
/** A Monday, in UTC. */
export const STARTS_AT: Instant = Date.UTC(2026, 0, 5) / 1000;
export const dayAt = (day: number, hour: number): Instant =>
  STARTS_AT + day * DAY_S + Math.round(hour * 3600);
export const dayName = (day: number): LocalDay => new Date(dayAt(day, 0) * 1000).toISOString().slice(0, 10);

export type WorldOptions = {
  readonly donors: number;
  readonly weeks: number;
  readonly prices: Prices;
  readonly loadSpaceL: Litres;
  /** Radius of the town and its villages. */
  readonly radiusM: number;
  /** Share of the sites that lie in clusters; the rest lies anywhere. */
  readonly clusteredShare: number;
};

export type WorldEvent = {
  readonly from: number;
  readonly until: number;
  readonly announcedOn: number;
  readonly announcedKg: Kg;
  /** What comes on each of its days. */
  readonly kgByDay: readonly Kg[];
};

export type WorldSite = {
  readonly siteId: string;
  readonly place: number;
  readonly serviceS: Seconds;
  readonly capacityKg: Kg;
  /** What anybody may know: everything but evidence and surges. */
  readonly known: Omit<SiteHistory, 'evidence' | 'surges'>;
  readonly isOpen: readonly boolean[]; // per weekday
  readonly closed: { readonly from: number; readonly until: number } | undefined;
  /** The truth, per day. */
  readonly massByDayKg: Float64Array;
  readonly events: readonly WorldEvent[];
  /** True share of each of the world's grades. */
  readonly shares: readonly number[];
  /** A call is made on a day of which this is below the donor's readiness to call; likewise misses and slips. */
  readonly callDraw: Float64Array;
  readonly missDraw: Float64Array;
  readonly slipDraw: Float64Array;
};

export type World = {
  readonly seed: number;
  readonly days: number;
  readonly sites: readonly WorldSite[];
  /** Metres east and north of the workshop, per place; the workshop is place 0. */
  readonly points: readonly (readonly [number, number])[];
  readonly travel: TravelTable;
  readonly grades: readonly Grade[];
  readonly buyPriceMicrosPerKg: readonly Micros[];
  readonly stockAtStartKg: readonly Kg[];
  /** [day][grade] */
  readonly drawKg: readonly (readonly Kg[])[];
  readonly storeLimitKg: Kg;
  readonly prices: Prices;
  readonly breakRule: BreakRule;
  readonly van: {
    readonly payloadKg: Kg;
    readonly loadSpaceL: Litres;
    readonly costMicrosPerKm: Micros;
    readonly costMicrosPerHour: Micros;
  };
  readonly shiftHours: { readonly from: number; readonly until: number };
  /** P(a donor who sees it getting full says so on that day), and from which share of the container on. */
  readonly callChance: number;
  readonly callFromShare: number;
  readonly missChance: number;
};

/** The workshop's usual prices; each is explained where a workshop sets it. */
export const USUAL_PRICES: Prices = {
  overtimeMicrosPerHour: 30_000_000,
  maxOvertimeS: 1800,
  unloadS: 1200,
  unloadMicros: 2_000_000,
  overflowMicros: 10_000_000,
  overflowMicrosPerDay: 10_000_000,
  overflowMicrosPerKg: 1_000_000,
  storeOverflowMicrosPerKgDay: 200_000,
  brokenPromiseMicros: 200_000_000,
  brokenHabitMicros: 5_000_000,
  changeMicros: 6_000_000,
  endValueShare: 0.5,
  endCoverDays: 5,
  contaminationShare: 0.037,
  commonSd: 0.05,
};

export const USUAL_WORLD: WorldOptions = {
  donors: 60,
  weeks: 52,
  prices: USUAL_PRICES,
  loadSpaceL: 10_000,
  radiusM: 15_000,
  clusteredShare: 2 / 3,
};

const GRADES: readonly Grade[] = ['ldpe-clear', 'ldpe-printed', 'hdpe-white'];
/** Bought regranulate-grade film by grade, per kg: own judgement, as in the demo. */
const BUY_MICROS = [1_500_000, 1_200_000, 1_300_000];
const BAG_KG = 1.8;
const LITRES_PER_KG = 50;
const BIN_L = 240;

const KINDS: readonly {
  readonly kind: SiteKind;
  readonly open: readonly number[];
  readonly shares: readonly number[];
}[] = [
  { kind: 'shop', open: [1, 1, 1, 1, 1.3, 1.6, 0], shares: [0.55, 0.35, 0.1] },
  { kind: 'wholesaler', open: [1.2, 1, 1, 1, 1, 0, 0], shares: [0.75, 0.15, 0.1] },
  { kind: 'school', open: [1, 1, 1, 1, 1, 0, 0], shares: [0.3, 0.5, 0.2] },
  { kind: 'drop-off', open: [0.8, 0.8, 0.8, 0.8, 1, 1.6, 1.2], shares: [0.35, 0.45, 0.2] },
];

export function makeWorld(seed: number, options: WorldOptions = USUAL_WORLD): World {
  const random = seededRandom(seed);
  const days = options.weeks * 7;
  const points = drawPoints(random, options);
  const sites = Array.from({ length: options.donors }, (_, i) => drawSite(random, i, days));
  const weekKg = GRADES.map((_, g) =>
    sites.reduce((sum, site) => sum + (cameKg(site) / options.weeks) * site.shares[g]!, 0),
  );
  const usable = 1 - options.prices.contaminationShare;
  const drawKg = Array.from({ length: days }, () => GRADES.map(() => 0));
  for (let week = 0; week < options.weeks; week++)
    GRADES.forEach((_, g) => {
      const swing = Math.exp(0.35 * random.normal() - 0.35 ** 2 / 2);
      for (let day = 0; day < 5; day++) drawKg[week * 7 + day]![g] = (0.95 * usable * weekKg[g]! * swing) / 5;
    });
  return {
    seed,
    days,
    sites,
    points,
    travel: travelOf(points),
    grades: GRADES,
    buyPriceMicrosPerKg: BUY_MICROS,
    stockAtStartKg: weekKg.map((kg) => kg),
    drawKg,
    storeLimitKg: 4 * weekKg.reduce((sum, kg) => sum + kg, 0),
    prices: options.prices,
    breakRule: { maxWorkS: 16_200, breakS: 2700 },
    van: {
      payloadKg: 600,
      loadSpaceL: options.loadSpaceL,
      costMicrosPerKm: 450_000,
      costMicrosPerHour: 20_000_000,
    },
    shiftHours: { from: 8, until: 16 },
    callChance: 0.85,
    callFromShare: 0.8,
    missChance: 0.03,
  };
}

/** All that comes to a site in the year, events included. */
const cameKg = ({ massByDayKg, events }: WorldSite): Kg =>
  massByDayKg.reduce((sum, kg) => sum + kg, 0) +
  events.reduce((sum, event) => sum + event.kgByDay.reduce((kg, part) => kg + part, 0), 0);

/** The workshop at the middle; two thirds of the sites in a few clusters, the rest anywhere. */
function drawPoints(random: Random, { donors, radiusM, clusteredShare }: WorldOptions): [number, number][] {
  const inDisc = (radius: number): [number, number] => {
    const r = radius * Math.sqrt(random.next());
    const angle = 2 * Math.PI * random.next();
    return [r * Math.cos(angle), r * Math.sin(angle)];
  };
  const centres = Array.from({ length: Math.max(1, Math.round(donors / 12)) }, () => inDisc(radiusM));
  const points: [number, number][] = [[0, 0]];
  for (let i = 0; i < donors; i++) {
    if (random.next() >= clusteredShare) {
      points.push(inDisc(radiusM));
      continue;
    }
    const [x, y] = centres[random.below(centres.length)]!;
    const [dx, dy] = inDisc(radiusM / 8);
    points.push([x + dx, y + dy]);
  }
  return points;
}

/** Straight line times 1.3 at 35 km/h and a minute to park. */
function travelOf(points: readonly (readonly [number, number])[]): TravelTable {
  const places = points.length;
  const legM = new Int32Array(places * places);
  const legS = new Int32Array(places * places);
  points.forEach(([x, y], i) => {
    points.forEach(([u, v], j) => {
      if (i === j) return;
      legM[i * places + j] = Math.round(1.3 * Math.hypot(x - u, y - v));
      legS[i * places + j] = Math.round(legM[i * places + j]! / (35 / 3.6)) + 60;
    });
  });
  return { places, legM, legS };
}

function drawSite(random: Random, i: number, days: number): WorldSite {
  const type = KINDS[random.below(KINDS.length)]!;
  const weekKg = 18 * Math.exp(0.7 * random.normal());
  const bagKg = BAG_KG * Math.exp(0.2 * random.normal());
  const closedFrom = 150 + random.below(120);
  const closed =
    random.next() < 0.5 ? { from: closedFrom, until: closedFrom + 6 + random.below(9) } : undefined;
  const jumpDay = random.next() < 0.2 ? 60 + random.below(Math.max(1, days - 120)) : undefined;
  const jump = random.next() < 0.5 ? 0.45 : 2;
  const seasonSize = 0.18 * (0.5 + random.next());
  const events = random.next() < 0.4 ? drawEvents(random, weekKg, days) : [];
  const massByDayKg = new Float64Array(days);
  const openSum = type.open.reduce((a, b) => a + b, 0);
  let persistence = 0;
  let drift = 0;
  for (let day = 0; day < days; day++) {
    persistence = 0.9 * persistence + 0.2 * Math.sqrt(1 - 0.81) * random.normal();
    drift += 0.012 * random.normal();
    const isClosed = closed !== undefined && day >= closed.from && day <= closed.until;
    const open = isClosed ? 0 : type.open[day % 7]! / openSum;
    const season = 1 + seasonSize * Math.sin((2 * Math.PI * (day - 80)) / 365);
    const level = jumpDay !== undefined && day >= jumpDay ? jump : 1;
    const meanKg =
      weekKg * open * season * level * (gammaDraw(random, 6) / 6) * Math.exp(persistence + drift);
    massByDayKg[day] = bagsDraw(random, meanKg, bagKg);
    if (day % 7 === 0 && random.next() < 0.015) {
      const burstDay = Math.min(days - 1, day + random.below(7));
      massByDayKg[burstDay]! += weekKg * (1 + 2 * random.next());
    }
  }
  const capacityL =
    BIN_L * Math.max(2, Math.round((weekKg * (1.2 + 1.4 * random.next()) * LITRES_PER_KG) / BIN_L));
  const capacityKg = capacityL / LITRES_PER_KG;
  const weights = type.shares.map((share) => share * Math.exp(0.4 * random.normal()));
  const total = weights.reduce((a, b) => a + b, 0);
  const siteId = `site-${String(i).padStart(3, '0')}`;
  const draws = (): Float64Array => Float64Array.from({ length: days }, () => random.next());
  return {
    siteId,
    place: i + 1,
    serviceS: 300 + random.below(480),
    capacityKg,
    known: {
      siteId,
      kind: type.kind,
      zone: 'UTC',
      declaredBagsPerWeek: Math.max(
        1,
        Math.round((weekKg / BAG_KG) * 1.25 * Math.exp(0.4 * random.normal())),
      ),
      bagKg: BAG_KG,
      litresPerKg: LITRES_PER_KG,
      containers: [{ count: capacityL / BIN_L, litresEach: BIN_L }],
      openWeekdays: type.open.map((weight) => weight > 0),
      closedDays: closed ? [{ fromDay: dayName(closed.from), untilDay: dayName(closed.until) }] : [],
      fillsSinceAt: STARTS_AT,
      isStartKnown: true,
      declaredShares: Object.fromEntries(GRADES.map((grade, g) => [grade, type.shares[g]!])),
    },
    isOpen: type.open.map((weight) => weight > 0),
    closed,
    massByDayKg,
    events,
    shares: weights.map((weight) => weight / total),
    callDraw: draws(),
    missDraw: draws(),
    slipDraw: draws(),
  };
}

function drawEvents(random: Random, weekKg: Kg, days: number): WorldEvent[] {
  return Array.from({ length: 1 + random.below(4) }, () => {
    const from = 20 + random.below(Math.max(1, days - 40));
    const until = from + random.below(3);
    const announcedKg = weekKg * (1 + 2 * random.next());
    const actualKg = announcedKg * 0.8 * Math.exp(0.45 * random.normal());
    const parts = Array.from({ length: until - from + 1 }, () => 0.7 + 0.6 * random.next());
    const sum = parts.reduce((a, b) => a + b, 0);
    return {
      from,
      until,
      announcedOn: from - 10,
      announcedKg,
      kgByDay: parts.map((part) => (actualKg * part) / sum),
    };
  });
}

/** Whether somebody opens on that day. */
export const isOpenOn = ({ isOpen, closed }: WorldSite, day: number): boolean =>
  isOpen[day % 7]! && !(closed && day >= closed.from && day <= closed.until);
