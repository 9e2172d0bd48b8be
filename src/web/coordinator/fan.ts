/** Paths of a fan and its middle line, by d3-shape, in a box of 1000 × 100. */
import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import type { Instant, Kg } from '../../core/quantity/units.ts';
import { at2 } from './day-scale.ts';

export const BOX_W = 1000;
export const BOX_H = 100;

/** kg → y in the box; 0 at the bottom, `topKg` at the top. */
export const kgScale = (topKg: Kg): ((kg: Kg) => number) =>
  scaleLinear().domain([0, topKg]).range([BOX_H, 0]);

export type Placed = { readonly at: Instant; readonly lowKg: Kg; readonly highKg: Kg };

/** `x` gives per cent of the width. */
export function fanPath(
  points: readonly Placed[],
  x: (at: Instant) => number,
  y: (kg: Kg) => number,
): string {
  return (
    area<Placed>()
      .x((p) => at2((x(p.at) * BOX_W) / 100))
      .y0((p) => at2(y(p.lowKg)))
      .y1((p) => at2(y(p.highKg)))([...points]) ?? ''
  );
}

export function linePath(
  points: readonly { readonly at: Instant; readonly kg: Kg }[],
  x: (at: Instant) => number,
  y: (kg: Kg) => number,
): string {
  return (
    line<{ at: Instant; kg: Kg }>()
      .x((p) => at2((x(p.at) * BOX_W) / 100))
      .y((p) => at2(y(p.kg)))([...points]) ?? ''
  );
}
