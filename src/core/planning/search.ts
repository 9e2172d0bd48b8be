/**
 * The search over weeks: ruin and recreate with simulated annealing.
 *
 * Slack induction by string removals (Christiaens & Vanden Berghe 2020, Transportation Science 54(2)): strings of
 * neighbouring stops leave the rounds of a region, and come back one site at a time, half of them by the dynamic
 * programme over days (reinsert.ts), half into the one place that helps most. The store's cost guides by its
 * slope and decides exactly. Temperatures are in units of the mean cost of a visit, so that the currency does not
 * matter. The same (problem, seed, iterations) gives the same week: no clock, ties by index.
 */
import { seededRandom } from '../quantity/random.ts';
import { build, openRounds } from './first-week.ts';
import { makeInserter } from './insertion.ts';
import { adoptLeftOut, polish } from './polish.ts';
import { gather, recreate } from './recreate.ts';
import { makeReinserter } from './reinsert.ts';
import { makeRuiner } from './ruin.ts';
import { siteParts } from './site-cost.ts';
import { noneTouched, touch, untouch } from './touched.ts';
import type { Week } from './week.ts';
import {
  align,
  copyState,
  emptyState,
  forgetTouched,
  settleTrial,
  stateMicros,
  summedMicros,
  type WeekState,
} from './week-state.ts';

const FIRST_TEMPERATURE = 1.2;
const LAST_TEMPERATURE = 0.05;
/** Share of iterations that send a van somewhere first and see who comes along. */
const GATHER_SHARE = 0.1;
/** How often `enough` is asked and progress told, in iterations. */
const LOOK_UP = 64;

export type SearchBudget = { readonly seed: number; readonly iterations: number };
export type SearchHooks = {
  readonly enough?: () => boolean;
  /** Share of the budget that is spent, 0 to 1, where a clock ends the search: it cools by whichever is further on. */
  readonly spent?: () => number;
  readonly progress?: (progress: Progress) => void;
};
/** `costMicros` in the plan's money, where a broken promise has the workshop's price. */
export type Progress = { readonly iteration: number; readonly costMicros: number };
/** Told of each better week that `progress` looks at, the first and the last included. */
export type Watch = (progress: Progress, best: WeekState) => void;

/** Improves `start` (which is left alone) and hands back the best week found. */
export function searchWeek(
  week: Week,
  start: WeekState,
  budget: SearchBudget,
  hooks: SearchHooks,
  watch?: Watch,
): WeekState {
  const random = seededRandom(budget.seed);
  const inserter = makeInserter();
  const reinserter = makeReinserter(week.days, inserter);
  const guide = new Float64Array(week.days * week.stock.columns);
  const current = emptyState(week);
  copyState(current, start);
  build(current, reinserter, guide);
  let currentMicros = polish(current, reinserter, guide);
  currentMicros = openRounds(current, currentMicros, inserter, reinserter, guide, random);
  const best = emptyState(week);
  copyState(best, current);
  let bestMicros = currentMicros;
  // A start that was handed in is never given up for something worse.
  const startMicros = stateMicros(start);
  if (startMicros < bestMicros) {
    copyState(best, start);
    copyState(current, start);
    bestMicros = currentMicros = startMicros;
  }
  let watchedMicros = Infinity;
  const tell = (iteration: number): void => {
    if (!hooks.progress && !watch) return;
    let broken = 0;
    for (let i = 0; i < week.sites; i++) broken += siteParts(best, i).broken;
    const extraMicros = week.searchPromiseMicros - week.problem.prices.brokenPromiseMicros;
    const progress = { iteration, costMicros: bestMicros - broken * extraMicros };
    hooks.progress?.(progress);
    if (bestMicros < watchedMicros) watch?.(progress, best);
    watchedMicros = bestMicros;
  };
  tell(0);
  if (week.sites === 0 || week.shifts.length === 0) return best;

  const trial = emptyState(week);
  copyState(trial, current);
  forgetTouched(trial);
  // Where `best` and `current` may differ.
  const sinceBest = { rounds: noneTouched(week.shifts.length), sites: noneTouched(week.sites) };
  const ruiner = makeRuiner(week, random);
  const cooling = Math.log(LAST_TEMPERATURE / FIRST_TEMPERATURE);
  let spent = 0;
  for (let iteration = 1; iteration <= budget.iterations; iteration++) {
    if (iteration % LOOK_UP === 0) {
      if (hooks.enough?.()) break;
      spent = Math.min(1, hooks.spent?.() ?? 0);
      tell(iteration);
    }
    const share = Math.max(spent, iteration / budget.iterations);
    const temperature = FIRST_TEMPERATURE * week.scaleMicros * Math.exp(cooling * share);
    summedMicros(trial, guide);
    if (random.next() < GATHER_SHARE)
      gather(trial, random.below(week.sites), inserter, reinserter, guide, random);
    else recreate(trial, ruiner(trial), inserter, reinserter, guide, random);
    const micros = summedMicros(trial);
    const isKept = micros < currentMicros - temperature * Math.log(1 - random.next());
    if (isKept) {
      const { rounds, sites } = trial.touched;
      for (let k = 0; k < rounds.count; k++) touch(sinceBest.rounds, rounds.list[k]!);
      for (let k = 0; k < sites.count; k++) touch(sinceBest.sites, sites.list[k]!);
      currentMicros = micros;
    }
    settleTrial(current, trial, isKept);
    if (currentMicros < bestMicros) {
      bestMicros = currentMicros;
      align(best, current, sinceBest.rounds, sinceBest.sites);
      untouch(sinceBest.rounds);
      untouch(sinceBest.sites);
    }
  }
  bestMicros = polish(best, reinserter, guide);
  bestMicros = adoptLeftOut(best, inserter, bestMicros);
  tell(budget.iterations);
  return best;
}
