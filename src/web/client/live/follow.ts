/** The page as it is now, put in place of what is shown, with the reader's place and the focus kept. */
import { addressNow } from './now.ts';

const GATHER_MS = 300;
const AT_TOP_PX = 200;
let following: Promise<boolean> | undefined;

/** Says whether it was done: not for a reader who is far down, has marked something, or is off the line. */
export const followMain = (line: HTMLElement): Promise<boolean> => {
  // Several things at once are one change.
  following ??= new Promise<void>((later) => setTimeout(later, GATHER_MS))
    .then(() => {
      following = undefined;
      return replaceMain(line);
    })
    .catch(() => false);
  return following;
};

async function replaceMain(line: HTMLElement): Promise<boolean> {
  const main = document.querySelector('main');
  if (!main || scrollY > AT_TOP_PX || getSelection()?.isCollapsed === false) return false;
  const answer = await fetch(addressNow(), { credentials: 'same-origin' });
  if (!answer.ok || answer.redirected) return false;
  const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html');
  const freshMain = fresh.querySelector('main');
  if (!freshMain) return false;
  const focus = placeOf(document.activeElement, main);
  const top = scrollY;
  main.replaceChildren(...freshMain.childNodes);
  scrollTo({ top });
  const focused = focus === undefined ? undefined : main.querySelectorAll(focus.selector)[focus.nth];
  if (focused instanceof HTMLElement) focused.focus({ preventScroll: true });
  line.replaceChildren();
  return true;
}

/** An element by what it is rather than where: a link by its address, anything else by its kind. */
function placeOf(element: Element | null, main: Element) {
  if (!element || element === main || !main.contains(element)) return undefined;
  const href = element.getAttribute('href');
  const kind = element.localName;
  const selector = href === null ? kind : `${kind}[href="${CSS.escape(href)}"]`;
  return { selector, nth: [...main.querySelectorAll(selector)].indexOf(element) };
}
