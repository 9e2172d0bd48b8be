/**
 * Cuts a giant tour into routes at least price (Prins 2004, Computers & OR 31(12); overload at a price as in Vidal et al.
 * 2012). Bellman over the positions; a route may carry up to 1.5 times what fits. Lateness is priced too.
 */
import type { Prices } from './local-search.ts';
import type { AlikeModel } from './model.ts';

export type Split = {
  /** Routes are `order[starts[r] … starts[r + 1] − 1]`. */
  readonly starts: Int32Array;
  cut(order: Int32Array, prices: Prices): number;
};

export function createSplit(model: AlikeModel, fleet: number): Split {
  const { n, stride, cost, loadA, loadB, capacityA, capacityB, timed, timeS, serviceS, fromS, untilS } =
    model;
  const least = new Float64Array(n + 1);
  const from = new Int32Array(n + 1);
  const starts = new Int32Array(fleet + 1);
  // For a limited number of routes, row k: with k routes.
  let layers: Float64Array | undefined;
  let layerFrom: Int32Array | undefined;
  let layer = 0;

  /** Prices every route that begins at position i; `to(j, price)` is asked for each end. */
  function extend(order: Int32Array, i: number, base: number, prices: Prices, k: number): void {
    let a = 0;
    let b = 0;
    let legs = 0;
    let last = n;
    let e = fromS[n]!;
    let l = untilS[n]!;
    let d = 0;
    let w = 0;
    for (let j = i; j < n; j++) {
      const v = order[j]!;
      a += loadA[v]!;
      b += loadB[v]!;
      if (j > i && (a > 1.5 * capacityA || b > 1.5 * capacityB)) break;
      legs += cost[last * stride + v]!;
      let late = 0;
      if (timed) {
        const leg = timeS[last * stride + v]!;
        const dt = d - w + leg;
        const fe = fromS[v]! - dt;
        const ul = untilS[v]! - dt;
        const wait = fe > l ? fe - l : 0;
        const warp = e > ul ? e - ul : 0;
        d += serviceS[v]! + leg + wait;
        w += warp;
        e = (fe > e ? fe : e) - wait;
        l = (ul < l ? ul : l) + warp;
        const ulEnd = untilS[n]! - (d - w + timeS[v * stride + n]!);
        late = w + (e > ulEnd ? e - ulEnd : 0);
      }
      last = v;
      const price =
        base +
        legs +
        cost[v * stride + n]! +
        (a > capacityA ? (a - capacityA) * prices.a : 0) +
        (b > capacityB ? (b - capacityB) * prices.b : 0) +
        late * prices.s;
      if (k < 0) {
        if (price < least[j + 1]!) {
          least[j + 1] = price;
          from[j + 1] = i;
        }
      } else if (price < layers![(k + 1) * (n + 1) + j + 1]!) {
        layers![(k + 1) * (n + 1) + j + 1] = price;
        layerFrom![(k + 1) * (n + 1) + j + 1] = i;
      }
    }
  }

  function cut(order: Int32Array, prices: Prices): number {
    least.fill(Number.POSITIVE_INFINITY);
    least[0] = 0;
    for (let i = 0; i < n; i++) extend(order, i, least[i]!, prices, -1);
    let count = 0;
    for (let j = n; j > 0; j = from[j]!) count++;
    if (count <= fleet) {
      let r = count;
      for (let j = n; j > 0; j = from[j]!) starts[r--] = j;
      starts[0] = 0;
      return count;
    }
    layers ??= new Float64Array((fleet + 1) * (n + 1));
    layerFrom ??= new Int32Array((fleet + 1) * (n + 1));
    layers.fill(Number.POSITIVE_INFINITY);
    layers[0] = 0;
    for (layer = 0; layer < fleet; layer++)
      for (let i = layer; i < n; i++) {
        const base = layers[layer * (n + 1) + i]!;
        if (base < Number.POSITIVE_INFINITY) extend(order, i, base, prices, layer);
      }
    let best = fleet;
    for (let k = 1; k <= fleet; k++) if (layers[k * (n + 1) + n]! < layers[best * (n + 1) + n]!) best = k;
    if (layers[best * (n + 1) + n] === Number.POSITIVE_INFINITY) return deal(order);
    let j = n;
    for (let k = best; k > 0; k--) {
      starts[k] = j;
      j = layerFrom[k * (n + 1) + j]!;
    }
    starts[0] = 0;
    return best;
  }

  /** Too much for the fleet even so: the same number of visits to each. */
  function deal(order: Int32Array): number {
    for (let r = 0; r <= fleet; r++) starts[r] = Math.round((order.length * r) / fleet);
    return fleet;
  }

  return { starts, cut };
}
