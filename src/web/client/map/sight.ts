/** What of a map is seen: the part of the drawing in the window, moved and drawn closer, never past its edges. */
import type { Point } from '../../../core/mapping/plane.ts';

export type Sight = { readonly x: number; readonly y: number; readonly closer: number };
export type Size = { readonly width: number; readonly height: number };

const CLOSEST = 8;
export const WHOLE: Sight = { x: 0, y: 0, closer: 1 };

const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

const kept = (sight: Sight, { width, height }: Size): Sight => ({
  ...sight,
  x: clamp(sight.x, 0, width - width / sight.closer),
  y: clamp(sight.y, 0, height - height / sight.closer),
});

/** `times` closer (or farther, below 1); the point of the drawing stays where it is in the window. */
export function closer(sight: Sight, size: Size, times: number, { x, y }: Point): Sight {
  const next = clamp(sight.closer * times, 1, CLOSEST);
  const share = sight.closer / next;
  return kept({ x: x - (x - sight.x) * share, y: y - (y - sight.y) * share, closer: next }, size);
}

/** By units of the drawing. */
export const moved = (sight: Sight, size: Size, by: Point): Sight =>
  kept({ ...sight, x: sight.x + by.x, y: sight.y + by.y }, size);

export const middleOf = (sight: Sight, { width, height }: Size): Point => ({
  x: sight.x + width / sight.closer / 2,
  y: sight.y + height / sight.closer / 2,
});
