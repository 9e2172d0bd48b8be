/** What the interface needs from the rest. */
import type { Context, Planner } from '../../usecases/context.ts';

export type ApiDeps = {
  readonly context: Context;
  readonly planner: Planner;
};
