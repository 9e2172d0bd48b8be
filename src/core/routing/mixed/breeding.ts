/**
 * Breeding for days with everything on: plans are crossed, improved by a descent through late and too full rounds at a
 * price, and kept by cost and by how different they are (Vidal, Crainic, Gendreau, Lahrichi & Rei 2012, Operations
 * Research 60(3); 2013, Computers & OR 40(1)). What comes out is laid out exactly in `rounds.ts`, with its breaks and windows.
 */
import type { FastRandom } from '../alike/fast-random.ts';
import { createPopulation, type Individual } from '../alike/population.ts';
import { recreate, sortAbsent } from '../recreate.ts';
import { clear, type Rounds, totalCost } from '../rounds.ts';
import type { RoundPlan, RoundStep } from '../schedule.ts';
import { startFrom } from '../start.ts';
import type { Work } from '../work.ts';
import { createCrossing, createTimetable, type Timetable } from './crossing.ts';
import { createDescent } from './descent.ts';
import { createSoftRounds, type SoftRounds } from './soft-rounds.ts';

const SIZES = { least: 10, born: 12, elite: 4, close: 3 };
const NEAR = 10;
/** What a second of lateness costs to begin with, in what a second of the dearest driving costs. */
const PRICE_S = 0.3;
/** Rounds a child is tried exactly if it is no more than this dearer than the best. */
const CLOSE = 1.05;

/** `found` is told of what a plan costs while `rounds` hold it. */
export function createBreeding(rounds: Rounds, work: Work, found: (cost: number) => void) {
  const { problem } = rounds;
  const { visits: n, vehicles: m } = problem;
  const random: FastRandom = work.random;
  const soft = createSoftRounds(problem);
  const near = nearInTime(soft);
  const { descend, placeUnloads } = createDescent(soft, near, random);
  const cross = createCrossing(problem, work.near, work.nearCount, random);
  const population = createPopulation(n, m, SIZES, random);
  const tables: Timetable[] = [];
  const child = createTimetable(n);
  const fixed: ReadonlySet<number> = new Set();
  const line = new Int32Array(n);
  const { prices } = soft;
  const recentLoad: number[] = [];
  const recentLate: number[] = [];

  let dearest = 1;
  for (const rig of soft.rigs) for (const leg of rig) dearest = Math.max(dearest, leg);
  const largest = (loads: Int32Array): number => loads.reduce((most, load) => Math.max(most, load), 1);
  prices.a = exact(dearest / largest(problem.loadA));
  prices.b = exact(dearest / largest(problem.loadB));
  prices.s = exact((PRICE_S * dearest) / largest(problem.legS));

  /** Lays the child out: each vehicle's visits in the order of their times. */
  function layOut(): void {
    soft.clear();
    for (let r = 0; r < m; r++) {
      let length = 0;
      for (let v = 0; v < n; v++) {
        if (child.vehicle[v] !== r || soft.allowed[v * m + r] === 0) continue;
        let i = length++;
        while (i > 0 && child.atS[line[i - 1]!]! > child.atS[v]!) {
          line[i] = line[i - 1]!;
          i--;
        }
        line[i] = v;
      }
      let p = n + r;
      for (let i = 0; i < length; i++) {
        soft.linkAfter(line[i]!, p);
        p = line[i]!;
      }
      soft.refresh(r);
      placeUnloads(r);
    }
  }

  function softCost(): number {
    let cost = 0;
    for (let r = 0; r < m; r++) cost += soft.rigid[r]! + soft.slack[r]!;
    for (let v = 0; v < n; v++) if (soft.route[v]! < 0) cost += problem.skipCost[v]!;
    return cost;
  }

  function store(): Individual {
    const one = population.fresh();
    const table = tables[one.slot] ?? createTimetable(n);
    tables[one.slot] = table;
    table.vehicle.fill(-1);
    one.next.fill(n);
    one.prev.fill(n);
    one.overA = 0;
    one.overB = 0;
    one.lateS = 0;
    let price = 0;
    for (let r = 0; r < m; r++) {
      one.overA += soft.overA[r]!;
      one.overB += soft.overB[r]!;
      one.lateS += soft.lateS[r]!;
      price += soft.loadPrice[r]! + soft.lateS[r]! * prices.s;
      const depot = n + r;
      let last = depot;
      let nowS = soft.count[r]! > 0 ? soft.startS(r) : 0;
      for (let u = soft.next[depot]!; u !== depot; u = soft.next[u]!) {
        nowS += problem.legS[soft.from[last]! * soft.places + soft.to[u]!]!;
        nowS = Math.min(soft.untilS[u]!, Math.max(soft.fromS[u]!, nowS));
        if (u < n) {
          table.vehicle[u] = r;
          table.atS[u] = nowS;
          one.next[u] = soft.next[u]! < n ? soft.next[u]! : n;
          one.prev[u] = last < n ? last : n;
        }
        nowS += soft.serviceS[u]!;
        last = u;
      }
    }
    one.penalised = softCost();
    one.cost = one.penalised - price;
    one.feasible = one.overA === 0 && one.overB === 0 && one.lateS === 0;
    return one;
  }

  const penalised = (one: Individual): number =>
    one.cost + one.overA * prices.a + one.overB * prices.b + one.lateS * prices.s;

  function setPrices(a: number, b: number, s: number): void {
    prices.a = a;
    prices.b = b;
    prices.s = s;
    for (let r = 0; r < m; r++) soft.refresh(r);
  }

  /** The soft rounds as plans. */
  function plans(): RoundPlan[] {
    const list: RoundPlan[] = [];
    for (let r = 0; r < m; r++) {
      if (soft.count[r] === 0) continue;
      const steps: RoundStep[] = [];
      for (let u = soft.next[n + r]!; u !== n + r; u = soft.next[u]!)
        steps.push(u < n ? { kind: 'visit', visit: u } : { kind: 'unload' });
      list.push({ vehicle: r, steps });
    }
    return list;
  }

  /** Lays the soft rounds out exactly; what does not fit is put elsewhere. The cost. */
  function makeExact(): number {
    clear(rounds);
    startFrom(rounds, plans(), fixed);
    work.count = 0;
    for (let v = 0; v < n; v++) if (rounds.round[v]! < 0) work.absent[work.count++] = v;
    if (work.count > 0) {
      sortAbsent(problem, work);
      recreate(rounds, work, 0);
    }
    return totalCost(rounds);
  }

  let best = Number.POSITIVE_INFINITY;
  function keep(): void {
    const one = store();
    if (one.penalised < CLOSE * best || best === Number.POSITIVE_INFINITY) {
      const cost = makeExact();
      if (one.feasible) {
        one.cost = cost;
        one.penalised = cost;
      }
      best = Math.min(best, cost);
      found(cost);
    }
    population.add(one);
  }

  /** Improves what is laid out and keeps it; what is late or too full then is mended one time in two. */
  function improve(): void {
    descend();
    let overload = 0;
    let late = 0;
    for (let r = 0; r < m; r++) {
      overload += soft.overA[r]! + soft.overB[r]!;
      late += soft.lateS[r]!;
    }
    note(recentLoad, overload === 0 ? 1 : 0);
    note(recentLate, late === 0 ? 1 : 0);
    keep();
    if (overload + late === 0 || random.unit() < 0.5) return;
    const { a, b, s } = prices;
    setPrices(10 * a, 10 * b, 10 * s);
    descend();
    setPrices(a, b, s);
    keep();
  }

  function note(list: number[], value: number): void {
    list.push(value);
    if (list.length > 40) list.shift();
  }

  function adapt(): void {
    const share = (list: number[]): number =>
      list.reduce((sum, value) => sum + value, 0) / Math.max(1, list.length);
    const turn = (found: number): number => (found < 0.25 ? 1.2 : found > 0.4 ? 0.85 : 1);
    prices.a = exact(prices.a * turn(share(recentLoad)));
    prices.b = exact(prices.b * turn(share(recentLoad)));
    prices.s = exact(prices.s * turn(share(recentLate)));
    population.reprice(penalised);
  }

  let children = 0;
  return {
    /** A plan made elsewhere, improved. */
    adopt(plan: Rounds): void {
      for (let v = 0; v < n; v++) {
        child.vehicle[v] = plan.round[v]!;
        child.atS[v] = plan.position[v]!;
      }
      layOut();
      improve();
    },
    /** A random plan, improved. */
    seed(): void {
      const used = 1 + random.below(m);
      const first = random.below(m);
      for (let v = 0; v < n; v++) {
        child.vehicle[v] =
          problem.mandatory[v] || random.unit() < 0.5 ? (first + random.below(used)) % m : -1;
        const span = soft.untilS[v]! - soft.fromS[v]!;
        const shiftS = problem.shiftEndS[0]! - problem.shiftStartS[0]!;
        child.atS[v] =
          span > shiftS
            ? problem.shiftStartS[0]! + random.below(shiftS)
            : soft.fromS[v]! + random.below(span + 1);
      }
      layOut();
      improve();
    },
    breed(): void {
      const a = population.pick();
      let b = population.pick();
      for (let k = 0; k < 5 && b === a; k++) b = population.pick();
      cross(tables[a.slot]!, tables[b.slot]!, child);
      layOut();
      improve();
      if (++children % 20 === 0) adapt();
    },
  };
}

