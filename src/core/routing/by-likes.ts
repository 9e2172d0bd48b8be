/** Problems of alike vehicles, searched in `alike/`. */
import type { AlikeModel } from './alike/model.ts';
import { searchAlike } from './alike/search.ts';
import type { RoutingProblem } from './problem.ts';
import { setRound } from './round-plan.ts';
import { createRounds } from './rounds.ts';
import { savingsRoutes } from './savings.ts';
import type { RoundPlan } from './schedule.ts';
import type { SearchOptions, SearchResult } from './search.ts';
import { type RoutingSolution, solutionOf } from './solution.ts';

/** `undefined` if not every visit can be served like that. */
export function searchByLikes(
  problem: RoutingProblem,
  model: AlikeModel,
  options: SearchOptions,
): SearchResult | undefined {
  const visitsOfPlan = (plan: RoundPlan): number[] =>
    plan.steps.flatMap((step) => (step.kind === 'visit' ? [step.visit] : []));
  const serviceCost = model.timed
    ? 0
    : problem.input.visits.reduce((sum, v) => sum + v.serviceS, 0) * problem.costPerS[0]!;
  const asSolution = (routes: readonly (readonly number[])[]): RoutingSolution => {
    const rounds = createRounds(problem);
    routes.forEach((visits, vehicle) => {
      setRound(rounds, { vehicle, steps: visits.map((visit) => ({ kind: 'visit', visit })) });
    });
    return solutionOf(rounds, createRounds(problem));
  };
  const { onBest } = options;
  const { routes, iterations } = searchAlike(model, {
    seed: options.seed,
    iterations: options.iterations,
    start: options.start?.map(visitsOfPlan) ?? (model.timed ? [] : savingsRoutes(problem)),
    ...(options.spent ? { spent: options.spent } : {}),
    ...(onBest
      ? {
          onBest: (cost: number, iteration: number, routesNow: () => number[][]) =>
            onBest(cost + serviceCost, iteration, () => asSolution(routesNow())),
        }
      : {}),
  });
  return routes && { solution: asSolution(routes), iterations };
}
