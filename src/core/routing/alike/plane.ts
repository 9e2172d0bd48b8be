/**
 * Places on a plane from a matrix of legs alone: classical scaling (Torgerson 1952, Psychometrika 17(4)), the two main
 * axes by power iteration. Only for directions seen from the depot, so a rough answer will do.
 */
import type { AlikeModel } from './model.ts';

/** Coordinates of each visit with the depot at the origin, in units of cost. */
export function planeOf({ n, stride, cost }: AlikeModel): { x: Float64Array; y: Float64Array } {
  const m = n + 1;
  const square = new Float64Array(m * m);
  const mean = new Float64Array(m);
  let total = 0;
  for (let i = 0; i < m; i++)
    for (let j = 0; j < m; j++) {
      const d = (cost[i * stride + j]! + cost[j * stride + i]!) / 2;
      square[i * m + j] = d * d;
      mean[i]! += (d * d) / m;
      total += (d * d) / (m * m);
    }
  for (let i = 0; i < m; i++)
    for (let j = 0; j < m; j++) square[i * m + j] = -0.5 * (square[i * m + j]! - mean[i]! - mean[j]! + total);
  const axis = (seed: number): Float64Array => {
    let v = Float64Array.from({ length: m }, (_, i) => Math.cos(seed * (i + 1)));
    let size = 0;
    for (let turn = 0; turn < 40; turn++) {
      const w = new Float64Array(m);
      for (let i = 0; i < m; i++) {
        let sum = 0;
        for (let j = 0; j < m; j++) sum += square[i * m + j]! * v[j]!;
        w[i] = sum;
      }
      size = Math.hypot(...w) || 1;
      v = w.map((x) => x / size);
    }
    for (let i = 0; i < m; i++) for (let j = 0; j < m; j++) square[i * m + j]! -= size * v[i]! * v[j]!;
    return v.map((x) => x * Math.sqrt(size));
  };
  const x = axis(1);
  const y = axis(2);
  return { x: x.map((value) => value - x[n]!), y: y.map((value) => value - y[n]!) };
}
