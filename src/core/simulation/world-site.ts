/** One donor's site whose truth is known, and how it is drawn; see world.ts. */
import type { SiteHistory } from '../accumulation/site-history.ts';
import { bagsDraw, gammaDraw, type Random } from '../quantity/random.ts';
import type { Kg, Seconds } from '../quantity/units.ts';
import type { Grade, SiteKind } from '../vocabulary.ts';
import { dayName, STARTS_AT } from './days.ts';

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

export const GRADES: readonly Grade[] = ['ldpe-clear', 'ldpe-printed', 'hdpe-white'];
const BAG_KG = 1.8;
const LITRES_PER_KG = 50;
const BIN_L = 240;
const MEDIAN_KG_PER_WEEK = 18;
const SPREAD = 0.7;
/** Of a lognormal draw, events and bursts not counted. */
export const MEAN_SITE_KG_PER_WEEK: Kg = MEDIAN_KG_PER_WEEK * Math.exp(SPREAD ** 2 / 2);
/** 5 to 13 minutes at a site, all alike. */
const SHORTEST_SERVICE_S = 300;
const SERVICE_SPAN_S = 480;
export const MEAN_SERVICE_S: Seconds = SHORTEST_SERVICE_S + (SERVICE_SPAN_S - 1) / 2;

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

export function drawSite(random: Random, i: number, days: number): WorldSite {
  const type = KINDS[random.below(KINDS.length)]!;
  const weekKg = MEDIAN_KG_PER_WEEK * Math.exp(SPREAD * random.normal());
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
    serviceS: SHORTEST_SERVICE_S + random.below(SERVICE_SPAN_S),
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

/** All that comes to a site in the year, events included. */
export const cameKg = ({ massByDayKg, events }: WorldSite): Kg =>
  massByDayKg.reduce((sum, kg) => sum + kg, 0) +
  events.reduce((sum, event) => sum + event.kgByDay.reduce((kg, part) => kg + part, 0), 0);
