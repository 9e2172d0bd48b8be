/** Names that found no room on the whole map are tried again when it is drawn closer. What the server placed stays. */
import { placeLabels, type ToLabel } from '../../../core/mapping/labels.ts';
import type { Box, Point } from '../../../core/mapping/plane.ts';
import type { Sight, Size } from './sight.ts';

type Marked = {
  readonly at: Point;
  readonly plate: Point;
  readonly radius: number;
  readonly width: number;
  readonly height: number;
  readonly name: SVGGElement;
  /** The server found room for it on the whole map: its box around its place. */
  readonly own: Box | undefined;
};

const numbers = (text: string | null | undefined): Point => {
  const [x = 0, y = 0] = (text ?? '').match(/-?[\d.]+/g)?.map(Number) ?? [];
  return { x, y };
};

/** Reads the marks once; the answer lays out their names for what is seen. */
export function namesOf(svg: SVGSVGElement): (sight: Sight, size: Size) => void {
  const marks = [...svg.querySelectorAll<SVGGraphicsElement>('[data-radius]')].flatMap((mark): Marked[] => {
    const name = mark.querySelector<SVGGElement>('.map-name');
    if (!name) return [];
    const isPlaced = !name.classList.contains('map-roomless');
    const box = isPlaced ? name.getBBox() : undefined;
    return [
      {
        at: numbers(mark.getAttribute('transform')),
        plate: numbers(mark.querySelector('[data-plate]')?.getAttribute('data-plate')),
        radius: Number(mark.dataset['radius']),
        width: Number(mark.dataset['width'] ?? 0),
        height: Number(mark.dataset['height'] ?? 0),
        name,
        own: box && { left: box.x, top: box.y, right: box.x + box.width, bottom: box.y + box.height },
      },
    ];
  });
  const roomless = marks.filter(({ own }) => !own);
  return (sight, size) => {
    for (const { name } of roomless) name.classList.add('map-roomless');
    if (sight.closer <= 1) return;
    const seen = (at: Point): Point => ({
      x: (at.x - sight.x) * sight.closer,
      y: (at.y - sight.y) * sight.closer,
    });
    const around = (at: Point, box: Box): Box => ({
      left: at.x + box.left,
      top: at.y + box.top,
      right: at.x + box.right,
      bottom: at.y + box.bottom,
    });
    const taken = marks.flatMap(({ at, plate, radius, own }) => {
      const half = 0.8 * radius;
      const spot = seen(at);
      const mark = {
        left: plate.x - half,
        top: plate.y - half,
        right: plate.x + half,
        bottom: plate.y + half,
      };
      return [around(spot, mark), ...(own ? [around(spot, own)] : [])];
    });
    const labels = roomless.map(({ at, plate, radius, width, height }): ToLabel => {
      const spot = seen(at);
      return { at: { x: spot.x + plate.x, y: spot.y + plate.y }, radius, width, height };
    });
    const picture = { left: 0, top: 0, right: size.width, bottom: size.height };
    for (const [i, place] of placeLabels(labels, {
      picture,
      taken,
      lines: [],
      mayStandOff: false,
    }).entries()) {
      if (!place) continue;
      const { name, at } = roomless[i]!;
      const spot = seen(at);
      const { box, anchor } = place;
      const x = anchor === 'start' ? box.left : anchor === 'end' ? box.right : (box.left + box.right) / 2;
      const text = name.querySelector('text');
      if (!text) continue;
      name.classList.remove('map-roomless');
      text.setAttribute('text-anchor', anchor);
      for (const line of [text, ...text.querySelectorAll('tspan')])
        line.setAttribute('x', String(x - spot.x));
      text.setAttribute('y', String(box.top - spot.y + (text.querySelector('tspan') ? 12.7 : 11.3)));
    }
  };
}
