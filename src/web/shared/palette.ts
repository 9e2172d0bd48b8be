/**
 * The inks and films of every page. Two printings of the same sheet: ink on paper by day, chalk on slate by
 * night. `tests/web/shared/contrast.test.ts` computes WCAG 2.2 contrast (SC 1.4.3, 1.4.11) over this table, so a
 * colour that cannot be read does not pass.
 */

/** Names of colours as they appear in the stylesheet, `var(--ink)`. */
export const INKS = [
  'paper', // the sheet
  'leaf', // a second leaf laid on it: bands, forms
  'ink', // text, strong rules
  'soft', // secondary text
  'rule', // hairlines that only guide the eye
  'edge', // outlines of controls and of marks that carry meaning
  'stock', // film in the workshop's store
  'fill', // film waiting at a site
  'draw', // what production takes
  'brim', // overflow, shortage, a broken promise
  'surge', // a burst after an event
  'link', // links and buttons
] as const;
export type Ink = (typeof INKS)[number];
export type Palette = { readonly [ink in Ink]: string };

export const DAY: Palette = {
  paper: '#f7f8f5',
  leaf: '#eceee8',
  ink: '#14202b',
  soft: '#4b5862',
  rule: '#cfd5d2',
  edge: '#77838a',
  stock: '#1a5f99',
  fill: '#0b6f66',
  draw: '#8f4f00',
  brim: '#b01240',
  surge: '#6a3fb5',
  link: '#0d4f86',
};

export const NIGHT: Palette = {
  paper: '#11181e',
  leaf: '#1a242b',
  ink: '#e9edea',
  soft: '#a9b5ba',
  rule: '#2f3d46',
  edge: '#78868e',
  stock: '#74b8f0',
  fill: '#4fcbbb',
  draw: '#efb056',
  brim: '#ff8aa5',
  surge: '#b7a4ff',
  link: '#8cc4f5',
};

const declare = (palette: Palette): string => INKS.map((ink) => `--${ink}: ${palette[ink]};`).join(' ');

/** Both printings as CSS; paper always prints by day. */
export const paletteCss = `:root { color-scheme: light dark; ${declare(DAY)} --blend: multiply; }
@media screen and (prefers-color-scheme: dark) { :root { ${declare(NIGHT)} --blend: screen; } }
`;
