/** What a move would mean, in a leaf at the foot of the window: in words, by part, and the two ways out of it. */
import { formatsIn } from '../../messages/formats.ts';
import type { Answer, Refusal } from './ask.ts';

const f = formatsIn('en');

export type PanelWords = {
  readonly currency: string;
  /** Names of the parts of the money, in their order. */
  readonly parts: { readonly [part: string]: string };
};

export type Panel = {
  /** Says at once what is being asked, before the server has answered. */
  readonly begin: (what: string) => void;
  readonly show: (answer: Answer | Refusal, closerLook: string) => void;
  readonly hide: () => void;
  readonly isOpen: () => boolean;
  readonly focus: () => void;
};

export function makePanel(
  words: PanelWords,
  acts: { readonly keep: (breaksPromises: boolean) => void; readonly leave: () => void },
): Panel {
  const box = element('aside', 'what-if');
  box.setAttribute('aria-label', 'What would follow');
  box.hidden = true;
  const title = element('p', 'what-if-title');
  title.setAttribute('role', 'status');
  const body = element('div', 'what-if-body');
  const keep = element('button', 'primary', 'Keep it as a draft');
  const leave = element('button', '', 'Leave it as it was');
  const link = element('a', '', 'Look closer');
  const actions = element('div', 'actions');
  actions.append(keep, leave, link);
  box.append(title, body, actions);
  document.body.append(box);
  keep.addEventListener('click', () => {
    const tick = body.querySelector<HTMLInputElement>('input[type=checkbox]');
    acts.keep(tick?.checked ?? false);
  });
  leave.addEventListener('click', acts.leave);

  return {
    begin(what) {
      box.hidden = false;
      title.textContent = what;
      body.replaceChildren(element('p', 'soft', 'Working it out …'));
      keep.disabled = true;
      link.hidden = true;
    },
    show(answer, closerLook) {
      box.hidden = false;
      link.hidden = false;
      link.href = closerLook;
      if ('refused' in answer) {
        keep.disabled = true;
        body.replaceChildren(element('p', 'loud', answer.refused));
        return;
      }
      title.textContent = `${answer.does.join('; ')}.`;
      keep.disabled = !answer.is_feasible;
      body.replaceChildren(...contentOf(answer, words, keep));
    },
    hide() {
      box.hidden = true;
    },
    isOpen: () => !box.hidden,
    focus: () => (keep.disabled ? leave : keep).focus(),
  };
}

function contentOf(answer: Answer, words: PanelWords, keep: HTMLButtonElement): Element[] {
  const { after, difference, obstacles, broken_promises: broken } = answer;
  const content: Element[] = [];
  if (after && difference) content.push(figures(answer, words));
  const list = element('ul', 'what-if-says');
  for (const { says } of obstacles) list.append(element('li', 'loud', `It cannot be driven. ${says}`));
  for (const { says } of broken) list.append(element('li', 'loud', says));
  // The first two are the figures over again.
  for (const says of answer.says.slice(2)) list.append(element('li', '', says));
  if (list.childElementCount > 0) content.push(list);
  if (after && difference) content.push(byPart(difference, words));
  if (broken.length > 0 && obstacles.length === 0) {
    const label = element('label', 'choice');
    const tick = element('input', '');
    tick.type = 'checkbox';
    keep.disabled = true;
    tick.addEventListener('change', () => {
      keep.disabled = !tick.checked;
    });
    label.append(tick, element('span', '', 'Keep it all the same: it is agreed with the donor'));
    content.push(label);
  }
  return content;
}

const signed = (value: number, text: string): string => (value > 0 ? `+${text}` : text);

/** Each figure before and after would need two readings: the difference is what is asked. */
function figures({ before, after }: Answer, { currency }: PanelWords): Element {
  const sum = (of: 'distance_m' | 'duration_s', side: Answer['before']): number =>
    side.days.reduce((total, day) => total + day[of], 0);
  const now = after!;
  const micros = now.cost_micros - before.cost_micros;
  const metres = sum('distance_m', now) - sum('distance_m', before);
  const seconds = sum('duration_s', now) - sum('duration_s', before);
  const overflowKg = now.overflow_kg - before.overflow_kg;
  const shortageKg = now.shortage_kg - before.shortage_kg;
  const list = element('dl', 'what-if-figures');
  for (const [name, value, text] of [
    ['In all', micros, f.money(micros, currency)],
    ['Driven', metres, f.km(metres)],
    ['Hours', seconds, f.duration(seconds)],
    ['Overflow', overflowKg, f.kg(overflowKg)],
    ['Shortage', shortageKg, f.kg(shortageKg)],
  ] as const) {
    const pair = element('div', '');
    pair.append(element('dt', '', name), element('dd', '', signed(value, text)));
    list.append(pair);
  }
  return list;
}

/** Below half a cent a part is as it was. */
const NOTHING_MICROS = 5000;

function byPart(difference: NonNullable<Answer['difference']>, words: PanelWords): Element {
  const parts = Object.entries(difference)
    .filter(([, micros]) => Math.abs(micros) >= NOTHING_MICROS)
    .sort(([, a], [, b]) => Math.abs(b) - Math.abs(a));
  if (parts.length === 0) return element('p', 'soft small', 'No part of the money changes.');
  const table = element('table', 'what-if-parts');
  table.append(element('caption', 'unseen', 'The money by part, after less before'));
  for (const [part, micros] of parts) {
    const row = table.insertRow();
    const head = element('th', '', words.parts[part] ?? part);
    head.scope = 'row';
    row.append(head, element('td', 'number', signed(micros, f.money(micros, words.currency))));
  }
  return table;
}

function element<K extends keyof HTMLElementTagNameMap>(
  name: K,
  className: string,
  text = '',
): HTMLElementTagNameMap[K] {
  const made = document.createElement(name);
  if (className !== '') made.className = className;
  if (text !== '') made.textContent = text;
  if (made instanceof HTMLButtonElement) made.type = 'button';
  return made;
}
