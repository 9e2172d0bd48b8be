/**
 * The plain model: vehicles all alike, one depot, every visit must be served, at most one window each. What it costs to
 * drive is one whole number per leg, so that the quick searches need know nothing else.
 */
import type { RoutingProblem } from '../problem.ts';

export type AlikeModel = {
  /** Visits 0 … n − 1; the depot is row and column n of the matrices. */
  readonly n: number;
  readonly fleet: number;
  readonly stride: number;
  /** Whether every leg costs the same both ways. */
  readonly symmetric: boolean;
  /** Cost of a leg, in the problem's unit of cost. */
  readonly cost: Int32Array;
  readonly loadA: Int32Array;
  readonly loadB: Int32Array;
  readonly capacityA: number;
  readonly capacityB: number;
  /** Whether the second load ever binds. */
  readonly two: boolean;
  /** Whether time binds at all; if not, the arrays of times are all 0. */
  readonly timed: boolean;
  readonly windows: boolean;
  readonly timeS: Int32Array;
  readonly serviceS: Int32Array;
  /** Index n: the shift. */
  readonly fromS: Int32Array;
  readonly untilS: Int32Array;
  /** For every visit all others, nearest first (by cost there and back). Row length n − 1. */
  readonly order: Int32Array;
};

/** Cost and time of a route with everybody in it must stay below this: whole numbers of 32 bits hold them. */
const SUM_LIMIT = 2 ** 31 - 1;

/** The plain model of a problem, or `undefined` if it is not that plain. */
export function alikeModel(problem: RoutingProblem): AlikeModel | undefined {
  const { input, visits: n, place, places, legM, legS } = problem;
  const [first] = input.vehicles;
  if (!first || n < 2) return undefined;
  const fits =
    first.startPlace === first.endPlace &&
    first.costPerM >= 0 &&
    first.costPerM + first.costPerS > 0 &&
    first.unload === undefined &&
    first.breakRule === undefined &&
    first.maxOvertimeS === 0 &&
    problem.kind.every((kind) => kind === problem.kind[0]) &&
    input.visits.every(
      (visit) => visit.mandatory && visit.windows.length <= 1 && visit.barredVehicles.length === 0,
    );
  if (!fits) return undefined;
  const windows = input.visits.some((visit) => visit.windows.length > 0);
  // Paid time would have to count waiting, which only windows cause.
  if (windows && first.costPerS > 0) return undefined;

  const stride = n + 1;
  const depot = first.startPlace;
  const cost = new Int32Array(stride * stride);
  const timeS = new Int32Array(stride * stride);
  let dearest = 0;
  let longestS = 0;
  for (let i = 0; i <= n; i++)
    for (let j = 0; j <= n; j++) {
      if (i === n && j === n) continue;
      const leg = (i < n ? place[i]! : depot) * places + (j < n ? place[j]! : depot);
      // Half a vehicle's fixed cost is paid on its way out, half on its way in; paid service is the same whoever does it.
      const share = i === n ? Math.ceil(first.fixedCost / 2) : j === n ? Math.floor(first.fixedCost / 2) : 0;
      const c = first.costPerM * legM[leg]! + first.costPerS * legS[leg]! + share;
      if (!Number.isInteger(c) || c > SUM_LIMIT) return undefined;
      cost[i * stride + j] = c;
      timeS[i * stride + j] = legS[leg]!;
      dearest = Math.max(dearest, c);
      longestS = Math.max(longestS, legS[leg]!);
    }
  let serviceSumS = 0;
  for (const visit of input.visits) serviceSumS += visit.serviceS;
  const longestRoundS = serviceSumS + longestS * (n + 1);
  const spanS = first.shiftEndS - first.shiftStartS;
  const timed = windows || longestRoundS > spanS;
  const origin = Math.abs(first.shiftStartS) + Math.abs(first.shiftEndS);
  // With windows a bad order waits and comes late by turns, which adds up.
  const mostS = timed ? (windows ? 4 * (longestRoundS + origin) : longestRoundS + 2 * origin) : 0;
  if (dearest * (n + 1) > SUM_LIMIT || mostS > SUM_LIMIT) return undefined;

  const serviceS = new Int32Array(n + 1);
  const fromS = new Int32Array(n + 1).fill(first.shiftStartS);
  const untilS = new Int32Array(n + 1).fill(first.shiftEndS);
  input.visits.forEach((visit, v) => {
    serviceS[v] = visit.serviceS;
    const [window] = visit.windows;
    if (!window) return;
    fromS[v] = Math.max(first.shiftStartS, window.fromS);
    untilS[v] = Math.min(first.shiftEndS, window.untilS);
  });
  const needsB = problem.loadB.reduce((sum, load) => sum + load, 0);
  return {
    n,
    fleet: Math.min(problem.vehicles, n),
    stride,
    symmetric: isSymmetric(cost, stride),
    cost,
    loadA: problem.loadA,
    loadB: problem.loadB,
    capacityA: problem.capacityA[0]!,
    capacityB: problem.capacityB[0]!,
    two: needsB > problem.capacityB[0]!,
    timed,
    windows,
    timeS,
    serviceS,
    fromS,
    untilS,
    order: nearOrder(n, cost, stride),
  };
}

function isSymmetric(cost: Int32Array, stride: number): boolean {
  for (let i = 0; i < stride; i++)
    for (let j = 0; j < i; j++) if (cost[i * stride + j] !== cost[j * stride + i]) return false;
  return true;
}

/** Least number of vehicles that the loads need. */
export function fewestVehicles({ n, loadA, loadB, capacityA, capacityB }: AlikeModel): number {
  let a = 0;
  let b = 0;
  for (let v = 0; v < n; v++) {
    a += loadA[v]!;
    b += loadB[v]!;
  }
  return Math.max(1, Math.ceil(a / Math.max(1, capacityA)), Math.ceil(b / Math.max(1, capacityB)));
}

function nearOrder(n: number, cost: Int32Array, stride: number): Int32Array {
  const order = new Int32Array(n * (n - 1));
  const keys = new Float64Array(n - 1);
  for (let v = 0; v < n; v++) {
    let k = 0;
    for (let u = 0; u < n; u++)
      if (u !== v) keys[k++] = (cost[v * stride + u]! + cost[u * stride + v]!) * stride + u;
    keys.sort();
    for (let i = 0; i < n - 1; i++) order[v * (n - 1) + i] = keys[i]! % stride;
  }
  return order;
}
