/** The line itself: the newest thing in words, how many more there were, and what one can do. */
import { addressNow, showNow } from './now.ts';
import { hasTyped } from './typed.ts';

/** As `web/live` sends it. */
export type Told = {
  readonly kind: string;
  readonly subject: string;
  readonly time: string;
  readonly text: string;
  readonly isNews: boolean;
};

/** Says one thing more; nothing: more than can be told one by one. */
export function sayOn(line: HTMLElement): (told: Told | undefined) => void {
  const words = document.querySelector<HTMLTemplateElement>('template#live-words')!;
  let count = 0;
  let mindTyped = (): void => {};
  document.addEventListener('input', () => mindTyped());
  return (told) => {
    if (line.childElementCount === 0) count = 0;
    count++;
    const said = words.content.cloneNode(true) as DocumentFragment;
    const part = (name: string) => said.querySelector<HTMLElement>(`.live-${name}`)!;
    if (told) {
      part('said').querySelector('time')!.textContent = told.time;
      part('text').textContent = told.text;
      part('reset').remove();
    } else {
      part('reset').textContent = part('reset').dataset['text'] ?? '';
      part('said').remove();
    }
    const { one = '', many = '' } = part('more').dataset;
    if (count === 1) part('more').remove();
    else part('more').textContent = count === 2 ? one : many.replace('{n}', String(count - 1));
    mindTyped = ready(line, part('do'));
    line.replaceChildren(said);
  };
}

/** Gives what to call when something was typed. */
function ready(line: HTMLElement, actions: HTMLElement): () => void {
  const [anew, beside] = actions.querySelectorAll('a');
  const mind = (): void => {
    anew!.hidden = hasTyped();
    beside!.hidden = !anew!.hidden;
  };
  for (const link of [anew!, beside!]) link.href = addressNow().href;
  mind();
  anew!.addEventListener('click', (event) => {
    event.preventDefault();
    mind();
    if (!anew!.hidden) showNow();
  });
  actions.querySelector('button')!.addEventListener('click', () => line.replaceChildren());
  return mind;
}
