/** Lines on a picture: thinned, moved to their own side of the street, and pointed the way they are driven. */
import type { Point } from './plane.ts';

/**
 * The line without the points that lie within `tolerance` of what is left (Ramer 1972; Douglas & Peucker 1973). Both
 * ends stay. Worst case n²; lines of a map are hundreds of points.
 */
export function thinned(line: readonly Point[], tolerance: number): Point[] {
  if (line.length <= 2) return [...line];
  const isKept = new Uint8Array(line.length);
  isKept[0] = isKept[line.length - 1] = 1;
  const open: [number, number][] = [[0, line.length - 1]];
  for (let span = open.pop(); span; span = open.pop()) {
    const [from, to] = span;
    let far = -1;
    let farthest = tolerance;
    for (let i = from + 1; i < to; i++) {
      const away = distanceToSegment(line[i]!, line[from]!, line[to]!);
      if (away > farthest) [far, farthest] = [i, away];
    }
    if (far < 0) continue;
    isKept[far] = 1;
    open.push([from, far], [far, to]);
  }
  return line.filter((_, i) => isKept[i] === 1);
}

export function distanceToSegment(p: Point, a: Point, b: Point): number {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const length2 = dx * dx + dy * dy;
  const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length2));
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

/** At a sharp bend the corner would run away: it is held to this many times the distance. */
const MAX_MITRE = 2;

/**
 * The same line `aside` to the right of its direction of travel (to the left if negative), so that the way there and
 * the way back along one street can be told apart. y counts downwards.
 */
export function movedAside(line: readonly Point[], aside: number): Point[] {
  const steps = line.filter((p, i) => i === 0 || p.x !== line[i - 1]!.x || p.y !== line[i - 1]!.y);
  if (steps.length < 2) return steps;
  const right = steps.slice(1).map((to, i) => {
    const from = steps[i]!;
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    return { x: -(to.y - from.y) / length, y: (to.x - from.x) / length };
  });
  return steps.map((p, i) => {
    const before = right[Math.max(0, i - 1)]!;
    const after = right[Math.min(right.length - 1, i)]!;
    const x = before.x + after.x;
    const y = before.y + after.y;
    const length2 = x * x + y * y;
    // The corner where both moved segments meet lies at 2 (a + b) / |a + b|²; turning round, there is none.
    const share = length2 < 1e-9 ? 0 : Math.min(2 / length2, MAX_MITRE / Math.sqrt(length2));
    return share === 0
      ? { x: p.x + aside * before.x, y: p.y + aside * before.y }
      : { x: p.x + aside * share * x, y: p.y + aside * share * y };
  });
}

export const lengthOf = (line: readonly Point[]): number =>
  line.reduce((sum, p, i) => (i === 0 ? 0 : sum + Math.hypot(p.x - line[i - 1]!.x, p.y - line[i - 1]!.y)), 0);

export type Heading = Point & {
  /** Clockwise from the x axis, as screens turn. */
  readonly degrees: number;
};

/** A point at a share (0 to 1) of the line's length, and where the line goes there; nothing on a line without length. */
export function headingAt(line: readonly Point[], share: number): Heading | undefined {
  let left = lengthOf(line) * share;
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1]!;
    const b = line[i]!;
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    if (length === 0) continue;
    if (left <= length || i === line.length - 1) {
      const t = Math.min(1, left / length);
      const degrees = (Math.atan2(b.y - a.y, b.x - a.x) * 180) / Math.PI;
      return { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y), degrees };
    }
    left -= length;
  }
  return undefined;
}
