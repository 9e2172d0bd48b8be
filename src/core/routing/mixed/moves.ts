/**
 * Moves between visits of soft rounds: relocations and swaps of one or two visits in a row, reversals, exchanged tails.
 * Each is made if it lowers what the rounds cost, slack included. A round's slack is never below 0, so a move is looked
 * at closely only if its legs save more than the slack there is (Vidal 2022, Computers & OR 140).
 */
import type { SoftRounds } from './soft-rounds.ts';

/** Less than this is no gain: prices are not whole numbers. */
const GAIN = 1e-6;

export function createMoves(soft: SoftRounds) {
  const {
    problem,
    n,
    m,
    places,
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
    serviceS,
    mid,
  } = soft;
  const { tripBase, tripA, tripB, count, unloads, workS, loadPrice, slack, open, endKind, rigs, allowed } =
    soft;
  const { overPrice, timePrice, unlink, linkAfter, changed } = soft;
  const { legS, costPerS, loadA, loadB, maxUnloads } = problem;

  /** Price of two trips' overload with one load moved from `t` to `k`, less what it is now. */
  function movedLoad(r: number, t: number, s: number, k: number, a: number, b: number): number {
    return (
      overPrice(r, tripA[t]! - a, tripB[t]! - b) -
      overPrice(r, tripA[t]!, tripB[t]!) +
      overPrice(s, tripA[k]! + a, tripB[k]! + b) -
      overPrice(s, tripA[k]!, tripB[k]!)
    );
  }

  /** Copies the nodes from `u` to `v`, both included, to `mid` from index `i` on; the new length. */
  function copyTo(i: number, u: number, v: number): number {
    let k = i;
    for (let w = u; ; w = next[w]!) {
      mid[k++] = w;
      if (w === v) return k;
    }
  }

  function copyBack(i: number, u: number, v: number): number {
    let k = i;
    for (let w = u; ; w = prev[w]!) {
      mid[k++] = w;
      if (w === v) return k;
    }
  }

  /** `first … last` (one or two visits in a row), turned round or not, goes after `v`, which is not one of them. */
  function relocate(first: number, last: number, turn: boolean, v: number): boolean {
    const p = prev[first]!;
    if (v === p) return false;
    const x = next[last]!;
    const y = next[v]!;
    const r = route[first]!;
    const s = route[v]!;
    const head = turn ? last : first;
    const foot = turn ? first : last;
    const out = rigs[r]!;
    const into = rigs[s]!;
    const rowP = from[p]! * places;
    const rowV = from[v]! * places;
    const footRow = from[foot]! * places;
    const inner = from[first]! * places + to[last]!;
    const innerTo = from[head]! * places + to[foot]!;
    const lastRow = from[last]! * places;
    let delta =
      out[rowP + to[x]!]! -
      out[rowP + to[first]!]! -
      out[lastRow + to[x]!]! +
      into[rowV + to[head]!]! +
      into[footRow + to[y]!]! -
      into[rowV + to[y]!]!;
    if (first !== last) delta += into[innerTo]! - out[inner]!;
    if (r === s) {
      if (delta >= slack[r]!) return false;
      const forth = pos[v]! > pos[first]!;
      let k: number;
      if (forth) {
        k = copyTo(0, x, v);
        k = turn ? copyBack(k, last, first) : copyTo(k, first, last);
      } else {
        k = turn ? copyBack(0, last, first) : copyTo(0, first, last);
        k = copyTo(k, y, p);
      }
      let work =
        workS[r]! +
        legS[rowP + to[x]!]! -
        legS[rowP + to[first]!]! -
        legS[lastRow + to[x]!]! +
        legS[rowV + to[head]!]! +
        legS[footRow + to[y]!]! -
        legS[rowV + to[y]!]!;
      if (first !== last) work += legS[innerTo]! - legS[inner]!;
      let then = loadPrice[r]!;
      if (trip[first] !== trip[v]) {
        const two = first !== last;
        then += movedLoad(
          r,
          trip[first]!,
          r,
          trip[v]!,
          loadA[first]! + (two ? loadA[last]! : 0),
          loadB[first]! + (two ? loadB[last]! : 0),
        );
      }
      then += forth ? timePrice(r, p, k, y, work) : timePrice(r, v, k, x, work);
      if (delta + then > slack[r]! - GAIN) return false;
    } else {
      const two = first !== last;
      if (!allowed[first * m + s] || (two && !allowed[last * m + s])) return false;
      const servedS = serviceS[first]! + (two ? serviceS[last]! : 0);
      if (costPerS[r] !== costPerS[s]) delta += servedS * (costPerS[s]! - costPerS[r]!);
      const empties = count[r] === (two ? 2 : 1);
      if (count[s] === 0) delta += open[s]!;
      if (empties) delta -= open[r]!;
      const now = slack[r]! + slack[s]!;
      if (delta >= now) return false;
      const a = loadA[first]! + (two ? loadA[last]! : 0);
      const b = loadB[first]! + (two ? loadB[last]! : 0);
      let then = loadPrice[r]! + loadPrice[s]! + movedLoad(r, trip[first]!, s, trip[v]!, a, b);
      if (delta + then >= now) return false;
      mid[0] = head;
      mid[1] = foot;
      let work =
        workS[s]! + servedS + legS[rowV + to[head]!]! + legS[footRow + to[y]!]! - legS[rowV + to[y]!]!;
      if (two) work += legS[innerTo]!;
      then += timePrice(s, v, two ? 2 : 1, y, work);
      if (delta + then >= now) return false;
      if (!empties) {
        work =
          workS[r]! - servedS + legS[rowP + to[x]!]! - legS[rowP + to[first]!]! - legS[lastRow + to[x]!]!;
        if (two) work -= legS[inner]!;
        then += timePrice(r, p, 0, x, work);
      }
      if (delta + then > now - GAIN) return false;
    }
    unlink(first);
    if (last !== first) unlink(last);
    linkAfter(head, v);
    if (last !== first) linkAfter(foot, head);
    return changed(r, s);
  }

  /** `u … x` (one or two in a row) and `v … y` (one or two in a row) change places; they do not overlap or touch. */
  function swap(u: number, x: number, v: number, y: number): boolean {
    const p = prev[u]!;
    const q = next[x]!;
    const o = prev[v]!;
    const z = next[y]!;
    if (u === o || x === o || q === v || y === p) return false;
    const r = route[u]!;
    const s = route[v]!;
    const ofR = rigs[r]!;
    const ofS = rigs[s]!;
    const inR = from[p]! * places;
    const inS = from[o]! * places;
    const rowX = from[x]! * places;
    const rowY = from[y]! * places;
    const uToX = from[u]! * places + to[x]!;
    const vToY = from[v]! * places + to[y]!;
    let delta =
      ofR[inR + to[v]!]! +
      ofR[rowY + to[q]!]! -
      ofR[inR + to[u]!]! -
      ofR[rowX + to[q]!]! +
      ofS[inS + to[u]!]! +
      ofS[rowX + to[z]!]! -
      ofS[inS + to[v]!]! -
      ofS[rowY + to[z]!]!;
    let a = loadA[u]! - loadA[v]!;
    let b = loadB[u]! - loadB[v]!;
    let moreS = serviceS[v]! - serviceS[u]!;
    if (u !== x) {
      delta += ofS[uToX]! - ofR[uToX]!;
      a += loadA[x]!;
      b += loadB[x]!;
      moreS -= serviceS[x]! + legS[uToX]!;
    }
    if (v !== y) {
      delta += ofR[vToY]! - ofS[vToY]!;
      a -= loadA[y]!;
      b -= loadB[y]!;
      moreS += serviceS[y]! + legS[vToY]!;
    }
    const legsR = legS[inR + to[v]!]! + legS[rowY + to[q]!]! - legS[inR + to[u]!]! - legS[rowX + to[q]!]!;
    const legsS = legS[inS + to[u]!]! + legS[rowX + to[z]!]! - legS[inS + to[v]!]! - legS[rowY + to[z]!]!;
    if (r === s) {
      if (delta >= slack[r]!) return false;
      const work = workS[r]! + legsR + legsS;
      let then = loadPrice[r]!;
      if (trip[u] !== trip[v]) then += movedLoad(r, trip[u]!, r, trip[v]!, a, b);
      let k: number;
      if (pos[u]! < pos[v]!) {
        k = copyTo(0, v, y);
        k = copyTo(k, q, o);
        k = copyTo(k, u, x);
        then += timePrice(r, p, k, z, work);
      } else {
        k = copyTo(0, u, x);
        k = copyTo(k, z, p);
        k = copyTo(k, v, y);
        then += timePrice(r, o, k, q, work);
      }
      if (delta + then > slack[r]! - GAIN) return false;
    } else {
      if (!allowed[u * m + s] || !allowed[x * m + s] || !allowed[v * m + r] || !allowed[y * m + r])
        return false;
      if (costPerS[r] !== costPerS[s]) {
        const served =
          serviceS[u]! + (u === x ? 0 : serviceS[x]!) - serviceS[v]! - (v === y ? 0 : serviceS[y]!);
        delta += served * (costPerS[s]! - costPerS[r]!);
      }
      const now = slack[r]! + slack[s]!;
      if (delta >= now) return false;
      let then = loadPrice[r]! + loadPrice[s]! + movedLoad(r, trip[u]!, s, trip[v]!, a, b);
      if (delta + then >= now) return false;
      mid[0] = v;
      mid[1] = y;
      then += timePrice(r, p, v === y ? 1 : 2, q, workS[r]! + legsR + moreS);
      if (delta + then >= now) return false;
      mid[0] = u;
      mid[1] = x;
      then += timePrice(s, o, u === x ? 1 : 2, z, workS[s]! + legsS - moreS);
      if (delta + then > now - GAIN) return false;
    }
    unlink(u);
    if (x !== u) unlink(x);
    unlink(v);
    if (y !== v) unlink(y);
    linkAfter(v, p);
    if (y !== v) linkAfter(y, v);
    linkAfter(u, o);
    if (x !== u) linkAfter(x, u);
    return changed(r, s);
  }

  /** Longest stretch that is turned round. */
  const TURNED = 12;

  /** Turns `next[u] … v` round within their trip; u comes before v. */
  function reverse(u: number, v: number): boolean {
    const length = pos[v]! - pos[u]!;
    if (length < 2 || length > TURNED || trip[u] !== trip[v]) return false;
    const x = next[u]!;
    const y = next[v]!;
    const r = route[v]!;
    const rig = rigs[r]!;
    let delta = 0;
    let work = workS[r]!;
    for (let w = x; w !== v; w = next[w]!) {
      const there = from[w]! * places + to[next[w]!]!;
      const back = from[next[w]!]! * places + to[w]!;
      delta += rig[back]! - rig[there]!;
      work += legS[back]! - legS[there]!;
    }
    const rowU = from[u]! * places;
    const rowX = from[x]! * places;
    const rowV = from[v]! * places;
    delta += rig[rowU + to[v]!]! + rig[rowX + to[y]!]! - rig[rowU + to[x]!]! - rig[rowV + to[y]!]!;
    if (delta >= slack[r]!) return false;
    work += legS[rowU + to[v]!]! + legS[rowX + to[y]!]! - legS[rowU + to[x]!]! - legS[rowV + to[y]!]!;
    const k = copyBack(0, v, x);
    if (delta + timePrice(r, u, k, y, work) + loadPrice[r]! > slack[r]! - GAIN) return false;
    let p = u;
    for (let i = 0; i < k; i++) {
      next[p] = mid[i]!;
      prev[mid[i]!] = p;
      p = mid[i]!;
    }
    next[p] = y;
    prev[y] = p;
    return changed(r, r);
  }

  /** The tails of two rounds change places, unloadings and all: u goes on to next[v], v to next[u]. */
  function crossTails(u: number, v: number): boolean {
    const r = route[u]!;
    const s = route[v]!;
    if (endKind[r] !== endKind[s]) return false;
    const x = next[u]!;
    const y = next[v]!;
    const depotR = n + r;
    const depotS = n + s;
    const unloadsR = trip[u]! - tripBase[r]! + tripBase[s]! + unloads[s]! - trip[v]!;
    if (unloadsR > maxUnloads[r]! || unloads[r]! + unloads[s]! - unloadsR > maxUnloads[s]!) return false;
    const ofR = rigs[r]!;
    const ofS = rigs[s]!;
    const rowU = from[u]! * places;
    const rowV = from[v]! * places;
    const toX = to[x]!;
    const toY = to[y]!;
    const lastR = prev[depotR]!;
    const lastS = prev[depotS]!;
    let deltaR = ofR[rowU + toY]! - ofR[rowU + toX]!;
    let deltaS = ofS[rowV + toX]! - ofS[rowV + toY]!;
    let movedR = 0;
    let movedS = 0;
    let visitsX = 0;
    let visitsY = 0;
    const kindR = problem.kind[r]!;
    const kindS = problem.kind[s]!;
    // The tails themselves, driven by the other vehicle, and their way home.
    if (x !== depotR) {
      const home = from[lastR]! * places + to[depotR]!;
      movedR = workTo[lastR]! - workTo[x]! + serviceS[x]! + legS[home]!;
      visitsX = count[r]! - stopsTo[u]!;
      if (kindR !== kindS) {
        const last = lastR * kinds;
        deltaR -=
          rigidTo[last + kindR]! - rigidTo[x * kinds + kindR]! + ofR[home]! + costPerS[r]! * serviceS[x]!;
        deltaS +=
          rigidTo[last + kindS]! - rigidTo[x * kinds + kindS]! + ofS[home]! + costPerS[s]! * serviceS[x]!;
      }
    }
    if (y !== depotS) {
      const home = from[lastS]! * places + to[depotS]!;
      movedS = workTo[lastS]! - workTo[y]! + serviceS[y]! + legS[home]!;
      visitsY = count[s]! - stopsTo[v]!;
      if (kindR !== kindS) {
        const last = lastS * kinds;
        deltaS -=
          rigidTo[last + kindS]! - rigidTo[y * kinds + kindS]! + ofS[home]! + costPerS[s]! * serviceS[y]!;
        deltaR +=
          rigidTo[last + kindR]! - rigidTo[y * kinds + kindR]! + ofR[home]! + costPerS[r]! * serviceS[y]!;
      }
    }
    const leftR = count[r]! - visitsX + visitsY;
    const leftS = count[s]! - visitsY + visitsX;
    if (count[r] === 0) deltaR += open[r]!;
    if (leftR === 0) deltaR -= open[r]!;
    if (count[s] === 0) deltaS += open[s]!;
    if (leftS === 0) deltaS -= open[s]!;
    const now = slack[r]! + slack[s]!;
    const delta = deltaR + deltaS;
    if (delta >= now) return false;
    // Trips ahead of the cut stay, those behind it go along; the two that are cut are joined crosswise.
    const tu = trip[u]!;
    const tv = trip[v]!;
    const aU = sumA[u]!;
    const bU = sumB[u]!;
    const aV = sumA[v]!;
    const bV = sumB[v]!;
    let then =
      overPrice(r, aU + tripA[tv]! - aV, bU + tripB[tv]! - bV) +
      overPrice(s, aV + tripA[tu]! - aU, bV + tripB[tu]! - bU);
    for (let t = tripBase[r]!; t < tu; t++) then += overPrice(r, tripA[t]!, tripB[t]!);
    for (let t = tv + 1; t <= tripBase[s]! + unloads[s]!; t++) then += overPrice(r, tripA[t]!, tripB[t]!);
    for (let t = tripBase[s]!; t < tv; t++) then += overPrice(s, tripA[t]!, tripB[t]!);
    for (let t = tu + 1; t <= tripBase[r]! + unloads[r]!; t++) then += overPrice(s, tripA[t]!, tripB[t]!);
    if (delta + then >= now) return false;
    if (leftR > 0)
      then += timePrice(r, u, 0, y, workS[r]! - movedR + movedS + legS[rowU + toY]! - legS[rowU + toX]!);
    if (delta + then >= now) return false;
    if (leftS > 0)
      then += timePrice(s, v, 0, x, workS[s]! - movedS + movedR + legS[rowV + toX]! - legS[rowV + toY]!);
    if (delta + then > now - GAIN) return false;
    for (let w = x; w !== depotR; w = next[w]!) if (w < n && !allowed[w * m + s]) return false;
    for (let w = y; w !== depotS; w = next[w]!) if (w < n && !allowed[w * m + r]) return false;
    join(u, y === depotS ? depotR : y);
    if (y !== depotS) join(lastS, depotR);
    join(v, x === depotR ? depotS : x);
    if (x !== depotR) join(lastR, depotS);
    return changed(r, s);
  }

  function join(u: number, v: number): void {
    next[u] = v;
    prev[v] = u;
  }

  /** All moves of u next to v, both in rounds; true if one was made. */
  function tryPair(u: number, v: number): boolean {
    const o = prev[v]!;
    if (relocate(u, u, false, v) || (o !== u && relocate(u, u, false, o))) return true;
    if (u < v && swap(u, u, v, v)) return true;
    const x = next[u]!;
    if (x < n && x !== v) {
      if (relocate(u, x, false, v) || relocate(u, x, true, v) || swap(u, x, v, v)) return true;
      const y = next[v]!;
      if (u < v && y < n && y !== u && swap(u, x, v, y)) return true;
    }
    if (route[u] === route[v]) return reverse(u, v);
    return crossTails(u, v) || crossTails(u, o);
  }

  return { relocate, crossTails, tryPair };
}
