/**
 * The week sheet under the hand: a visit is moved along its strip to another day; what would follow is said at once, and
 * nothing is kept before somebody says so. Without this script the same is done on the page of a stop's changes.
 */
import { keep, type Move, whatIf } from './week/ask.ts';
import { type Handle, makeHandle, type Strip } from './week/handle.ts';
import { makePanel, type PanelWords } from './week/panel.ts';

const sheet = document.querySelector<HTMLElement>('[data-week]');
if (sheet) liven(sheet);

/** A hand that passes over a day does not ask about it; one that stays does. */
const STAYS_MS = 60;

function liven(sheet: HTMLElement): void {
  const planId = sheet.dataset['week'] ?? '';
  const days = (sheet.dataset['days'] ?? '').split(';').map((entry) => {
    const [day = '', name = ''] = entry.split('=');
    return { day, name };
  });
  const words: PanelWords = {
    currency: sheet.dataset['currency'] ?? 'EUR',
    parts: JSON.parse(sheet.dataset['parts'] ?? '{}'),
  };

  let held: { readonly handle: Handle; readonly move: Move; readonly key: string } | undefined;
  let asking = new AbortController();
  let timer: ReturnType<typeof setTimeout> | undefined;

  const leave = (): void => {
    clearTimeout(timer);
    asking.abort();
    panel.hide();
    held?.handle.ghost(held.handle.dayIndex);
    held?.handle.button.focus();
    held = undefined;
  };
  const panel = makePanel(words, {
    leave,
    keep(breaksPromises) {
      if (!held) return;
      const { move, key } = held;
      panel.begin('Keeping it …');
      keep(planId, move, { key, breaksPromises })
        .then((kept) => {
          if ('id' in kept) location.assign(`/week?plan=${encodeURIComponent(kept.id)}&did=changed`);
          else panel.show(kept, closerLook(planId, move));
        })
        .catch(() => panel.show({ refused: NO_ANSWER }, closerLook(planId, move)));
    },
  });

  const ask = (move: Move): void => {
    asking.abort();
    asking = new AbortController();
    const { signal } = asking;
    whatIf(planId, move, signal)
      .then((answer) => {
        if (!signal.aborted) panel.show(answer, closerLook(planId, move));
      })
      .catch(() => {
        if (!signal.aborted) panel.show({ refused: NO_ANSWER }, closerLook(planId, move));
      });
  };

  const over = (handle: Handle, dayIndex: number): void => {
    clearTimeout(timer);
    if (held && held.handle !== handle) held.handle.ghost(held.handle.dayIndex);
    if (dayIndex === handle.dayIndex) {
      asking.abort();
      panel.hide();
      held = undefined;
      return;
    }
    const { strip } = handle;
    const move = { siteId: strip.siteId, fromDay: days[handle.dayIndex]!.day, toDay: days[dayIndex]!.day };
    held = { handle, move, key: crypto.randomUUID() };
    panel.begin(`${strip.siteName} to ${days[dayIndex]!.name}`);
    timer = setTimeout(() => ask(move), STAYS_MS);
  };

  for (const chart of sheet.querySelectorAll<HTMLElement>('[data-strip]')) {
    const strip: Strip = {
      chart,
      siteId: chart.dataset['strip'] ?? '',
      siteName: chart.dataset['name'] ?? '',
      days,
    };
    for (const mark of chart.querySelectorAll('[data-visit]'))
      makeHandle(strip, mark, { over, settle: () => panel.focus(), cancel: leave });
  }
  addEventListener('keydown', (event) => {
    if (event.key === 'Escape' && panel.isOpen()) leave();
  });
}

const NO_ANSWER = 'No answer came. Look whether the server can be reached, and try again.';

/** The page that says the same without a script, and more. */
const closerLook = (planId: string, { siteId, fromDay, toDay }: Move): string =>
  `/plans/${planId}/what-if?${new URLSearchParams({ kind: 'move', site: siteId, day: fromDay, to: toDay })}`;
