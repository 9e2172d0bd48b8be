/** What is derived from the order of a round: segments, loads, cost. */
import { isPlain, refreshRelaxed } from './relaxed.ts';
import type { Rounds } from './rounds.ts';
import { D, E, join, L, seg } from './segment.ts';

/** Recomputes everything that is derived from the order and the choices of one round, and its cost. */
export function refreshRound(rounds: Rounds, vehicle: number): void {
  const { problem, next, prev, place, choice, trip, position, sumA, sumB } = rounds;
  const { headE, headL, headD, tailE, tailL, tailD } = rounds;
  const { legM, legS, places, visits, windowFromS, windowUntilS, serviceS } = problem;
  const start = problem.startNode[vehicle]!;
  const end = problem.endNode[vehicle]!;
  const firstBreak = problem.breakNode[vehicle]!;
  const base = rounds.tripBase[vehicle]!;
  const key = visits * (problem.vehicles - 1);

  let u = start;
  headE[u] = windowFromS[choice[u]!]!;
  headL[u] = windowUntilS[choice[u]!]!;
  headD[u] = 0;
  trip[u] = 0;
  position[u] = 0;
  let a = 0;
  let b = 0;
  sumA[u] = 0;
  sumB[u] = 0;
  let t = 0;
  let distanceM = 0;
  let count = 0;
  let breaks = 0;
  let broken = 0;
  let choosers = 0;
  let workS = 0;
  while (u !== end) {
    const p = u;
    u = next[p]!;
    if (u < visits) {
      a += rounds.loadA[u]!;
      b += rounds.loadB[u]!;
      count++;
      const k = u * problem.vehicles + vehicle;
      if (problem.windowHi[k]! - problem.windowLo[k]! > 1) choosers++;
    } else if (u >= firstBreak) {
      place[u] = place[p]!;
      breaks++;
    } else {
      if (problem.windowHi[key + u]! - problem.windowLo[key + u]! > 1) choosers++;
      if (u !== end) {
        rounds.tripA[base + t] = a;
        rounds.tripB[base + t] = b;
        t++;
        a = 0;
        b = 0;
      }
    }
    trip[u] = t;
    position[u] = position[p]! + 1;
    sumA[u] = a;
    sumB[u] = b;
    const leg = place[p]! * places + place[u]!;
    distanceM += legM[leg]!;
    workS += legS[leg]! + (u < visits || u < firstBreak ? serviceS[u]! : 0);
    seg[E] = headE[p]!;
    seg[L] = headL[p]!;
    seg[D] = headD[p]!;
    if (!join(legS[leg]!, windowFromS[choice[u]!]!, windowUntilS[choice[u]!]!, serviceS[u]!)) broken = 1;
    headE[u] = seg[E]!;
    headL[u] = seg[L]!;
    headD[u] = seg[D]!;
  }
  rounds.tripA[base + t] = a;
  rounds.tripB[base + t] = b;

  tailE[u] = windowFromS[choice[u]!]!;
  tailL[u] = windowUntilS[choice[u]!]!;
  tailD[u] = serviceS[u]!;
  while (u !== start) {
    const n = u;
    u = prev[n]!;
    seg[E] = windowFromS[choice[u]!]!;
    seg[L] = windowUntilS[choice[u]!]!;
    seg[D] = serviceS[u]!;
    join(legS[place[u]! * places + place[n]!]!, tailE[n]!, tailL[n]!, tailD[n]!);
    tailE[u] = seg[E]!;
    tailL[u] = seg[L]!;
    tailD[u] = seg[D]!;
  }

  if (
    count > 0 &&
    broken === 0 &&
    problem.maxBreaks[vehicle]! > 0 &&
    headD[end]! > problem.maxWorkS[vehicle]!
  )
    broken = keepsBreakRule(rounds, vehicle) ? 0 : 1;

  let cost = 0;
  rounds.durationS[vehicle] = 0;
  rounds.workS[vehicle] = count > 0 ? workS : 0;
  rounds.overtimeS[vehicle] = 0;
  if (count > 0) {
    const overS = headE[end]! + headD[end]! - problem.shiftEndS[vehicle]!;
    rounds.durationS[vehicle] = headD[end]!;
    rounds.overtimeS[vehicle] = Math.max(overS, 0);
    cost =
      problem.fixedCost[vehicle]! +
      problem.costPerM[vehicle]! * distanceM +
      problem.costPerS[vehicle]! * headD[end]! +
      problem.costPerOvertimeS[vehicle]! * rounds.overtimeS[vehicle]! +
      problem.unloadCost[vehicle]! * (t + problem.unloadsAtEnd[vehicle]!) +
      problem.penalty * broken;
  } else distanceM = 0;
  rounds.startS[vehicle] = headE[end]!;
  rounds.count[vehicle] = count;
  rounds.unloads[vehicle] = t;
  rounds.breaks[vehicle] = breaks;
  rounds.broken[vehicle] = broken;
  rounds.choosers[vehicle] = choosers;
  if (!isPlain(rounds, vehicle)) refreshRelaxed(rounds, vehicle);
  rounds.distanceM[vehicle] = distanceM;
  rounds.totals[0]! += cost - rounds.roundCost[vehicle]!;
  rounds.roundCost[vehicle] = cost;
}

function keepsBreakRule(rounds: Rounds, vehicle: number): boolean {
  const { problem, next, place, choice } = rounds;
  const end = problem.endNode[vehicle]!;
  const maxWorkS = problem.maxWorkS[vehicle]!;
  let nowS = rounds.headE[end]!;
  let restedS = nowS;
  let p = problem.startNode[vehicle]!;
  while (p !== end) {
    const u = next[p]!;
    nowS += problem.legS[place[p]! * problem.places + place[u]!]!;
    nowS = Math.max(nowS, problem.windowFromS[choice[u]!]!);
    const isBreakHere = u >= problem.breakNode[vehicle]!;
    if (isBreakHere && nowS - restedS > maxWorkS) return false;
    nowS += problem.serviceS[u]!;
    if (isBreakHere) restedS = nowS;
    p = u;
  }
  return nowS - restedS <= maxWorkS;
}
