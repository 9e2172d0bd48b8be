/**
 * Solutions that breed: feasible ones and others apart, each ranked by cost and by how different it is from its nearest
 * (Vidal, Crainic, Gendreau, Lahrichi & Rei 2012, Operations Research 60(3), sections 4.5 and 4.6; sizes of Vidal 2022).
 * Slots are used again, so nothing is allocated once the population is full.
 */
import type { FastRandom } from './fast-random.ts';

export type Individual = {
  readonly slot: number;
  readonly order: Int32Array;
  readonly starts: Int32Array;
  readonly next: Int32Array;
  readonly prev: Int32Array;
  routes: number;
  /** Cost of the legs alone. */
  cost: number;
  overA: number;
  overB: number;
  lateS: number;
  feasible: boolean;
  /** Cost with what overload and lateness are priced at now. */
  penalised: number;
  fitness: number;
};

export type PopulationSizes = {
  readonly least: number;
  readonly born: number;
  readonly elite: number;
  readonly close: number;
};

export function createPopulation(n: number, fleet: number, sizes: PopulationSizes, random: FastRandom) {
  const most = sizes.least + sizes.born + 1;
  const slots = 2 * most + 2;
  const gap = new Int32Array(slots * slots);
  const spare: Individual[] = [];
  for (let slot = slots - 1; slot >= 0; slot--)
    spare.push({
      slot,
      order: new Int32Array(n),
      starts: new Int32Array(fleet + 1),
      next: new Int32Array(n),
      prev: new Int32Array(n),
      routes: 0,
      cost: 0,
      overA: 0,
      overB: 0,
      lateS: 0,
      feasible: false,
      penalised: 0,
      fitness: 0,
    });
  const good: Individual[] = [];
  const bad: Individual[] = [];
  const spread = new Float64Array(slots);
  const byCost: Individual[] = [];
  const bySpread: Individual[] = [];
  const nearest = new Int32Array(sizes.close);

  /** Visits whose neighbours in one are not neighbours in the other. */
  function brokenPairs(a: Individual, b: Individual): number {
    let count = 0;
    for (let v = 0; v < n; v++) {
      const an = a.next[v]!;
      const bn = b.next[v]!;
      const bp = b.prev[v]!;
      if (an !== bn && an !== bp) count++;
      if (a.prev[v] === n && bp !== n && bn !== n) count++;
    }
    return count;
  }

  function meanGap(of: Individual, among: readonly Individual[]): number {
    let kept = 0;
    for (const other of among) {
      if (other === of) continue;
      const g = gap[of.slot * slots + other.slot]!;
      let i = kept < sizes.close ? kept++ : g < nearest[kept - 1]! ? kept - 1 : -1;
      if (i < 0) continue;
      while (i > 0 && nearest[i - 1]! > g) {
        nearest[i] = nearest[i - 1]!;
        i--;
      }
      nearest[i] = g;
    }
    let sum = 0;
    for (let i = 0; i < kept; i++) sum += nearest[i]!;
    return kept === 0 ? 1 : sum / kept;
  }

  function isClone(of: Individual, among: readonly Individual[]): boolean {
    for (const other of among) if (other !== of && gap[of.slot * slots + other.slot] === 0) return true;
    return false;
  }

  function rank(list: Individual[]): void {
    byCost.length = 0;
    bySpread.length = 0;
    for (const one of list) {
      spread[one.slot] = meanGap(one, list);
      byCost.push(one);
      bySpread.push(one);
    }
    byCost.sort((a, b) => a.penalised - b.penalised || a.slot - b.slot);
    bySpread.sort((a, b) => spread[b.slot]! - spread[a.slot]! || a.slot - b.slot);
    const last = Math.max(1, list.length - 1);
    const weight = 1 - Math.min(sizes.elite, list.length) / list.length;
    for (let i = 0; i < list.length; i++) byCost[i]!.fitness = i / last;
    for (let i = 0; i < list.length; i++) bySpread[i]!.fitness += (weight * i) / last;
  }

  function dropWorst(list: Individual[]): void {
    rank(list);
    let worst = -1;
    let worstIsClone = false;
    // The best of all always stays.
    let bestCost = Number.POSITIVE_INFINITY;
    let bestAt = -1;
    for (let i = 0; i < list.length; i++)
      if (list[i]!.penalised < bestCost) {
        bestCost = list[i]!.penalised;
        bestAt = i;
      }
    for (let i = 0; i < list.length; i++) {
      if (i === bestAt) continue;
      const clone = isClone(list[i]!, list);
      if (
        worst < 0 ||
        (clone && !worstIsClone) ||
        (clone === worstIsClone && list[i]!.fitness > list[worst]!.fitness)
      ) {
        worst = i;
        worstIsClone = clone;
      }
    }
    const [gone] = list.splice(worst, 1);
    spare.push(gone!);
  }

  function add(one: Individual): void {
    const list = one.feasible ? good : bad;
    for (const other of list) {
      const g = brokenPairs(one, other);
      gap[one.slot * slots + other.slot] = g;
      gap[other.slot * slots + one.slot] = g;
    }
    list.push(one);
    if (list.length > sizes.least + sizes.born) while (list.length > sizes.least) dropWorst(list);
    isRanked = false;
  }

  let isRanked = false;
  function pick(): Individual {
    if (!isRanked) {
      if (good.length > 0) rank(good);
      if (bad.length > 0) rank(bad);
      isRanked = true;
    }
    const one = any();
    const other = any();
    return one.fitness < other.fitness ? one : other;
  }
  function any(): Individual {
    const i = random.below(good.length + bad.length);
    return i < good.length ? good[i]! : bad[i - good.length]!;
  }

  return {
    good,
    bad,
    /** A slot to fill and hand to `add`, or to `release`. */
    fresh: (): Individual => spare.pop()!,
    release: (one: Individual): void => {
      spare.push(one);
    },
    add,
    pick,
    reprice(price: (one: Individual) => number): void {
      for (const one of bad) one.penalised = price(one);
      isRanked = false;
    },
    clear(): void {
      spare.push(...good, ...bad);
      good.length = 0;
      bad.length = 0;
    },
  };
}
