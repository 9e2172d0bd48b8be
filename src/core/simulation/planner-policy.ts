/**
 * The planner as a policy: every morning the evidence is learnt anew, a horizon is planned from what was said the day
 * before, and the first day is driven.
 */
import { learnWorkshop } from '../accumulation/learn-workshop.ts';
import type { FilterParameters, SiteModel } from '../accumulation/site-model.ts';
import type { DonorCalls, PlanningProblem, Prices, PublishedVisit } from '../planning/problem.ts';
import { withPromises } from '../planning/promises.ts';
import { searchWeek } from '../planning/search.ts';
import { ordersOfPublished, stateOfOrders } from '../planning/start.ts';
import { MAX_STOPS, UNLOAD } from '../planning/steps.ts';
import { layOutWeek } from '../planning/week.ts';
import { dayAt, dayName } from './days.ts';
import { type Morning, type Policy, type SiteFacts, TO_WORKSHOP } from './policy.ts';
import { isOpenOn, type WorldSite } from './world-site.ts';

export type PlannerOptions = {
  readonly iterations: number;
  readonly horizonDays: number;
  /** What is counted on donors to say. */
  readonly calls?: DonorCalls;
  /**
   * Chance that a donor says nothing on an evening although `calls.fromShare` is reached. Absent: silence says nothing.
   */
  readonly missedCallShare?: number;
  readonly parameters?: FilterParameters;
  readonly loadQuantile: number;
  /** What the planner is told where that is not what things cost: to move along its front. */
  readonly prices?: Partial<Prices>;
  /** Lays a morning out for the search; another than the planner's own is for measuring what more knowledge is worth. */
  readonly layOut?: typeof layOutWeek;
};

export const USUAL_PLANNER: PlannerOptions = {
  iterations: 600,
  horizonDays: 12,
  // Chosen on worlds 1, 101 and 102.
  calls: { reliability: 0.3, fromShare: 0.8, premiumMicros: 6_000_000 },
  missedCallShare: 0.2,
  // A van that is full leaves the rest to the next plan, so a load is planned a little larger than fits on average.
  loadQuantile: 0.35,
};

export function plannerPolicy(options: PlannerOptions = USUAL_PLANNER): Policy {
  let published: { readonly site: number; readonly day: number; readonly at: number }[] = [];
  let changes = { changed: 0, said: 0 };
  return {
    name: 'planner',
    // The plan of tomorrow morning knows what was left.
    leavesAtMost: Number.POSITIVE_INFINITY,
    decide(morning) {
      const { day, world } = morning;
      const problem = problemOf(morning, options, published);
      const { week } = withPromises((options.layOut ?? layOutWeek)(problem));
      const start = stateOfOrders(week, ordersOfPublished(week));
      const found = searchWeek(
        week,
        start,
        { seed: world.seed * 1000 + day, iterations: options.iterations },
        {},
      );
      const said = new Set(published.map((visit) => `${visit.site} ${visit.day}`));
      published = [];
      let today: number[] = [];
      for (const shift of week.shifts) {
        const order = [
          ...found.orders.slice(
            shift.index * MAX_STOPS,
            shift.index * MAX_STOPS + found.counts[shift.index]!,
          ),
        ];
        if (shift.day === 0) today = order.map((site) => (site === UNLOAD ? TO_WORKSHOP : site));
        order.forEach((site, k) => {
          if (site !== UNLOAD) published.push({ site, day: day + shift.day, at: k });
        });
      }
      changes = compare(said, published, day);
      return today;
    },
    changes: () => changes,
  };
}

/** Visits of today and tomorrow that were said yesterday and are not planned now, or the other way round. */
function compare(
  said: ReadonlySet<string>,
  published: readonly { readonly site: number; readonly day: number }[],
  day: number,
): { changed: number; said: number } {
  const isNear = (text: string): boolean =>
    Number(text.split(' ')[1]) - day <= 1 && Number(text.split(' ')[1]) >= day;
  const before = [...said].filter(isNear);
  const now = new Set(published.map((visit) => `${visit.site} ${visit.day}`).filter(isNear));
  const dropped = before.filter((visit) => !now.has(visit)).length;
  const added = before.length === 0 ? 0 : [...now].filter((visit) => !said.has(visit)).length;
  return { changed: dropped + added, said: before.length };
}

