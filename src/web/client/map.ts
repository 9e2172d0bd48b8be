/**
 * Moves a map and draws it closer: by wheel, by dragging, by keys and by buttons. The drawing is whole without this script;
 * only its view box changes, and signs and names keep their size through `--keep`.
 */
import { roundLengthM } from '../../core/mapping/plane.ts';
import { showCards } from './map/card.ts';
import { namesOf } from './map/names.ts';
import { closer, middleOf, moved, type Sight, type Size, WHOLE } from './map/sight.ts';

const STEP = 1.5;
/** Of what is seen, by an arrow key. */
const STRIDE = 0.15;

for (const figure of document.querySelectorAll<HTMLElement>('[data-map-figure]')) {
  const svg = figure.querySelector<SVGSVGElement>('svg[data-map]');
  const frame = svg?.closest<HTMLElement>('.map-window');
  if (svg && frame) liven(figure, frame, svg);
}

function liven(figure: HTMLElement, frame: HTMLElement, svg: SVGSVGElement): void {
  const size: Size = { width: Number(svg.dataset['width']), height: Number(svg.dataset['height']) };
  const unitsPerM = Number(svg.dataset['unitsPerM']);
  const layNames = namesOf(svg);
  let sight = WHOLE;

  const look = (next: Sight): void => {
    if (next === sight) return;
    sight = next;
    const { x, y, closer: times } = sight;
    svg.setAttribute('viewBox', `${x} ${y} ${size.width / times} ${size.height / times}`);
    svg.style.setProperty('--keep', String(1 / times));
    layNames(sight, size);
    drawBar(svg, sight, size, unitsPerM);
    tools.whole.disabled = times === 1;
  };
  const step = (times: number): void => look(closer(sight, size, times, middleOf(sight, size)));
  const tools = makeTools(figure, {
    in: () => step(STEP),
    out: () => step(1 / STEP),
    whole: () => look(WHOLE),
  });
  tools.whole.disabled = true;

  frame.addEventListener('keydown', (event) => {
    if (event.target !== frame || event.ctrlKey || event.metaKey || event.altKey) return;
    const stride = { x: (STRIDE * size.width) / sight.closer, y: (STRIDE * size.height) / sight.closer };
    const acts: { readonly [key: string]: () => void } = {
      '+': () => step(STEP),
      '=': () => step(STEP),
      '-': () => step(1 / STEP),
      '0': () => look(WHOLE),
      ArrowLeft: () => look(moved(sight, size, { x: -stride.x, y: 0 })),
      ArrowRight: () => look(moved(sight, size, { x: stride.x, y: 0 })),
      ArrowUp: () => look(moved(sight, size, { x: 0, y: -stride.y })),
      ArrowDown: () => look(moved(sight, size, { x: 0, y: stride.y })),
    };
    const act = acts[event.key];
    // The whole map leaves the arrow keys to the page.
    if (!act || (sight.closer === 1 && event.key.startsWith('Arrow'))) return;
    event.preventDefault();
    act();
  });

  // A wheel over a map on the way down a page scrolls the page; over a map that was chosen, it draws closer.
  frame.addEventListener(
    'wheel',
    (event) => {
      const isChosen = frame.contains(document.activeElement);
      if (!isChosen && !event.ctrlKey && !event.metaKey) return;
      event.preventDefault();
      look(closer(sight, size, Math.exp(-event.deltaY / 300), pointOf(svg, event)));
    },
    { passive: false },
  );

  // Fingers scroll the window itself; a mouse takes hold of the drawing.
  let held: { x: number; y: number; isMoved: boolean } | undefined;
  svg.addEventListener('pointerdown', (event) => {
    if (event.pointerType === 'touch' || event.button !== 0 || sight.closer === 1) return;
    held = { x: event.clientX, y: event.clientY, isMoved: false };
  });
  addEventListener('pointermove', (event) => {
    if (!held) return;
    const unitsPerPx = size.width / sight.closer / svg.clientWidth;
    const by = { x: (held.x - event.clientX) * unitsPerPx, y: (held.y - event.clientY) * unitsPerPx };
    if (!held.isMoved && Math.hypot(event.clientX - held.x, event.clientY - held.y) < 4) return;
    svg.classList.add('is-held');
    held = { x: event.clientX, y: event.clientY, isMoved: true };
    look(moved(sight, size, by));
  });
  addEventListener('pointerup', () => {
    svg.classList.remove('is-held');
    // The click that ends a movement is not meant for the mark under it.
    if (held?.isMoved)
      svg.addEventListener('click', (event) => event.preventDefault(), { once: true, capture: true });
    held = undefined;
  });
  // On a phone the drawing is wider than its window: begin with the workshop in the middle.
  const home = svg.querySelector('[data-home]')?.getBoundingClientRect();
  if (home) {
    const around = frame.getBoundingClientRect();
    frame.scrollLeft = home.left - around.left - frame.clientWidth / 2;
    frame.scrollTop = home.top - around.top - frame.clientHeight / 2;
  }
  svg.addEventListener('dragstart', (event) => event.preventDefault());

  showCards(figure, svg);
}

function pointOf(svg: SVGSVGElement, event: MouseEvent): DOMPoint {
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM()?.inverse());
}

function makeTools(figure: HTMLElement, acts: { readonly [name in 'in' | 'out' | 'whole']: () => void }) {
  const bar = document.createElement('div');
  bar.className = 'map-tools on-screen';
  const button = (text: string, label: string, act: () => void): HTMLButtonElement => {
    const made = document.createElement('button');
    made.type = 'button';
    made.textContent = text;
    made.setAttribute('aria-label', label);
    made.addEventListener('click', act);
    bar.append(made);
    return made;
  };
  button('+', 'Draw the map closer', acts.in);
  button('\u2212', 'Draw the map from farther off', acts.out);
  const whole = button('Whole', 'Show the whole map', acts.whole);
  figure.prepend(bar);
  return { whole };
}

/** The bar of the scale stays in its corner and says a round length again. */
function drawBar(svg: SVGSVGElement, { x, y, closer: times }: Sight, size: Size, unitsPerM: number): void {
  const group = svg.querySelector('[data-scale]');
  const bar = group?.querySelector('[data-bar]');
  const text = group?.querySelector('[data-bar-text]');
  if (!group || !bar || !text) return;
  const metres = roundLengthM(180 / (unitsPerM * times));
  const end = 20 + metres * unitsPerM * times;
  group.setAttribute('transform', `translate(${x} ${y}) scale(${1 / times})`);
  bar.setAttribute('d', `M20 ${size.height - 26}v8H${end}v-8`);
  text.setAttribute('x', String(end + 6));
  text.textContent = metres >= 1000 ? `${metres / 1000}\u00a0km` : `${metres}\u00a0m`;
}
