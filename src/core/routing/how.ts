/** How a visit goes into its place in a round. */
export const NO_UNLOAD = 0;
export const UNLOAD_AFTER = 1;
export const UNLOAD_BEFORE = 2;

/** `unload`: where a new unloading goes; `anew`: windows and breaks are chosen anew. */
export type How = {
  unload: number;
  anew: boolean;
  window: number;
  unloadWindow: number;
  /** Unless `anew`: the node that the round's only break goes after, −1 if it has none. */
  restAfter: number;
};

export const createHow = (): How => ({ unload: 0, anew: false, window: 0, unloadWindow: 0, restAfter: -1 });

export function copyHow(to: How, from: How): void {
  to.unload = from.unload;
  to.anew = from.anew;
  to.window = from.window;
  to.unloadWindow = from.unloadWindow;
  to.restAfter = from.restAfter;
}
