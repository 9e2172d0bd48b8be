/** Colours that can be read: WCAG 2.2, SC 1.4.3 and 1.4.11, computed by the standard's own formula. */
import { expect, test } from 'vitest';
import { DAY, type Ink, NIGHT, type Palette } from '../../../src/web/shared/palette.ts';

type Rgb = readonly [number, number, number];
const rgb = (hex: string): Rgb =>
  [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16)) as unknown as Rgb;

/** Relative luminance (WCAG 2.2, "relative luminance"; threshold 0.04045 as in the editors' draft). */
function luminance(colour: Rgb): number {
  const [r, g, b] = colour.map((c) => {
    const s = c / 255;
    return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

function contrast(a: Rgb, b: Rgb): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light! + 0.05) / (dark! + 0.05);
}

/** A film of `top` at `alpha` over `under`, without a blend mode (the lighter case for dark ink on paper). */
const over = (top: Rgb, under: Rgb, alpha: number): Rgb =>
  top.map((c, i) => c * alpha + under[i]! * (1 - alpha)) as unknown as Rgb;

test('the formula gives the known greys on white', () => {
  // Computed in facts.md F8 from WCAG's formula: #767676 passes 4.5 on white, #777777 does not.
  expect(contrast(rgb('#000000'), rgb('#ffffff'))).toBeCloseTo(21, 6);
  expect(contrast(rgb('#767676'), rgb('#ffffff'))).toBeCloseTo(4.5422, 4);
  expect(contrast(rgb('#777777'), rgb('#ffffff'))).toBeCloseTo(4.4781, 4);
  expect(contrast(rgb('#949494'), rgb('#ffffff'))).toBeCloseTo(3.0335, 4);
});

const PRINTINGS: readonly (readonly [string, Palette])[] = [
  ['by day', DAY],
  ['by night', NIGHT],
];
const TEXT: readonly Ink[] = ['ink', 'soft', 'link', 'brim', 'fill', 'stock', 'draw', 'surge'];

for (const [name, palette] of PRINTINGS) {
  const of = (ink: Ink) => rgb(palette[ink]);

  test.each(TEXT)(`${name}, %s can be read as text on paper and on a leaf (4.5:1)`, (ink) => {
    expect(contrast(of(ink), of('paper'))).toBeGreaterThanOrEqual(4.5);
    expect(contrast(of(ink), of('leaf'))).toBeGreaterThanOrEqual(4.5);
  });

  test(`${name}, the words on a filled button can be read (4.5:1)`, () => {
    expect(contrast(of('paper'), of('link'))).toBeGreaterThanOrEqual(4.5);
    expect(contrast(of('paper'), of('ink'))).toBeGreaterThanOrEqual(4.5);
  });

  test(`${name}, outlines of controls and of meaningful marks stand out (3:1)`, () => {
    expect(contrast(of('edge'), of('paper'))).toBeGreaterThanOrEqual(3);
  });

  test(`${name}, lines and small print still stand out on the films they lie on`, () => {
    for (const film of ['fill', 'brim', 'stock', 'draw'] as const) {
      const ground = over(of(film), of('paper'), 0.36);
      expect(contrast(of('ink'), ground), `ink on ${film}`).toBeGreaterThanOrEqual(4.5);
    }
    // The middle line of a fan on its own film, two layers deep.
    for (const film of ['fill', 'stock'] as const)
      expect(contrast(of(film), over(of(film), of('paper'), 0.36)), film).toBeGreaterThanOrEqual(3);
  });
}
