/**
 * A told plan mended where the news touches it, changing as little as it can: what cannot be driven any more goes out,
 * promises come in, and then only the sites that the news is about and their neighbours are looked at again, each
 * change paying its price for those who were told (`changeMicros / (1 + day)`). Only what is cheaper is kept, so the
 * answer is never dearer than the mended plan.
 */
import { seededRandom } from '../quantity/random.ts';
import { assemblePlan } from './assemble.ts';
import { makeInserter } from './insertion.ts';
import type { Plan } from './plan.ts';
import type { PlanningBudget, PlanningProblem } from './problem.ts';
import { withPromises } from './promises.ts';
import { makeReinserter, removeAll } from './reinsert.ts';
import { repairLoads } from './ruin.ts';
import { ordersOfPlan, stateAsTold, stateOfOrders } from './start.ts';
import { layOutWeek, type Week } from './week.ts';
import {
  copyState,
  emptyState,
  forgetTouched,
  settleTrial,
  stateMicros,
  summedMicros,
  type WeekState,
} from './week-state.ts';

export type Mending = {
  readonly told: Pick<Plan, 'rounds'>;
  /** Sites that the news is about. */
  readonly siteIds: readonly string[];
};
type Hooks = { readonly enough?: () => boolean };

/** Neighbours of each touched site that may take part: methods.md D. */
const NEIGHBOURS = 15;
const MOST_SITES = 80;
const MOST_AT_ONCE = 5;
const BLINK = 0.05;

export function mendPlan(
  problem: PlanningProblem,
  { told, siteIds }: Mending,
  budget: PlanningBudget,
  { enough }: Hooks = {},
): Plan {
  const { week, hopeless } = withPromises(layOutWeek(problem));
  const orders = ordersOfPlan(week, told);
  const best = stateOfOrders(week, orders);
  const area = areaOf(best, stateAsTold(week, orders), told, siteIds);
  if (area.length > 0 && week.shifts.length > 0) {
    searchArea(best, area, budget, enough);
  }
  return assemblePlan(best, hopeless, budget);
}

/** The touched sites, those that lost a visit or miss a promise, and then their neighbours. */
function areaOf(
  mended: WeekState,
  told: WeekState,
  { rounds }: Pick<Plan, 'rounds'>,
  siteIds: readonly string[],
): number[] {
  const { week } = mended;
  const siteOf = new Map(week.problem.sites.map((site, i) => [site.siteId, i]));
  const open = new Set(week.problem.shifts.map((shift) => shift.shiftId));
  const core = new Set<number>();
  const add = (siteId: string | undefined): void => {
    const site = siteOf.get(siteId ?? '');
    if (site !== undefined) core.add(site);
  };
  for (const siteId of siteIds) add(siteId);
  for (const { shiftId, day, stops } of rounds)
    if (!open.has(shiftId) && week.problem.days.includes(day)) for (const { siteId } of stops) add(siteId);
  for (let site = 0; site < week.sites; site++)
    if (mended.visitDays[site] !== told.visitDays[site] || missesPromise(week, mended, site)) core.add(site);
  const area = new Set(core);
  for (const site of core)
    for (const other of week.near[site]!.subarray(0, NEIGHBOURS)) {
      if (area.size >= Math.max(MOST_SITES, core.size)) break;
      area.add(other);
    }
  return [...area];
}

const missesPromise = (week: Week, { visitDays }: WeekState, site: number): boolean =>
  week.keepDays[site]!.some((keep, p) => keep !== 0 && week.due[site]![p] && (keep & visitDays[site]!) === 0);

/** The first sites of `area` are the touched ones: each is put where it is cheapest, then small groups are tried. */
function searchArea(
  best: WeekState,
  area: readonly number[],
  { seed, iterations }: PlanningBudget,
  enough: Hooks['enough'],
): void {
  const { week } = best;
  const random = seededRandom(seed);
  const reinserter = makeReinserter(week.days, makeInserter());
  const guide = new Float64Array(week.days * week.stock.columns);
  const trial = emptyState(week);
  copyState(trial, best);
  forgetTouched(trial);
  let least = stateMicros(best);
  const attempt = (pool: readonly number[], blink: number): void => {
    summedMicros(trial, guide);
    const out = [...pool];
    for (const site of pool) removeAll(trial, site);
    repairLoads(trial, (site) => {
      if (!out.includes(site)) out.push(site);
    });
    for (const site of out) reinserter.reinsert(trial, site, guide, random, blink);
    const micros = summedMicros(trial);
    settleTrial(best, trial, micros < least);
    if (micros < least) least = micros;
  };
  for (const site of area) attempt([site], 0);
  for (let iteration = 1; iteration <= iterations; iteration++) {
    if (iteration % 16 === 0 && enough?.()) break;
    const first = area[random.below(area.length)]!;
    const pool = new Set([first]);
    const company = random.below(MOST_AT_ONCE);
    for (let k = 0; k < company; k++) pool.add(area[random.below(area.length)]!);
    attempt([...pool], BLINK);
  }
}
