/** The facts of a stop in a card beside it, on pointing at it or reaching it by keyboard; its row in the list lights up. */
export function showCards(figure: HTMLElement, svg: SVGSVGElement): void {
  const card = document.createElement('div');
  card.className = 'map-card';
  card.hidden = true;
  figure.append(card);
  for (const mark of svg.querySelectorAll<SVGGraphicsElement>('a, .map-home')) {
    const title = mark.querySelector(':scope > title');
    if (!title) continue;
    // The browser's own tip would stand over the card; the words stay as the link's name.
    mark.dataset['facts'] = title.textContent ?? '';
    if (mark.localName === 'a') mark.setAttribute('aria-label', mark.dataset['facts'].replaceAll('\n', '. '));
    title.remove();
  }
  const rowOf = (mark: SVGGraphicsElement): Element | null =>
    mark.dataset['stop'] === undefined
      ? null
      : document.querySelector(`[data-row="${CSS.escape(mark.dataset['stop'])}"]`);
  const show = (mark: SVGGraphicsElement): void => {
    const [name = '', ...facts] = (mark.dataset['facts'] ?? '').split('\n');
    const heading = document.createElement('b');
    heading.textContent = name;
    card.replaceChildren(
      heading,
      ...facts.flatMap((fact, i) => (i === 0 ? [fact] : [document.createElement('br'), fact])),
    );
    card.hidden = false;
    place(mark);
    rowOf(mark)?.classList.add('is-shown');
  };
  const place = (mark: SVGGraphicsElement): void => {
    const around = figure.getBoundingClientRect();
    const plate = (mark.querySelector('.plate, .map-dot, .map-house') ?? mark).getBoundingClientRect();
    const left = Math.min(plate.right - around.left + 8, around.width - card.offsetWidth - 4);
    const below = plate.bottom - around.top + 8;
    const isLow = below + card.offsetHeight > around.height;
    card.style.left = `${Math.max(4, left)}px`;
    card.style.top = `${isLow ? plate.top - around.top - card.offsetHeight - 8 : below}px`;
  };
  const hide = (): void => {
    card.hidden = true;
    for (const row of document.querySelectorAll('tr.is-shown')) row.classList.remove('is-shown');
  };
  const markAt = (event: Event): SVGGraphicsElement | undefined => {
    const mark = event.target instanceof Element ? event.target.closest('[data-facts]') : null;
    return mark instanceof SVGGraphicsElement ? mark : undefined;
  };
  for (const [enter, leave] of [
    ['pointerover', 'pointerout'],
    ['focusin', 'focusout'],
  ] as const) {
    svg.addEventListener(enter, (event) => {
      const mark = markAt(event);
      hide();
      if (mark) show(mark);
    });
    svg.addEventListener(leave, hide);
  }
  // What appears on hovering can be sent away without moving (WCAG 2.2, 1.4.13).
  addEventListener('keydown', (event) => {
    if (event.key === 'Escape') hide();
  });
}
