/** What the iterations of the search work with besides the rounds: who is near whom, and lists to fill. */
import { type FastRandom, fastRandom } from './alike/fast-random.ts';
import { createHow, type How } from './how.ts';
import type { RoutingProblem } from './problem.ts';

/** What iterations need besides the rounds; nothing else is allocated once they run. */
export type Work = {
  readonly random: FastRandom;
  /** For each visit all others that count, nearest first; row length `nearCount`. */
  readonly near: Int32Array;
  readonly nearCount: number;
  readonly isFixed: Uint8Array;
  readonly far: Float64Array;
  readonly span: Float64Array;
  readonly absent: Int32Array;
  readonly key: Float64Array;
  readonly stops: Int32Array;
  readonly doneAt: Int32Array;
  readonly kindAt: Int32Array;
  /** The cheapest place found so far for the visit that is coming back. */
  readonly place: { cost: number; vehicle: number; after: number; readonly how: How };
  count: number;
  stamp: number;
};

const MOST_NEAR = 100;

export function createWork(problem: RoutingProblem, seed: number, fixed: ReadonlySet<number>): Work {
  const { visits: n, vehicles, place, places, legM, legS, startNode, windowLo, windowHi } = problem;
  const mean = (prices: Float64Array): number =>
    prices.reduce((sum, price) => sum + price, 0) / Math.max(1, vehicles);
  const perM = mean(problem.costPerM);
  // Where time costs nothing it still runs out, so it always counts a little.
  const perS = Math.max(mean(problem.costPerS), perM / 10, perM === 0 ? 1 : 0);
  const leg = (p: number, q: number): number => perM * legM[p * places + q]! + perS * legS[p * places + q]!;
  const nearCount = Math.max(0, Math.min(MOST_NEAR, n - 1));
  const near = new Int32Array(n * nearCount);
  for (let v = 0; v < n; v++) {
    const apart = Float64Array.from(
      { length: n },
      (_, u) => leg(place[u]!, place[v]!) + leg(place[v]!, place[u]!),
    );
    const others = Array.from({ length: n }, (_, u) => u).filter((u) => u !== v);
    others.sort((a, b) => apart[a]! - apart[b]! || a - b);
    near.set(others.slice(0, nearCount), v * nearCount);
  }
  const depot = vehicles === 0 ? 0 : place[startNode[0]!]!;
  return {
    random: fastRandom(seed),
    near,
    nearCount,
    isFixed: Uint8Array.from({ length: n }, (_, v) => (fixed.has(v) ? 1 : 0)),
    far: Float64Array.from({ length: n }, (_, v) => leg(depot, place[v]!)),
    span: Float64Array.from({ length: n }, (_, v) => {
      let total = 0;
      for (let w = windowLo[v * vehicles]!; w < windowHi[v * vehicles]!; w++)
        total += problem.windowUntilS[w]! - problem.windowFromS[w]!;
      return total;
    }),
    absent: new Int32Array(n),
    key: new Float64Array(n),
    stops: new Int32Array(n),
    doneAt: new Int32Array(vehicles),
    kindAt: new Int32Array(vehicles),
    place: { cost: 0, vehicle: -1, after: -1, how: createHow() },
    count: 0,
    stamp: 0,
  };
}
