/**
 * A drawn world at the size of a real workshop: its van, hours, prices, distances, film a site and production. What is
 * not known of it (how bags fall, who jumps, where events are, where exactly sites lie) stays as drawn. One van's part
 * of the town: a workshop with two vans on the road is two such worlds side by side.
 */
import type { BreakRule } from '../planning/problem.ts';
import type { Kg, Litres, Micros, Seconds } from '../quantity/units.ts';
import type { Grade } from '../vocabulary.ts';
import { straightLegs } from './straight-legs.ts';
import type { World } from './world.ts';
import { MEAN_SERVICE_S, MEAN_SITE_KG_PER_WEEK, type WorldSite } from './world-site.ts';

export type OwnWorkshop = {
  readonly van: {
    readonly payloadKg: Kg;
    readonly loadSpaceL: Litres;
    readonly costMicrosPerKm: Micros;
    readonly costMicrosPerHour: Micros;
  };
  readonly shiftHours: { readonly from: number; readonly until: number };
  /** From Monday on: whether a van is on the road. */
  readonly shiftDays: readonly boolean[];
  readonly breakRule: BreakRule;
  readonly meanServiceS: Seconds;
  /** What comes to a site in a week, mean over the sites. */
  readonly kgPerSiteWeek: Kg;
  readonly litresPerKg: number;
  /** What production draws of the usable film that comes, 0 to 2; 0 where nothing is pressed. */
  readonly productionShare: number;
  readonly storeLimitKg: Kg;
  readonly buyPriceMicrosPerKg: { readonly [grade in Grade]?: Micros };
  /** For a grade that the workshop does not price. */
  readonly usualBuyPriceMicrosPerKg: Micros;
  readonly detourFactor: number;
  readonly speedKmh: number;
  /** False where nobody is counted on to call: then nobody does. */
  readonly donorsCall: boolean;
};

/** Part of what comes that the drawn production takes. */
const DRAWN_SHARE = 0.95;

export function atOwnSize(world: World, own: OwnWorkshop): World {
  const mass = own.kgPerSiteWeek / MEAN_SITE_KG_PER_WEEK;
  const draw = (mass * own.productionShare) / DRAWN_SHARE;
  return {
    ...world,
    sites: world.sites.map((site) => siteAtSize(site, own, mass)),
    travel: straightLegs(world.points, own),
    buyPriceMicrosPerKg: world.grades.map(
      (grade) => own.buyPriceMicrosPerKg[grade] ?? own.usualBuyPriceMicrosPerKg,
    ),
    stockAtStartKg: world.stockAtStartKg.map((kg) => kg * draw),
    drawKg: world.drawKg.map((day) => day.map((kg) => kg * draw)),
    storeLimitKg: own.storeLimitKg,
    breakRule: own.breakRule,
    van: own.van,
    shiftHours: own.shiftHours,
    shiftDays: own.shiftDays,
    callChance: own.donorsCall ? world.callChance : 0,
  };
}

function siteAtSize(site: WorldSite, own: OwnWorkshop, mass: number): WorldSite {
  const litres = (mass * own.litresPerKg) / site.known.litresPerKg;
  return {
    ...site,
    serviceS: Math.round((site.serviceS * own.meanServiceS) / MEAN_SERVICE_S),
    capacityKg: site.capacityKg * mass,
    massByDayKg: site.massByDayKg.map((kg) => kg * mass),
    events: site.events.map((event) => ({
      ...event,
      announcedKg: event.announcedKg * mass,
      kgByDay: event.kgByDay.map((kg) => kg * mass),
    })),
    known: {
      ...site.known,
      bagKg: site.known.bagKg * mass,
      litresPerKg: own.litresPerKg,
      containers: site.known.containers.map((box) => ({ ...box, litresEach: box.litresEach * litres })),
    },
  };
}
