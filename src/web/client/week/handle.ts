/**
 * A handle on a visit's mark in its strip: taken hold of, or reached by Tab and moved with the arrow keys, it says which
 * day it would go to. It draws the mark where it would be; what that means is for others to say.
 */
export type Strip = {
  readonly chart: HTMLElement;
  readonly siteId: string;
  readonly siteName: string;
  readonly days: readonly { readonly day: string; readonly name: string }[];
};
export type Handled = {
  /** It would go to the day of this index; its own day is "nowhere else". */
  readonly over: (handle: Handle, dayIndex: number) => void;
  /** Let go of, or Enter pressed: the question is to be answered. */
  readonly settle: (handle: Handle) => void;
  readonly cancel: () => void;
};
export type Handle = {
  readonly strip: Strip;
  readonly dayIndex: number;
  readonly button: HTMLButtonElement;
  /** Draws the mark on a day; on its own day as if nothing had happened. */
  readonly ghost: (dayIndex: number) => void;
};

export function makeHandle(strip: Strip, mark: Element, handled: Handled): Handle | undefined {
  const { chart, days, siteName } = strip;
  const share = Number(mark.getAttribute('data-x')) / 100;
  const dayIndex = days.findIndex(({ day }) => day === mark.getAttribute('data-visit'));
  if (dayIndex < 0 || !Number.isFinite(share)) return undefined;
  const button = document.createElement('button');
  button.type = 'button';
  button.className = 'drop-handle';
  button.style.left = `${share * 100}%`;
  button.setAttribute(
    'aria-label',
    `Visit at ${siteName} on ${days[dayIndex]!.name}: arrow keys move it to another day, Enter to decide, Escape to leave it`,
  );
  chart.append(button);
  const ghost = document.createElement('div');
  ghost.className = 'drop-ghost';
  ghost.hidden = true;
  const column = document.createElement('div');
  column.className = 'drop-column';
  column.hidden = true;
  column.style.width = `${100 / days.length}%`;
  chart.append(column, ghost);

  const withinDay = share * days.length - dayIndex;
  let shown = dayIndex;
  const handle: Handle = {
    strip,
    dayIndex,
    button,
    ghost(index) {
      shown = index;
      const isHome = index === dayIndex;
      ghost.hidden = column.hidden = isHome;
      mark.classList.toggle('is-away', !isHome);
      ghost.style.left = `${(100 * (index + withinDay)) / days.length}%`;
      column.style.left = `${(100 * index) / days.length}%`;
      // The handle goes along, so that the hand and the focus stay on it.
      button.style.left = isHome ? `${share * 100}%` : ghost.style.left;
    },
  };
  const goTo = (index: number): void => {
    const next = Math.min(days.length - 1, Math.max(0, index));
    if (next === shown) return;
    handle.ghost(next);
    handled.over(handle, next);
  };

  let isHeld = false;
  button.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    isHeld = true;
    button.setPointerCapture(event.pointerId);
    button.focus({ preventScroll: true });
    event.preventDefault();
  });
  button.addEventListener('pointermove', (event) => {
    if (!isHeld) return;
    const { left, width } = chart.getBoundingClientRect();
    goTo(Math.floor(((event.clientX - left) / width) * days.length));
  });
  const letGo = (): void => {
    if (!isHeld) return;
    isHeld = false;
    if (shown !== dayIndex) handled.settle(handle);
  };
  button.addEventListener('pointerup', letGo);
  button.addEventListener('pointercancel', () => {
    isHeld = false;
    handled.cancel();
  });
  button.addEventListener('keydown', (event) => {
    const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (step !== undefined) {
      event.preventDefault();
      goTo(shown + step);
    } else if (event.key === 'Enter' && shown !== dayIndex) {
      event.preventDefault();
      handled.settle(handle);
    }
  });
  return handle;
}
