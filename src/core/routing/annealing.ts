/**
 * Ruin and recreate with annealing over whole rounds. Strings of near stops leave their rounds and come back one by one
 * into the cheapest place, which now and then is overlooked ("blink").
 *
 * Christiaens & Vanden Berghe (2020), "Slack induction by string removals for vehicle routing problems",
 * Transportation Science 54(2):417-433. Departures: insertion prices of `rounds.ts` are exact with windows, breaks
 * and unloadings, so nothing infeasible is ever visited; vehicles that are alike are tried once while empty.
 */
import type { RoutingProblem } from './problem.ts';
import { recreate, sortAbsent } from './recreate.ts';
import { copyRounds, createRounds, type Rounds, totalCost } from './rounds.ts';
import { ruin } from './ruin.ts';
import type { RoundPlan } from './schedule.ts';
import { startFrom } from './start.ts';
import type { Work } from './work.ts';

/** What a search may spend, and where it puts what it finds. */
export type Budget = {
  /** Iterations so far. */
  done: number;
  /** Share that is spent, 0 to 1 and more. */
  readonly share: () => number;
  /** Told of everything that may be the best so far. */
  readonly keep: (rounds: Rounds, cost: number) => void;
};

const ASKED_EVERY = 64;
/** Temperatures in mean costs of a stop; `WARM` where what it begins with is good. */
const HOT = 2;
const WARM = 0.1;
const COLD = 0.02;

/** Anneals from `first` until so much of the budget is spent; `isGood`: carefully. */
export function anneal(first: Rounds, work: Work, budget: Budget, until: number, isGood: boolean): void {
  const { problem } = first;
  const current = createRounds(problem);
  const trial = createRounds(problem);
  copyRounds(current, first);
  let currentCost = totalCost(current);
  // What a stop is worth: its share of the rounds, or of the prizes where driving costs next to nothing.
  const unit = Math.max(1, roundsCost(first) / problem.visits, meanPrize(problem));
  const from = budget.share();
  const hot = isGood ? WARM : HOT;
  let temperature = hot * unit;
  for (let iteration = 0; ; iteration++) {
    if (iteration % ASKED_EVERY === 0) {
      const share = budget.share();
      if (share >= until) break;
      temperature = hot * unit * (COLD / hot) ** ((share - from) / (until - from));
    }
    budget.done++;
    copyRounds(trial, current);
    ruin(trial, work);
    sortAbsent(problem, work);
    // Now and then a visit may come in that does not pay alone; with others it may.
    const draw = work.random.unit();
    const slack = draw < 0.7 ? 0 : -Math.log(1 - work.random.unit()) * (draw < 0.9 ? temperature : 2 * unit);
    const limit = currentCost - temperature * Math.log(1 - work.random.unit());
    recreate(trial, work, slack, limit);
    const cost = totalCost(trial);
    if (cost >= limit) continue;
    copyRounds(current, trial);
    currentCost = cost;
    budget.keep(trial, cost);
  }
}

/** Rounds to begin with: those given, mended, and all else put where it is cheapest. */
export function startRounds(
  problem: RoutingProblem,
  start: readonly RoundPlan[],
  fixed: ReadonlySet<number>,
  work: Work,
): Rounds {
  const rounds = createRounds(problem);
  startFrom(rounds, start, fixed);
  work.count = 0;
  for (let v = 0; v < problem.visits; v++) if (rounds.round[v]! < 0) work.absent[work.count++] = v;
  sortAbsent(problem, work);
  recreate(rounds, work, 0);
  return rounds;
}

const roundsCost = (rounds: Rounds): number => rounds.totals[0]! - rounds.totals[1]!;

function meanPrize({ visits, mandatory, skipCost }: RoutingProblem): number {
  let sum = 0;
  let count = 0;
  for (let v = 0; v < visits; v++)
    if (!mandatory[v]) {
      sum += skipCost[v]!;
      count++;
    }
  return count === 0 ? 0 : sum / count;
}
