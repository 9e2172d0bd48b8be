/**
 * An open page hears of what happens (server-sent events) and says so in one quiet line, with a way to see the page as it
 * is now. What was typed is never lost: then the other way is another tab. Pages on which nothing can be lost follow by
 * themselves. A hidden tab holds no connection: browsers allow six to a host under HTTP/1.1.
 */

import { followMain } from './live/follow.ts';
import { sayOn, type Told } from './live/line.ts';
import { hasTyped } from './live/typed.ts';

const LEAVE_AFTER_MS = 10_000;
const FIRST_WAIT_MS = 30_000;
const LONGEST_WAIT_MS = 600_000;

const line = document.getElementById('live');
if (line) listen(line);

function listen(line: HTMLElement): void {
  const { address = '', about = '', how } = line.dataset;
  let source: EventSource | undefined;
  let leaving: ReturnType<typeof setTimeout> | undefined;
  let waitMs = FIRST_WAIT_MS;
  const say = sayOn(line);

  const concerns = ({ subject, kind, isNews }: Told): boolean =>
    how === 'itself' || (isNews && (about === '' || subject === about || kind.startsWith('plan-')));
  const tell = (told: Told | undefined): void => {
    // The driver's sheet took the page over: it fetches what is new and says it in its own way.
    if (how === 'script' || document.querySelector('main.sheet'))
      document.dispatchEvent(new Event('feedround-news'));
    else if (how !== 'itself' || hasTyped()) say(told);
    else void followMain(line).then((isDone) => isDone || say(told));
  };

  const open = (): void => {
    clearTimeout(leaving);
    if (source || document.hidden) return;
    source = new EventSource(`${address}?after=${line.dataset['after']}`);
    source.addEventListener('open', () => {
      waitMs = FIRST_WAIT_MS;
    });
    for (const kind of ['told', 'here', 'reset'])
      source.addEventListener(kind, (event: MessageEvent<string>) => {
        line.dataset['after'] = event.lastEventId;
        if (kind === 'reset') tell(undefined);
        if (kind !== 'told') return;
        const told = JSON.parse(event.data) as Told;
        if (concerns(told)) tell(told);
      });
    // A lost line comes back by itself; a refusal (signed out, a server that starts) ends it, and is asked again later.
    source.addEventListener('error', () => {
      if (source?.readyState !== EventSource.CLOSED) return;
      close();
      setTimeout(open, waitMs);
      waitMs = Math.min(2 * waitMs, LONGEST_WAIT_MS);
    });
  };
  const close = (): void => {
    source?.close();
    source = undefined;
  };

  document.addEventListener('visibilitychange', () => {
    if (document.hidden) leaving = setTimeout(close, LEAVE_AFTER_MS);
    else open();
  });
  addEventListener('pagehide', close);
  addEventListener('pageshow', open);
  open();
}
