/**
 * The run sheet on a phone: takes the server's page over once the phone can keep what is entered. Where it cannot (no
 * store, scripts too old, `?plain`), the page stays as the server wrote it, with its forms.
 */
import { render } from 'hono/jsx/dom';
import { App } from './driver/app.tsx';
import { openInBrowser } from './driver/browser.ts';

const SHELL = '/driver/shell';

async function start(main: HTMLElement): Promise<void> {
  const isShell = main.querySelector('[data-sheet]') !== null;
  try {
    const model = await openInBrowser();
    await keepPages();
    // The server's page is better than an empty sheet, until this phone has one of its own.
    if (!isShell && !model.get().kept) await model.refresh();
    if (!isShell && !model.get().kept) return;
    main.classList.add('sheet');
    main.textContent = '';
    render(<App model={model} />, main);
  } catch (fault) {
    reportError(fault);
    if (isShell) location.replace(`${location.pathname}?plain=1`);
  }
}

/** Pages for later come from the phone; a newer version is fetched in the background and takes over by itself. */
async function keepPages(): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  // In another language the frame is another one.
  if (new URLSearchParams(location.search).has('lang'))
    for (const name of await caches.keys())
      if (name.startsWith('feedround-driver-')) await (await caches.open(name)).add(SHELL).catch(() => {});
  navigator.serviceWorker.register('/driver-worker.js', { scope: '/driver' }).catch(reportError);
}

const main = document.querySelector<HTMLElement>('main');
if (
  main &&
  'indexedDB' in globalThis &&
  navigator.locks &&
  !new URLSearchParams(location.search).has('plain')
)
  void start(main);
