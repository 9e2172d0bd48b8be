/**
 * Marks that do not cover each other and names that do not cross: first marks are spread apart, then each name takes the
 * best free place around its mark, the important ones first (greedy point-feature labelling; Christensen, Marks & Shieber
 * 1995, An Empirical Study of Algorithms for Point-Feature Label Placement, ACM Transactions on Graphics 14(3); the order
 * of places is Yoeli's, 1972, The Logic of Automated Map Lettering). Server and browser use the same functions.
 */
import type { Box, Point } from './plane.ts';

/** Rounds of pushing: far more than a town needs, few enough for a page. */
const PUSHES = 60;

/**
 * Centres moved as little as needed until no two are nearer than `apart`, or nearly so; the last `held` of them stay.
 * Marks at the very same place part in the order given. Deterministic.
 */
export function spreadApart(points: readonly Point[], apart: number, held = 0): Point[] {
  const at = points.map(({ x, y }) => ({ x, y }));
  const free = at.length - held;
  for (let push = 0; push < PUSHES; push++) {
    let moved = false;
    for (let i = 0; i < free; i++)
      for (let j = i + 1; j < at.length; j++) {
        let dx = at[j]!.x - at[i]!.x;
        let dy = at[j]!.y - at[i]!.y;
        let distance = Math.hypot(dx, dy);
        if (distance >= apart - 1e-6) continue;
        if (distance < 1e-6) [dx, dy, distance] = [Math.cos(i + j), Math.sin(i + j), 1];
        const by = apart - Math.hypot(at[j]!.x - at[i]!.x, at[j]!.y - at[i]!.y);
        const [own, other] = j < free ? [by / 2, by / 2] : [by, 0];
        at[i]!.x -= (own * dx) / distance;
        at[i]!.y -= (own * dy) / distance;
        at[j]!.x += (other * dx) / distance;
        at[j]!.y += (other * dy) / distance;
        moved = true;
      }
    if (!moved) break;
  }
  return at;
}

export type ToLabel = {
  readonly at: Point;
  /** Half the mark's size: the name keeps this far from its middle. */
  readonly radius: number;
  readonly width: number;
  readonly height: number;
};

export type LabelPlace = {
  readonly box: Box;
  /** Where the text is tied: its start, middle or end lies on the side of the mark. */
  readonly anchor: 'start' | 'middle' | 'end';
  /** Stands off so far that a line should join it to its mark. */
  readonly isFar: boolean;
};

/** Right above, right below, left above, left below, above, below, right, left. */
const AROUND: readonly (readonly [dx: -1 | 0 | 1, dy: -1 | 0 | 1])[] = [
  [1, 0],
  [1, -1],
  [1, 1],
  [-1, 0],
  [-1, -1],
  [-1, 1],
  [0, -1],
  [0, 1],
];
const GAP = 3;
/** How far off a name may stand, in units: close first, then with a line to its mark. */
const STAND_OFFS = [0, 16, 34, 56];

export const overlaps = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

/**
 * A place for each name, in the order of importance given; nothing for a name that finds no room. No name covers
 * another, a mark (`taken`) or the edge of the picture; among free places the one that crosses the fewest `lines` wins.
 */
export function placeLabels(
  labels: readonly ToLabel[],
  {
    picture,
    taken,
    lines,
    mayStandOff = true,
    mayCross = true,
  }: {
    readonly picture: Box;
    readonly taken: readonly Box[];
    readonly lines: readonly (readonly Point[])[];
    readonly mayStandOff?: boolean;
    /** Without it a name that no place keeps clear of every line is left out. */
    readonly mayCross?: boolean;
  },
): (LabelPlace | undefined)[] {
  const placed: Box[] = [...taken];
  return labels.map((label) => {
    let best: { readonly place: LabelPlace; readonly cost: number } | undefined;
    for (const [ring, off] of STAND_OFFS.entries()) {
      if (ring > 0 && (!mayStandOff || best)) break;
      for (const [rank, side] of AROUND.entries()) {
        const place = placeOn(label, side, off);
        if (!isInside(place.box, picture) || placed.some((box) => overlaps(box, place.box))) continue;
        const crossed = crossings(place.box, lines);
        if (crossed > 0 && !mayCross) continue;
        const cost = rank + 12 * crossed;
        if (!best || cost < best.cost) best = { place, cost };
      }
    }
    if (best) placed.push(best.place.box);
    return best?.place;
  });
}

function placeOn(
  { at, radius, width, height }: ToLabel,
  [dx, dy]: readonly [number, number],
  off: number,
): LabelPlace {
  // On a slant the mark is a circle: its edge is nearer on both axes.
  const reach = (radius + GAP + off) * (dx !== 0 && dy !== 0 ? Math.SQRT1_2 : 1);
  const x = at.x + dx * reach;
  const y = at.y + dy * reach;
  const left = dx > 0 ? x : dx < 0 ? x - width : x - width / 2;
  const top = dy > 0 ? y : dy < 0 ? y - height : y - height / 2;
  return {
    box: { left, top, right: left + width, bottom: top + height },
    anchor: dx > 0 ? 'start' : dx < 0 ? 'end' : 'middle',
    isFar: off > 0,
  };
}

const isInside = (box: Box, picture: Box): boolean =>
  box.left >= picture.left &&
  box.top >= picture.top &&
  box.right <= picture.right &&
  box.bottom <= picture.bottom;

const crossings = (box: Box, lines: readonly (readonly Point[])[]): number =>
  lines.reduce(
    (sum, line) => sum + line.reduce((n, p, i) => (i > 0 && crosses(box, line[i - 1]!, p) ? n + 1 : n), 0),
    0,
  );

/** Whether a segment touches the box (clipping after Liang & Barsky 1984). */
export function crosses(box: Box, a: Point, b: Point): boolean {
  let from = 0;
  let until = 1;
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  for (const [p, q] of [
    [-dx, a.x - box.left],
    [dx, box.right - a.x],
    [-dy, a.y - box.top],
    [dy, box.bottom - a.y],
  ] as const) {
    if (p === 0) {
      if (q < 0) return false;
      continue;
    }
    const t = q / p;
    if (p < 0) from = Math.max(from, t);
    else until = Math.min(until, t);
    if (from > until) return false;
  }
  return true;
}
