/**
 * The small signs of the sheet. Each has a shape of its own, so that colour is never the only difference, and a
 * title that says what it stands for. They are drawn in pixels around (0, 0) and placed by per cent of the width.
 */
import type { Child } from 'hono/jsx';
import { at2 } from './day-scale.ts';

export type MarkKind = 'visit' | 'promise' | 'usual' | 'booking' | 'surge' | 'short';

const SHAPES: { readonly [kind in MarkKind]: string } = {
  visit: 'M-5.5 -4H5.5L0 5Z',
  promise: 'M-4 -4H4V4H-4Z',
  usual: 'M-4 0A4 4 0 1 1 4 0A4 4 0 1 1 -4 0Z',
  booking: 'M0 -5.5L5.5 0L0 5.5L-5.5 0Z',
  surge: 'M0 -6V6M-5.2 -3L5.2 3M-5.2 3L5.2 -3',
  short: 'M0 -6L6 5H-6Z',
};

export const per = (value: number): string => `${at2(value)}%`;

/** A sign at `x` per cent and `yPx` pixels. */
export const Mark = ({
  kind,
  x,
  yPx,
  title,
}: {
  readonly kind: MarkKind;
  readonly x: number;
  readonly yPx: number;
  readonly title: string;
}) => (
  <svg x={per(x)} y={yPx} width="1" height="1" overflow="visible" class={`mark-${kind}`}>
    <title>{title}</title>
    <path d={SHAPES[kind]} />
  </svg>
);

/** The sign alone, for the key. */
export const Sign = ({ kind }: { readonly kind: MarkKind }) => (
  <svg class={`sign mark-${kind}`} viewBox="-8 -8 16 16" width="16" height="16" aria-hidden="true">
    <path d={SHAPES[kind]} />
  </svg>
);

/**
 * A drawing that stretches with its column: shapes in a box of 1000 × 100, lines that keep their width.
 * `children` are paths in that box.
 */
export const Stretch = ({
  y = 0,
  height,
  children,
}: {
  readonly y?: number;
  readonly height: number;
  readonly children?: Child;
}) => (
  <svg
    x="0"
    y={y}
    width="100%"
    height={height}
    viewBox="0 0 1000 100"
    preserveAspectRatio="none"
    class="stretch"
    aria-hidden="true"
  >
    {children}
  </svg>
);

/** Patterns and clips that all drawings of a sheet share; once a page. */
export const SheetDefs = ({ brimY }: { readonly brimY: number }) => (
  <svg class="unseen" width="1" height="1" aria-hidden="true" focusable="false">
    <defs>
      <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line class="hatch-line" x1="0" y1="0" x2="0" y2="6" />
      </pattern>
      <clipPath id="over-brim">
        <rect x="0" y="-400" width="1000" height={at2(400 + brimY)} />
      </clipPath>
      <clipPath id="under-brim">
        <rect x="0" y={at2(brimY)} width="1000" height={at2(100 - brimY)} />
      </clipPath>
    </defs>
  </svg>
);
