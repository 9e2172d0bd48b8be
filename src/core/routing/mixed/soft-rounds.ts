/**
 * Rounds that may be late or too full at a price, for a local search that passes through such ground: the relaxed model of
 * `relaxed.ts` (each node free between its first window and its last, a break only as the time it takes) with time
 * warp. Segments after Vidal, Crainic, Gendreau & Prins (2013), Computers & OR 40(1), section 4.2.
 *
 * Nodes: visits 0 … n − 1, n + r for the depot of vehicle r, which is both ends of its round, then unloadings, which
 * belong to whatever round they are in. Rounds are circular lists. What a round costs is its rigid part (metres, paid
 * driving and service, opening it), a sum over legs, and its slack (waiting, breaks, overtime, lateness, overload), never
 * below 0.
 */
import { depotKey, type RoutingProblem, windowKey } from '../problem.ts';

export type SoftRounds = ReturnType<typeof createSoftRounds>;

export function createSoftRounds(problem: RoutingProblem) {
  const {
    visits: n,
    vehicles: m,
    places,
    legM,
    legS,
    windowFromS,
    windowUntilS,
    windowLo,
    windowHi,
  } = problem;
  const { maxUnloads, capacityA, capacityB, loadA, loadB, shiftStartS, shiftEndS, hardEndS } = problem;
  const { costPerS, costPerOvertimeS, maxWorkS } = problem;
  const pool = maxUnloads.reduce((sum, most) => sum + most, 0);
  const firstUnload = n + m;
  const nodes = firstUnload + pool;
  const cells = (): Int32Array => new Int32Array(nodes);
  const next = cells();
  const prev = cells();
  const route = cells().fill(-1);
  const pos = cells();
  /** Trip of the node, counted through all vehicles; an unloading belongs to the trip it opens. */
  const trip = cells();
  const sumA = cells();
  const sumB = cells();
  /** Visits, driving and service up to the node, and their rigid cost with a vehicle of each kind: `kinds` to a node. */
  const stopsTo = cells();
  const workTo = cells();
  /** Place that a node is left from, and reached at; they differ only for depots. */
  const from = cells();
  const to = cells();
  const fromS = cells();
  const untilS = cells();
  const serviceS = cells();
  const headE = cells();
  const headL = cells();
  const headD = cells();
  const headW = cells();
  const tailE = cells();
  const tailL = cells();
  const tailD = cells();
  const tailW = cells();
  const mid = new Int32Array(2 * nodes);
  const tripBase = new Int32Array(m + 1);
  for (let r = 0; r < m; r++) tripBase[r + 1] = tripBase[r]! + maxUnloads[r]! + 1;
  const tripA = new Int32Array(tripBase[m]!);
  const tripB = new Int32Array(tripBase[m]!);
  const count = new Int32Array(m);
  const unloads = new Int32Array(m);
  const workS = new Int32Array(m);
  const lateS = new Int32Array(m);
  const overA = new Int32Array(m);
  const overB = new Int32Array(m);
  const loadPrice = new Float64Array(m);
  const slack = new Float64Array(m);
  const rigid = new Float64Array(m);
  const open = new Float64Array(m);
  const changedAt = new Int32Array(m);
  const breakS = new Int32Array(m);
  /** Rounds whose ends and unloadings are alike may exchange tails. */
  const endKind = new Int32Array(m);
  const prices = { a: 1, b: 1, s: 1 };
  const clock = { moves: 0 };
  let spare = 0;
  const spares = new Int32Array(pool + 1);

  const kinds = 1 + problem.kind.reduce((most, k) => Math.max(most, k), 0);
  const rigidTo = new Float64Array(nodes * kinds);
  const rigOfKind: Float64Array[] = [];
  const perSOfKind = new Float64Array(kinds);
  const perKind = new Map<number, Float64Array>();
  const rigs: Float64Array[] = [];
  const ends = new Map<string, number>();
  const allowed = new Uint8Array(n * m);
  for (let v = 0; v < n; v++) {
    from[v] = to[v] = problem.place[v]!;
    serviceS[v] = problem.serviceS[v]!;
    fromS[v] = 2 ** 29;
    untilS[v] = -(2 ** 29);
    for (let r = 0; r < m; r++) {
      const key = windowKey(problem, v, r);
      if (windowLo[key]! >= windowHi[key]!) continue;
      if (loadA[v]! > capacityA[r]! || loadB[v]! > capacityB[r]!) continue;
      allowed[v * m + r] = 1;
      fromS[v] = Math.min(fromS[v]!, windowFromS[windowLo[key]!]!);
      untilS[v] = Math.max(untilS[v]!, windowUntilS[windowHi[key]! - 1]!);
    }
  }
  for (let r = 0; r < m; r++) {
    const kind = problem.kind[r]!;
    let rig = perKind.get(kind);
    if (!rig) {
      rig = Float64Array.from(legM, (metres, k) => problem.costPerM[r]! * metres + costPerS[r]! * legS[k]!);
      perKind.set(kind, rig);
      rigOfKind[kind] = rig;
      perSOfKind[kind] = costPerS[r]!;
    }
    rigs.push(rig);
    const start = problem.startNode[r]!;
    const end = problem.endNode[r]!;
    from[n + r] = problem.place[start]!;
    to[n + r] = problem.place[end]!;
    serviceS[n + r] = problem.serviceS[end]!;
    open[r] =
      problem.fixedCost[r]! +
      problem.unloadsAtEnd[r]! * problem.unloadCost[r]! +
      costPerS[r]! * problem.serviceS[end]! +
      rig[problem.place[start]! * places + problem.place[end]!]!;
    if (problem.maxBreaks[r]! > 0) breakS[r] = problem.serviceS[problem.breakNode[r]!]!;
    const { unload, endPlace } = problem.input.vehicles[r]!;
    const key = JSON.stringify([endPlace, unload, shiftStartS[r], hardEndS[r]]);
    endKind[r] = ends.get(key) ?? ends.size;
    ends.set(key, endKind[r]!);
  }
  clear();

  function clear(): void {
    route.fill(-1);
    spare = 0;
    for (let u = nodes - 1; u >= firstUnload; u--) spares[spare++] = u;
    clock.moves = 0;
    for (let r = 0; r < m; r++) {
      const depot = n + r;
      route[depot] = r;
      next[depot] = prev[depot] = depot;
      refresh(r);
    }
  }

  const overPrice = (r: number, a: number, b: number): number =>
    (a > capacityA[r]! ? (a - capacityA[r]!) * prices.a : 0) +
    (b > capacityB[r]! ? (b - capacityB[r]!) * prices.b : 0);

  /** Slack in time of: head of `p`, then `mid[0 … count − 1]`, then tail of `t`, with so much work in it. */
  function timePrice(r: number, p: number, length: number, t: number, work: number): number {
    let e = headE[p]!;
    let l = headL[p]!;
    let d = headD[p]!;
    let w = headW[p]!;
    let row = from[p]! * places;
    for (let i = 0; i < length; i++) {
      const v = mid[i]!;
      const leg = legS[row + to[v]!]!;
      const dt = d - w + leg;
      const fe = fromS[v]! - dt;
      const ul = untilS[v]! - dt;
      const wait = fe > l ? fe - l : 0;
      const warp = e > ul ? e - ul : 0;
      d += serviceS[v]! + leg + wait;
      w += warp;
      e = (fe > e ? fe : e) - wait;
      l = (ul < l ? ul : l) + warp;
      row = from[v]! * places;
    }
    const leg = legS[row + to[t]!]!;
    const dt = d - w + leg;
    const fe = tailE[t]! - dt;
    const ul = tailL[t]! - dt;
    const wait = fe > l ? fe - l : 0;
    const warp = e > ul ? e - ul : 0;
    return slackOf(r, (fe > e ? fe : e) - wait, d + tailD[t]! + leg + wait, w + tailW[t]! + warp, work);
  }

  /** Slack in time of a whole round: start, duration, warp, work. */
  function slackOf(r: number, e: number, d: number, w: number, work: number): number {
    let took = d;
    let endS = e + d - w;
    const longest = maxWorkS[r]!;
    if (d > longest && breakS[r]! > 0) {
      const rest = d > 2 * longest + breakS[r]! ? 2 * breakS[r]! : breakS[r]!;
      if (work + rest > took) took = work + rest;
      if (shiftStartS[r]! + took > endS) endS = shiftStartS[r]! + took;
    }
    let price = costPerS[r]! * (took - work) + w * prices.s;
    if (endS > shiftEndS[r]!) {
      price += costPerOvertimeS[r]! * (endS - shiftEndS[r]!);
      if (endS > hardEndS[r]!) price += (endS - hardEndS[r]!) * prices.s;
    }
    return price;
  }

  /** Recomputes all that is derived from the order of one round. */
  function refresh(r: number): void {
    const depot = n + r;
    const rig = rigs[r]!;
    const startKey = windowKey(problem, problem.startNode[r]!, r);
    const endKey = windowKey(problem, problem.endNode[r]!, r);
    headE[depot] = windowFromS[windowLo[startKey]!]!;
    headL[depot] = windowUntilS[windowHi[startKey]! - 1]!;
    headD[depot] = headW[depot] = 0;
    tailE[depot] = windowFromS[windowLo[endKey]!]!;
    tailL[depot] = windowUntilS[windowHi[endKey]! - 1]!;
    tailD[depot] = serviceS[depot]!;
    tailW[depot] = 0;
    let a = 0;
    let b = 0;
    let stops = 0;
    let t = tripBase[r]!;
    let work = serviceS[depot]!;
    let length = 0;
    let paidS = 0;
    pos[depot] = 0;
    trip[depot] = t;
    sumA[depot] = sumB[depot] = stopsTo[depot] = workTo[depot] = 0;
    for (let k = 0; k < kinds; k++) rigidTo[depot * kinds + k] = 0;
    let u = depot;
    let at = 0;
    for (;;) {
      const v = next[u]!;
      const k = from[u]! * places + to[v]!;
      const leg = legS[k]!;
      length += rig[k]!;
      work += leg;
      if (v === depot) break;
      work += serviceS[v]!;
      paidS += serviceS[v]!;
      if (v < n) {
        a += loadA[v]!;
        b += loadB[v]!;
        stops++;
      } else {
        tripA[t] = a;
        tripB[t] = b;
        t++;
        a = 0;
        b = 0;
      }
      stopsTo[v] = stops;
      workTo[v] = workTo[u]! + leg + serviceS[v]!;
      for (let j = 0; j < kinds; j++)
        rigidTo[v * kinds + j] = rigidTo[u * kinds + j]! + rigOfKind[j]![k]! + perSOfKind[j]! * serviceS[v]!;
      pos[v] = ++at;
      trip[v] = t;
      sumA[v] = a;
      sumB[v] = b;
      route[v] = r;
      const dt = headD[u]! - headW[u]! + leg;
      const fe = fromS[v]! - dt;
      const ul = untilS[v]! - dt;
      const e = headE[u]!;
      const l = headL[u]!;
      const wait = fe > l ? fe - l : 0;
      const warp = e > ul ? e - ul : 0;
      headD[v] = headD[u]! + serviceS[v]! + leg + wait;
      headW[v] = headW[u]! + warp;
      headE[v] = (fe > e ? fe : e) - wait;
      headL[v] = (ul < l ? ul : l) + warp;
      u = v;
    }
    tripA[t] = a;
    tripB[t] = b;
    unloads[r] = t - tripBase[r]!;
    count[r] = stops;
    workS[r] = work;
    changedAt[r] = clock.moves;
    let last = depot;
    for (let v = prev[depot]!; v !== depot; v = prev[v]!) {
      const dt = serviceS[v]! + legS[from[v]! * places + to[last]!]!;
      const fe = tailE[last]! - dt;
      const ul = tailL[last]! - dt;
      const e = fromS[v]!;
      const l = untilS[v]!;
      const wait = fe > l ? fe - l : 0;
      const warp = e > ul ? e - ul : 0;
      tailD[v] = dt + tailD[last]! + wait;
      tailW[v] = tailW[last]! + warp;
      tailE[v] = (fe > e ? fe : e) - wait;
      tailL[v] = (ul < l ? ul : l) + warp;
      last = v;
    }
    overA[r] = overB[r] = 0;
    for (let k = tripBase[r]!; k <= t; k++) {
      overA[r]! += Math.max(0, tripA[k]! - capacityA[r]!);
      overB[r]! += Math.max(0, tripB[k]! - capacityB[r]!);
    }
    loadPrice[r] = overA[r]! * prices.a + overB[r]! * prices.b;
    if (at === 0) {
      slack[r] = rigid[r] = lateS[r] = 0;
      return;
    }
    rigid[r] =
      open[r]! -
      rig[from[depot]! * places + to[depot]!]! +
      length +
      costPerS[r]! * paidS +
      unloads[r]! * problem.unloadCost[r]!;
    const time = timePrice(r, u, 0, depot, work);
    slack[r] = time + loadPrice[r]!;
    const kept = prices.s;
    prices.s = kept + 1;
    lateS[r] = timePrice(r, u, 0, depot, work) - time;
    prices.s = kept;
  }

  /** When the round leaves for the shortest schedule. */
  function startS(r: number): number {
    const depot = n + r;
    const last = prev[depot]!;
    const dt = headD[last]! - headW[last]! + legS[from[last]! * places + to[depot]!]!;
    const early = tailE[depot]! - dt;
    const wait = Math.max(0, early - headL[last]!);
    return Math.max(early, headE[last]!) - wait;
  }

  function unlink(u: number): void {
    const p = prev[u]!;
    const q = next[u]!;
    next[p] = q;
    prev[q] = p;
    route[u] = -1;
  }

  function linkAfter(u: number, p: number): void {
    const q = next[p]!;
    next[p] = u;
    prev[u] = p;
    next[u] = q;
    prev[q] = u;
    route[u] = route[p]!;
  }

  /** An unloading for this vehicle, not yet in its round; −1 if it has had all of its own. */
  function takeUnload(r: number): number {
    if (unloads[r]! >= maxUnloads[r]!) return -1;
    const u = spares[--spare]!;
    const key = depotKey(problem, r);
    const node = problem.unloadNode[r]!;
    from[u] = to[u] = problem.place[node]!;
    serviceS[u] = problem.serviceS[node]!;
    fromS[u] = windowFromS[windowLo[key]!]!;
    untilS[u] = windowUntilS[windowHi[key]! - 1]!;
    return u;
  }

  /** Puts an unloading back that is in no round. */
  function giveUnload(u: number): void {
    spares[spare++] = u;
  }

  /** A round without visits has nothing to unload. */
  function dropUnloads(r: number): void {
    for (let u = next[n + r]!; u !== n + r; u = next[u]!) {
      route[u] = -1;
      giveUnload(u);
    }
    next[n + r] = prev[n + r] = n + r;
    refresh(r);
  }

  function changed(r: number, s: number): true {
    clock.moves++;
    refresh(r);
    if (count[r] === 0 && unloads[r]! > 0) dropUnloads(r);
    if (s !== r) {
      refresh(s);
      if (count[s] === 0 && unloads[s]! > 0) dropUnloads(s);
    }
    return true;
  }

  return {
    problem,
    n,
    m,
    places,
    firstUnload,
    next,
    prev,
    route,
    pos,
    trip,
    sumA,
    sumB,
    stopsTo,
    workTo,
    rigidTo,
    kinds,
    from,
    to,
    fromS,
    untilS,
    serviceS,
    mid,
    tripBase,
    tripA,
    tripB,
    count,
    unloads,
    workS,
    lateS,
    overA,
    overB,
    loadPrice,
    slack,
    rigid,
    open,
    changedAt,
    endKind,
    prices,
    clock,
    rigs,
    allowed,
    clear,
    overPrice,
    timePrice,
    refresh,
    startS,
    unlink,
    linkAfter,
    takeUnload,
    giveUnload,
    changed,
  };
}