/** Sixty-fourths, so that every sum of prices stays exact. */
const exact = (price: number): number => Math.min(1e6, Math.max(1, Math.round(price * 64)) / 64);

/** The near visits of each, near in time counting too (Vidal et al. 2013, section 4.5). */
function nearInTime(soft: SoftRounds): Int32Array {
  const { n, places, from, to, fromS, untilS, serviceS, rigs, problem } = soft;
  const K = Math.max(0, Math.min(NEAR, n - 1));
  const near = new Int32Array(n * K);
  const rig = rigs[0];
  if (!rig) return near;
  const perS = Math.max(problem.costPerS[0]!, 1e-9);
  const apart = (u: number, v: number): number => {
    const k = from[u]! * places + to[v]!;
    const wait = Math.max(0, fromS[v]! - serviceS[u]! - problem.legS[k]! - untilS[u]!);
    const late = Math.max(0, fromS[u]! + serviceS[u]! + problem.legS[k]! - untilS[v]!);
    return rig[k]! + perS * (0.2 * wait + late);
  };
  for (let v = 0; v < n; v++) {
    const others = Array.from({ length: n }, (_, u) => u).filter((u) => u !== v);
    const gap = others.map((u) => Math.min(apart(u, v), apart(v, u)));
    const by = others.map((_, i) => i).sort((i, j) => gap[i]! - gap[j]! || i - j);
    for (let k = 0; k < K; k++) near[v * K + k] = others[by[k]!]!;
  }
  return near;
}
