/** How visits come back: one by one, each into its cheapest place. */
import { BLINK, bestInsertion } from './best-insertion.ts';
import { copyHow, type How } from './how.ts';
import { insertAs, insertionCost } from './insertion.ts';
import type { RoutingProblem } from './problem.ts';
import type { Rounds } from './rounds.ts';
import type { Work } from './work.ts';

/** Mostly mandatory visits first; within them at random, largest, farthest, nearest, narrowest windows or dearest first. */
export function sortAbsent(problem: RoutingProblem, work: Work): void {
  const { absent, key, far, span, random, count } = work;
  const draw = random.unit();
  const mustFirst = random.unit() < 0.7;
  for (let i = 0; i < count; i++) {
    const v = absent[i]!;
    key[i] =
      draw < 0.4
        ? random.unit()
        : draw < 0.55
          ? -problem.loadA[v]!
          : draw < 0.65
            ? -far[v]!
            : draw < 0.75
              ? far[v]!
              : draw < 0.9
                ? span[v]!
                : -problem.skipCost[v]!;
  }
  for (let i = 1; i < count; i++) {
    const k = key[i]!;
    const v = absent[i]!;
    const must = mustFirst ? problem.mandatory[v]! : 0;
    let j = i - 1;
    while (j >= 0) {
      const other = mustFirst ? problem.mandatory[absent[j]!]! : 0;
      if (other > must || (other === must && key[j]! <= k)) break;
      key[j + 1] = key[j]!;
      absent[j + 1] = absent[j]!;
      j--;
    }
    key[j + 1] = k;
    absent[j + 1] = v;
  }
}

/** Up to so many visits every position is looked at; beyond, those next to near visits. */
const SCANNED_WHOLE = 100;
/** A visit is tried next to this many of its nearest; only if none will do, everywhere. */
const TRIED_NEAR = 30;

/** Greedy insertion in the order given; what fits nowhere, or is not worth its place, stays out. */
export function recreate(rounds: Rounds, work: Work, slack: number, limit = Number.POSITIVE_INFINITY): void {
  const { problem, count } = rounds;
  const { absent, place } = work;
  const scansWhole = problem.visits <= SCANNED_WHOLE;
  let waiting = 0;
  for (let i = 0; i < work.count; i++) waiting += problem.skipCost[absent[i]!]!;
  for (let i = 0; i < work.count; i++) {
    // Visits to come hardly ever make the rounds cheaper.
    if (rounds.totals[0]! - waiting >= limit) return;
    const visit = absent[i]!;
    waiting -= problem.skipCost[visit]!;
    place.cost = slack; // worth inserting only if it lowers the cost: insertion prices include the prize
    place.vehicle = -1;
    if (!scansWhole) tryNear(rounds, work, visit);
    const scanAll = scansWhole || (place.vehicle < 0 && problem.mandatory[visit] === 1);
    // An empty vehicle stands for all of its kind.
    work.stamp++;
    for (let r = 0; r < problem.vehicles; r++) {
      if (count[r] === 0) {
        if (work.kindAt[problem.kind[r]!] === work.stamp) continue;
        work.kindAt[problem.kind[r]!] = work.stamp;
      } else if (!scanAll) continue;
      const cost = bestInsertion(rounds, visit, r, place.cost, work.random);
      if (cost < place.cost) keep(work, cost, r, rounds.best.after, rounds.best.how);
    }
    if (place.vehicle >= 0) insertAs(rounds, visit, place.vehicle, place.after, place.how);
  }
}

function tryNear(rounds: Rounds, work: Work, visit: number): void {
  const { near, nearCount, random, place } = work;
  const tried = Math.min(TRIED_NEAR, nearCount);
  for (let k = 0; k < tried; k++) {
    const u = near[visit * nearCount + k]!;
    const r = rounds.round[u]!;
    if (r < 0) continue;
    for (let side = 0; side < 2; side++) {
      const after = side === 0 ? u : rounds.prev[u]!;
      if (random.unit() < BLINK) continue;
      const cost = insertionCost(rounds, visit, r, after, place.cost);
      if (cost < place.cost) keep(work, cost, r, after, rounds.how);
    }
  }
}

function keep({ place }: Work, cost: number, vehicle: number, after: number, how: How): void {
  copyHow(place.how, how);
  place.cost = cost;
  place.vehicle = vehicle;
  place.after = after;
}
