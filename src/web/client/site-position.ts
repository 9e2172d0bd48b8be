/**
 * On the map of one site: its place is taken hold of and put elsewhere, or pressed where it should be; the form's figures
 * follow, and the place follows the figures. Nothing is kept before the form is sent.
 */
import { type Point, planeAround } from '../../core/mapping/plane.ts';

const form = document.querySelector<HTMLFormElement>('form[data-position]');
const svg = document.querySelector<SVGSVGElement>('svg[data-map]');
const mark = svg?.querySelector<SVGGElement>('[data-moved]');
if (form && svg && mark) liven(form, svg, mark);

function liven(form: HTMLFormElement, svg: SVGSVGElement, mark: SVGGElement): void {
  const number = (name: string): number => Number(form.dataset[name]);
  const plane = planeAround({ lat: number('homeLat'), lon: number('homeLon') });
  const unitsPerM = Number(svg.dataset['unitsPerM']);
  const lat = form.elements.namedItem('lat') as HTMLInputElement;
  const lon = form.elements.namedItem('lon') as HTMLInputElement;
  const said = form.querySelector('[data-moved-by]');
  const before = plane.toPlane({ lat: number('lat'), lon: number('lon') });
  // The mark stands where the form's figures are: from there the picture and the plane are told apart.
  const [x0 = 0, y0 = 0] = (mark.getAttribute('transform') ?? '').match(/-?[\d.]+/g)?.map(Number) ?? [];
  const shown = plane.toPlane({ lat: degrees(lat), lon: degrees(lon) });
  const toPlane = ({ x, y }: Point): Point => ({
    x: shown.x + (x - x0) / unitsPerM,
    y: shown.y + (y - y0) / unitsPerM,
  });
  const toPicture = ({ x, y }: Point): Point => ({
    x: x0 + (x - shown.x) * unitsPerM,
    y: y0 + (y - shown.y) * unitsPerM,
  });
  if (!Number.isFinite(shown.x + shown.y)) return;

  const put = (at: Point): void => {
    mark.setAttribute('transform', `translate(${at.x} ${at.y})`);
    const there = toPlane(at);
    const metres = Math.round(Math.hypot(there.x - before.x, there.y - before.y));
    if (said)
      said.textContent =
        metres === 0 ? 'As the register has it.' : `${metres}\u00a0m from where the register has it.`;
  };
  const write = (at: Point): void => {
    put(at);
    const position = plane.toPosition(toPlane(at));
    lat.value = position.lat.toFixed(6);
    lon.value = position.lon.toFixed(6);
  };
  const pointOf = (event: PointerEvent): Point =>
    new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM()?.inverse());

  let isHeld = false;
  mark.addEventListener('pointerdown', (event) => {
    isHeld = true;
    mark.setPointerCapture(event.pointerId);
    // The map itself is not to move with it, nor the page under a finger.
    event.stopPropagation();
    event.preventDefault();
  });
  mark.addEventListener('pointermove', (event) => {
    if (isHeld) write(pointOf(event));
  });
  for (const end of ['pointerup', 'pointercancel'] as const)
    mark.addEventListener(end, () => {
      isHeld = false;
    });
  svg.addEventListener('click', (event) => {
    if (
      event.defaultPrevented ||
      !(event.target instanceof Element) ||
      event.target.closest('a, [data-moved]')
    )
      return;
    write(new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM()?.inverse()));
  });
  for (const field of [lat, lon])
    field.addEventListener('input', () => {
      const at = toPicture(plane.toPlane({ lat: degrees(lat), lon: degrees(lon) }));
      if (Number.isFinite(at.x + at.y)) put(at);
    });
  document.querySelector('[data-by-hand]')?.removeAttribute('hidden');
}

function degrees({ value }: HTMLInputElement): number {
  return value.trim() === '' ? Number.NaN : Number(value.trim().replace(',', '.').replace('\u2212', '-'));
}
