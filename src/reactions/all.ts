/** Every reaction there is. A new one: a file here, named like its sentence, and its name in this list. */
import type { Reaction } from '../usecases/reaction.ts';

export const REACTIONS: readonly Reaction[] = [];