function problemOf(
  { world, day, facts, loads, stockKg }: Morning,
  options: PlannerOptions,
  published: readonly { readonly site: number; readonly day: number; readonly at: number }[],
): PlanningProblem {
  const { models } = learnWorkshop(
    facts.map((site) => site.history),
    loads,
    options.parameters,
  );
  const horizon = Math.min(options.horizonDays, 28);
  const days = Array.from({ length: horizon }, (_, h) => day + h);
  const shiftId = (d: number): string => `shift-${d}`;
  return {
    zone: 'UTC',
    nowAt: dayAt(day, 0),
    days: days.map(dayName),
    dayStartsAt: [...days, day + horizon].map((d) => dayAt(d, 0)),
    workshopPlace: 0,
    unloadByDay: days.map((d) => [{ fromAt: dayAt(d, 6), untilAt: dayAt(d, 20) }]),
    storeLimitKg: world.storeLimitKg,
    breakRule: world.breakRule,
    prices: { ...world.prices, ...options.prices },
    loadQuantile: options.loadQuantile,
    sites: world.sites.map((site, i) => {
      const model = heard(models.get(site.siteId)!, site, facts[i]!, day, options);
      return {
        siteId: site.siteId,
        place: site.place,
        serviceS: site.serviceS,
        model,
        besideKg: besideKg(model),
        ...(options.calls ? { calls: options.calls } : {}),
        openByDay: days.map((d) =>
          isOpenOn(site, d) ? [{ fromAt: dayAt(d, 7), untilAt: dayAt(d, 19) }] : [],
        ),
        promises: [],
        usualDays: [],
        barredDays: [],
      };
    }),
    shifts: days
      .filter((d) => world.shiftDays[d % 7])
      .map((d) => ({
        shiftId: shiftId(d),
        vanId: 'van',
        driverId: 'driver',
        dayIndex: d - day,
        startAt: dayAt(d, world.shiftHours.from),
        endAt: dayAt(d, world.shiftHours.until),
        ...world.van,
      })),
    travel: world.travel,
    grades: world.grades,
    stockKg,
    drawKg: days.map((d) => world.drawKg[d] ?? world.grades.map(() => 0)),
    buyPriceMicrosPerKg: world.buyPriceMicrosPerKg,
    published: published
      .filter((visit) => visit.day >= day && visit.day < day + horizon)
      .map(
        (visit): PublishedVisit => ({
          siteId: world.sites[visit.site]!.siteId,
          dayIndex: visit.day - day,
          shiftId: shiftId(visit.day),
          startAt: dayAt(visit.day, 8) + 60 * visit.at,
        }),
      ),
  };
}

/** With the silence of a donor who has not called by the last evening on which somebody was there. */
function heard(
  model: SiteModel,
  site: WorldSite,
  { hasCalled, emptiedDay }: SiteFacts,
  day: number,
  { calls, missedCallShare }: PlannerOptions,
): SiteModel {
  if (!calls || missedCallShare === undefined || hasCalled) return model;
  let evening = day - 1;
  while (evening >= 0 && !isOpenOn(site, evening)) evening--;
  if (evening < Math.max(0, emptiedDay)) return model;
  const kg = calls.fromShare * model.capacityKg;
  return { ...model, silence: { kg, at: dayAt(evening, 18), missedShare: missedCallShare } };
}

/** As in a real workshop: sacks of an announced event stand beside, half as much again as was announced. */
const besideKg = (model: SiteModel): number =>
  1.5 * model.surges.reduce<number>((sum, surge) => sum + surge.expectedKg, 0);
