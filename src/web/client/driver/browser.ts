/** The sheet's surroundings in a real browser: its clock, its network, its locks, its other tabs. */
import type { SentSheet } from '../../driver/sent-sheet.ts';
import type { Lock } from './hand-in.ts';
import { openKeep } from './keep.ts';
import { lineOver } from './line.ts';
import { SheetModel } from './sheet-model.ts';

const phoneNow = (): number => Math.floor(Date.now() / 1000);

/** One tab at a time; a second one that comes meanwhile has nothing to do. */
const tabLock: Lock = (work) =>
  navigator.locks.request('feedround-hand-in', { ifAvailable: true }, async (held) => {
    if (held) await work();
  });

/** A cookie of our own, not the store: browsers throw a store away as a whole, and cookies apart from it. */
const WAITED = 'feedround-waits';
const waited = {
  get: () => Number(new RegExp(`${WAITED}=(\\d+)`).exec(document.cookie)?.[1] ?? 0),
  set: (count: number) => {
    // biome-ignore lint/suspicious/noDocumentCookie: the cookie store is not in every browser.
    document.cookie = `${WAITED}=${count}; path=/driver; max-age=2592000; samesite=lax`;
  },
};

async function fetchSheet(): Promise<SentSheet | 'no-signal' | 'signed-out'> {
  try {
    const answer = await fetch('/driver/run.json', {
      cache: 'no-store',
      redirect: 'manual',
      signal: AbortSignal.timeout(20_000),
    });
    if (answer.status === 401 || answer.status === 403) return 'signed-out';
    const sent: SentSheet = await answer.json();
    return typeof sent.driverId === 'string' && sent.run ? sent : 'no-signal';
  } catch {
    return 'no-signal';
  }
}

/** Seldom enough for a battery, often enough for a plan that changes. */
const REFRESH_MS = 120_000;

export async function openInBrowser(): Promise<SheetModel> {
  const keep = await openKeep();
  const tabs = new BroadcastChannel('feedround-sheet');
  const model = new SheetModel({
    keep,
    line: lineOver((path, init) => fetch(path, init), phoneNow),
    lock: tabLock,
    fetchSheet,
    phoneNow,
    tellOthers: () => tabs.postMessage('changed'),
    waited,
    later: (seconds, work) => void setTimeout(work, seconds * 1000),
    chance: Math.random,
  });
  tabs.onmessage = () => void model.read();
  await model.open();
  const look = async () => {
    await model.handIn();
    await model.refresh();
  };
  void look().then(() => lookAtStorage(model));
  addEventListener('online', () => void look());
  document.addEventListener('feedround-news', () => void look());
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void look();
  });
  setInterval(() => {
    if (document.visibilityState === 'visible') void look();
  }, REFRESH_MS);
  return model;
}

const SHORT_MB = 20;

async function lookAtStorage(model: SheetModel): Promise<void> {
  if (!navigator.storage) return;
  const isSafe = (await navigator.storage.persisted()) || (await navigator.storage.persist());
  if (!isSafe) model.trouble({ kind: 'not-persistent' });
  const { quota = 0, usage = 0 } = await navigator.storage.estimate();
  const freeMb = (quota - usage) / 1e6;
  if (quota > 0 && freeMb < SHORT_MB)
    model.trouble({ kind: 'short', freeMb: Math.max(0, Math.round(freeMb)) });
}
