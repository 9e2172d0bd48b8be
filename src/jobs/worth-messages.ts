/** What the server and a thread of simulated years say to each other: plain data, structured-cloned. */
import type { YearsProgress } from '../core/simulation/run-years.ts';
import type { YearResult } from '../core/simulation/year-result.ts';
import type { WorthWanted } from '../usecases/own-workshop.ts';

/** `stopFlag`: one Int32, 0 goes on, 1 asks it to end. */
export type WorthWork = { readonly wanted: WorthWanted; readonly stopFlag: SharedArrayBuffer };

export type WorthAnswer =
  | { readonly kind: 'progress'; readonly progress: YearsProgress }
  | { readonly kind: 'world'; readonly years: readonly YearResult[] }
  | { readonly kind: 'over' }
  | { readonly kind: 'failed'; readonly message: string };
