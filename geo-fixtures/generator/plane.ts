/** Plane geometry for drawing the town, in metres east (x) and north (y) of its south-west corner. */
export type Point = readonly [x: number, y: number];

export const ORIGIN = { lat: 46.2, lon: -19.4 }; // open sea, so that no real place lies underneath
const M_PER_DEG_LAT = 111_195;
const M_PER_DEG_LON = M_PER_DEG_LAT * Math.cos((46.218 * Math.PI) / 180);

const round6 = (degrees: number): number => Math.round(degrees * 1e6) / 1e6;
export const latOf = ([, y]: Point): number => round6(ORIGIN.lat + y / M_PER_DEG_LAT);
export const lonOf = ([x]: Point): number => round6(ORIGIN.lon + x / M_PER_DEG_LON);
/** GeoJSON order: longitude first (RFC 7946 section 3.1.1). */
export const lonLat = (p: Point): [number, number] => [lonOf(p), latOf(p)];

export const add = (a: Point, b: Point): Point => [a[0] + b[0], a[1] + b[1]];
export const sub = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1]];
export const scale = (a: Point, k: number): Point => [a[0] * k, a[1] * k];
export const length = (a: Point): number => Math.sqrt(a[0] * a[0] + a[1] * a[1]);
export const apart = (a: Point, b: Point): number => length(sub(a, b));
export const mix = (a: Point, b: Point, t: number): Point => add(a, scale(sub(b, a), t));
/** Left-hand normal of unit length. */
export const leftOf = (from: Point, to: Point): Point => {
  const d = sub(to, from);
  const l = length(d);
  return [-d[1] / l, d[0] / l];
};

/** Catmull-Rom curve through the points, `steps` pieces a span. */
export function curve(points: readonly Point[], steps: number): Point[] {
  const out: Point[] = [];
  for (let i = 0; i + 1 < points.length; i++) {
    const p0 = points[Math.max(0, i - 1)]!;
    const p1 = points[i]!;
    const p2 = points[i + 1]!;
    const p3 = points[Math.min(points.length - 1, i + 2)]!;
    for (let s = 0; s < steps; s++) {
      const t = s / steps;
      const at = (k: 0 | 1): number =>
        0.5 *
        (2 * p1[k] +
          (p2[k] - p0[k]) * t +
          (2 * p0[k] - 5 * p1[k] + 4 * p2[k] - p3[k]) * t * t +
          (3 * p1[k] - p0[k] - 3 * p2[k] + p3[k]) * t * t * t);
      out.push([at(0), at(1)]);
    }
  }
  out.push(points.at(-1)!);
  return out;
}

export function toSegment(p: Point, a: Point, b: Point): number {
  const d = sub(b, a);
  const l2 = d[0] * d[0] + d[1] * d[1];
  const t = l2 === 0 ? 0 : Math.max(0, Math.min(1, ((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / l2));
  return apart(p, mix(a, b, t));
}

export const toLine = (p: Point, line: readonly Point[]): number => {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 1; i < line.length; i++) least = Math.min(least, toSegment(p, line[i - 1]!, line[i]!));
  return least;
};

export function isInside(p: Point, ring: readonly Point[]): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [xi, yi] = ring[i]!;
    const [xj, yj] = ring[j]!;
    if (yi > p[1] !== yj > p[1] && p[0] < ((xj - xi) * (p[1] - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

/** Where two segments meet, as fractions of each; ends that touch count. */
export function meeting(a: Point, b: Point, c: Point, d: Point): readonly [number, number] | undefined {
  const r = sub(b, a);
  const s = sub(d, c);
  const cross = r[0] * s[1] - r[1] * s[0];
  if (Math.abs(cross) < 1e-9) return undefined;
  const q = sub(c, a);
  const t = (q[0] * s[1] - q[1] * s[0]) / cross;
  const u = (q[0] * r[1] - q[1] * r[0]) / cross;
  const e = 1e-6;
  return t >= -e && t <= 1 + e && u >= -e && u <= 1 + e ? [t, u] : undefined;
}

/** Douglas and Peucker (1973): drops points that lie nearer than `tolerance` to the line without them. */
export function simplify(line: readonly Point[], tolerance: number): Point[] {
  if (line.length < 3) return [...line];
  let far = 0;
  let at = 0;
  for (let i = 1; i + 1 < line.length; i++) {
    const d = toSegment(line[i]!, line[0]!, line.at(-1)!);
    if (d > far) [far, at] = [d, i];
  }
  if (far <= tolerance) return [line[0]!, line.at(-1)!];
  return [...simplify(line.slice(0, at + 1), tolerance), ...simplify(line.slice(at), tolerance).slice(1)];
}
