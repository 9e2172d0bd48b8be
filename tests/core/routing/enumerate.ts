/**
 * The optimum of a tiny problem by trying everything: every subset, every assignment, every order, every place of
 * an unloading. Shares only the forward simulation with the kernel; priced by the checker.
 */
import { checkSolution } from '../../../src/core/routing/check.ts';
import { buildRoutingProblem, type RoutingInput } from '../../../src/core/routing/problem.ts';
import { type RoundStep, scheduleRound } from '../../../src/core/routing/schedule.ts';

/** Cost of the best solution: rounds, prizes left, and `penalty` for each mandatory visit left out. */
export function enumerate(input: RoutingInput): number {
  const problem = buildRoutingProblem(input);
  const n = input.visits.length;
  const all = (1 << n) - 1;
  const skip = (mask: number): number => {
    let cost = 0;
    for (let v = 0; v < n; v++) if (mask & (1 << v)) cost += problem.skipCost[v]!;
    return cost;
  };
  // best[r][mask]: cheapest round of vehicle r that serves exactly mask.
  const perVehicle = input.vehicles.map((_, vehicle) => {
    const best = new Float64Array(1 << n).fill(Number.POSITIVE_INFINITY);
    best[0] = 0;
    const extend = (steps: RoundStep[], mask: number): void => {
      for (let v = 0; v < n; v++) {
        if (mask & (1 << v)) continue;
        for (const withUnload of steps.length > 0 && input.vehicles[vehicle]!.unload
          ? [false, true]
          : [false]) {
          const next: RoundStep[] = [
            ...steps,
            ...(withUnload ? [{ kind: 'unload' } as const] : []),
            { kind: 'visit', visit: v },
          ];
          const cost = cheapest(input, vehicle, next);
          const grown = mask | (1 << v);
          if (cost < best[grown]!) best[grown] = cost;
          extend(next, grown);
        }
      }
    };
    extend([], 0);
    return best;
  });
  let reach = new Float64Array(1 << n).fill(Number.POSITIVE_INFINITY);
  reach[0] = 0;
  for (const best of perVehicle) {
    const next = Float64Array.from(reach);
    for (let mask = 1; mask <= all; mask++)
      for (let part = mask; part > 0; part = (part - 1) & mask) {
        const cost = reach[mask & ~part]! + best[part]!;
        if (cost < next[mask]!) next[mask] = cost;
      }
    reach = next;
  }
  let least = Number.POSITIVE_INFINITY;
  for (let mask = 0; mask <= all; mask++) least = Math.min(least, reach[mask]! + skip(all & ~mask));
  return least;

  /** The order with every choice of windows and breaks; Infinity if the checker finds a fault in each. */
  function cheapest(data: RoutingInput, vehicle: number, steps: readonly RoundStep[]): number {
    let cost = Number.POSITIVE_INFINITY;
    for (const chosen of windowChoices(data, vehicle, steps))
      for (const rested of breakPlaces(chosen, data.vehicles[vehicle]!.breakRule !== undefined)) {
        const scheduled = scheduleRound(problem, { vehicle, steps: rested });
        if (!scheduled.ok) continue;
        const others = data.visits
          .map((_, v) => v)
          .filter((v) => !steps.some((s) => s.kind === 'visit' && s.visit === v));
        const report = checkSolution(data, { rounds: [scheduled.round], leftOut: others });
        if (report.faults.length > 0) continue;
        const prizes = others.reduce(
          (sum, v) => sum + (data.visits[v]!.mandatory ? 0 : data.visits[v]!.prize),
          0,
        );
        cost = Math.min(cost, report.cost - prizes);
      }
    return cost;
  }
}

function windowChoices(data: RoutingInput, vehicle: number, steps: readonly RoundStep[]): RoundStep[][] {
  let choices: RoundStep[][] = [[]];
  for (const step of steps) {
    const windows =
      step.kind === 'visit'
        ? data.visits[step.visit]!.windows
        : (data.vehicles[vehicle]!.unload?.windows ?? []);
    const ways: RoundStep[] =
      windows.length === 0 ? [step] : windows.map((window) => ({ ...step, window }) as RoundStep);
    choices = choices.flatMap((prefix) => ways.map((way) => [...prefix, way]));
  }
  return choices;
}

function* breakPlaces(steps: RoundStep[], mayRest: boolean): Generator<RoundStep[]> {
  yield steps;
  if (!mayRest) return;
  for (let i = 0; i <= steps.length; i++) {
    const one = steps.toSpliced(i, 0, { kind: 'break' });
    yield one;
    for (let j = i + 1; j <= one.length; j++) yield one.toSpliced(j, 0, { kind: 'break' });
  }
}
