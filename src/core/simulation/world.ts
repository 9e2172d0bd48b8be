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
import type { BreakRule, Prices } from '../planning/problem.ts';
import { type Random, seededRandom } from '../quantity/random.ts';
import type { Kg, Litres, Micros } from '../quantity/units.ts';
import type { TravelTable } from '../routing/travel-table.ts';
import type { Grade } from '../vocabulary.ts';
import { atOwnSize, type OwnWorkshop } from './own-workshop.ts';
import { straightLegs } from './straight-legs.ts';
import { cameKg, drawSite, GRADES, type WorldSite } from './world-site.ts';

export type WorldOptions = {
  readonly donors: number;
  readonly weeks: number;
  readonly prices: Prices;
  readonly loadSpaceL: Litres;
  /** Radius of the town and its villages. */
  readonly radiusM: number;
  /** Share of the sites that lie in clusters; the rest lies anywhere. */
  readonly clusteredShare: number;
  /** Absent: the sizes and prices of the drawn workshop. */
  readonly own?: OwnWorkshop;
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
  /** From Monday on: whether the van is on the road. */
  readonly shiftDays: readonly boolean[];
  /** P(a donor who sees it getting full says so on that day), and from which share of the container on. */
  readonly callChance: number;
  readonly callFromShare: number;
  readonly missChance: number;
};

/** What the drawn workshop's prices are in (ISO 4217). */
export const WORLD_CURRENCY = 'EUR';

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

/** Bought regranulate-grade film by grade, per kg: own judgement, as in the demo. */
const BUY_MICROS = [1_500_000, 1_200_000, 1_300_000];

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
  const world: World = {
    seed,
    days,
    sites,
    points,
    travel: straightLegs(points, { detourFactor: 1.3, speedKmh: 35 }),
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
    shiftDays: [true, true, true, true, true, false, false],
    callChance: 0.85,
    callFromShare: 0.8,
    missChance: 0.03,
  };
  return options.own ? atOwnSize(world, options.own) : world;
}

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
