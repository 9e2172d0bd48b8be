/** Rounds from and to plain plans: warm starts, results, tests. */
import { evaluateTrial } from './breaks.ts';
import { type StartWindow, windowKey } from './problem.ts';
import { clearRound, type Rounds, remove, sequenceOf, writeTrial } from './rounds.ts';
import type { RoundPlan, RoundStep } from './schedule.ts';

/**
 * Replaces a round by the steps of a plan, in their order; breaks are placed anew, windows kept where named. Visits that
 * are in another round are taken from it. False, and the round is left empty, if it cannot be driven like that;
 * loads are not checked (`overloadA/B` tell).
 */
export function setRound(rounds: Rounds, plan: RoundPlan): boolean {
  const { problem, trial } = rounds;
  const { vehicle, steps, endWindow } = plan;
  clearRound(rounds, vehicle);
  for (const step of steps)
    if (step.kind === 'visit' && rounds.round[step.visit]! >= 0) remove(rounds, step.visit);
  const start = problem.startNode[vehicle]!;
  const end = problem.endNode[vehicle]!;
  let length = 0;
  let unload = problem.unloadNode[vehicle]!;
  let isOpen = true;
  const put = (node: number, window: StartWindow | undefined): void => {
    const key = windowKey(problem, node, vehicle);
    const lo = problem.windowLo[key]!;
    const hi = problem.windowHi[key]!;
    let w = lo;
    if (window)
      while (w < hi - 1 && problem.windowUntilS[w]! < window.untilS && problem.windowFromS[w]! < window.fromS)
        w++;
    if (lo >= hi) isOpen = false;
    trial.node[length] = node;
    trial.choice[length++] = w;
  };
  put(start, undefined);
  for (const step of steps) {
    if (step.kind === 'visit') put(step.visit, step.window);
    else if (step.kind === 'unload') {
      if (unload === problem.breakNode[vehicle]!) return false;
      put(unload++, step.window);
    }
  }
  put(end, endWindow);
  trial.length = length;
  const visits = steps.filter((step) => step.kind === 'visit');
  if (visits.length === 0) return true;
  if (!isOpen || evaluateTrial(rounds, vehicle) === Number.POSITIVE_INFINITY) return false;
  writeTrial(rounds, vehicle);
  for (const { visit } of visits) {
    rounds.totals[1]! -= problem.skipCost[visit]!;
    rounds.totals[0]! -= problem.skipCost[visit]!;
  }
  return true;
}

/** The round as steps, with the windows used. Allocates. */
export function planOf(rounds: Rounds, vehicle: number): RoundPlan {
  const { problem, choice } = rounds;
  const nodes = sequenceOf(rounds, vehicle);
  const windowOf = (node: number): StartWindow => ({
    fromS: problem.windowFromS[choice[node]!]!,
    untilS: problem.windowUntilS[choice[node]!]!,
  });
  const steps = nodes.slice(1, -1).map((node): RoundStep => {
    if (node < problem.visits) return { kind: 'visit', visit: node, window: windowOf(node) };
    return node < problem.breakNode[vehicle]!
      ? { kind: 'unload', window: windowOf(node) }
      : { kind: 'break' };
  });
  return { vehicle, steps, endWindow: windowOf(problem.endNode[vehicle]!) };
}
