/**
 * Clarke & Wright (1964), "Scheduling of Vehicles from a Central Depot to a Number of Delivery Points",
 * Operations Research 12(4), parallel version: join the ends of two routes where that saves most, while both loads fit.
 *
 * Ties go to the smaller first visit, then the smaller second. Only for vehicles that are all alike and start and end at
 * one place; looks at distance and loads alone, so that with windows or shifts it is a suggestion and no more.
 */
import type { RoutingProblem } from './problem.ts';

/** Routes as lists of visits; may be more than there are vehicles. */
export function savingsRoutes(problem: RoutingProblem): number[][] {
  const { visits: n, place, places, legM, loadA, loadB } = problem;
  const depot = place[problem.startNode[0]!]!;
  const capacityA = problem.capacityA[0]!;
  const capacityB = problem.capacityB[0]!;
  const leg = (from: number, to: number): number => legM[from * places + to]!;
  const at = (v: number): number => place[v]!;
  let symmetric = true;
  for (let i = 0; i < places && symmetric; i++)
    for (let j = 0; j < i && symmetric; j++) symmetric = leg(i, j) === leg(j, i);

  const list = sortedSavings(
    n,
    symmetric,
    (i, j) => leg(at(i), depot) + leg(depot, at(j)) - leg(at(i), at(j)),
  );
  const routes = Array.from({ length: n }, (_, v): number[] | undefined => [v]);
  const routeOf = Int32Array.from({ length: n }, (_, v) => v);
  const sumA = Float64Array.from(loadA);
  const sumB = Float64Array.from(loadB);
  for (const pair of list) {
    const i = Math.floor(pair / n);
    const j = pair % n;
    const r = routeOf[i]!;
    const s = routeOf[j]!;
    if (r === s || sumA[r]! + sumA[s]! > capacityA || sumB[r]! + sumB[s]! > capacityB) continue;
    const first = routes[r]!;
    const second = routes[s]!;
    // i must end the first route and j begin the second; where directions do not matter either may be turned round.
    if (symmetric) {
      if (first.at(-1) !== i && first[0] === i) first.reverse();
      if (second[0] !== j && second.at(-1) === j) second.reverse();
    }
    if (first.at(-1) !== i || second[0] !== j) continue;
    for (const v of second) {
      first.push(v);
      routeOf[v] = r;
    }
    routes[s] = undefined;
    sumA[r]! += sumA[s]!;
    sumB[r]! += sumB[s]!;
  }
  return routes.filter((route) => route !== undefined);
}

/** Pairs i·n + j with a saving above 0, the largest saving first. */
function sortedSavings(
  n: number,
  symmetric: boolean,
  saving: (i: number, j: number) => number,
): Float64Array {
  const pairs = n * n;
  const keys = new Float64Array(symmetric ? (n * (n - 1)) / 2 : n * (n - 1));
  let count = 0;
  for (let i = 0; i < n; i++)
    for (let j = symmetric ? i + 1 : 0; j < n; j++) {
      const s = i === j ? 0 : saving(i, j);
      // One number holds saving and pair, so that a plain numeric sort also settles ties. 2^22 · 2^30 < 2^53.
      if (s > 0) keys[count++] = (2 ** 30 - s) * pairs + i * n + j;
    }
  const sorted = keys.subarray(0, count).sort();
  return sorted.map((key) => key % pairs);
}
