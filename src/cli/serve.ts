import { environment, serve as startServer } from '../main.ts';
import { listAccess } from '../store/access-tokens.ts';
import { getWorkshop } from '../store/workshop.ts';
import { COORDINATOR_SUBJECT, createLink } from '../usecases/access.ts';
import type { Context } from '../usecases/context.ts';
import { type Command, DATABASE } from './command.ts';
import { say, withDatabase } from './workplace.ts';

export const serve: Command = {
  name: 'serve',
  usage: '[--db FILE]',
  summary:
    'Serves the pages of the coordinator, the drivers and the donors, and the JSON interface under /api.',
  details:
    'FEEDROUND_HOST and FEEDROUND_PORT say where (127.0.0.1, 4321), FEEDROUND_ORIGIN the public address when a proxy stands in front. Stop it with Ctrl-C.',
  options: [DATABASE],
  maxWords: 0,
  run: (words) =>
    withDatabase(words, { mayCreate: true }, async (context) => {
      const isNew = listAccess(context.store, { role: 'coordinator' }).length === 0;
      await serveUntilStopped(context, (origin) => {
        say(`Feedround is at ${origin}`);
        if (getWorkshop(context.store) === undefined)
          say('The database has no workshop yet: feedround import workshop FILE.json');
        if (isNew) say(`Coordinator (works once, within a day): ${coordinatorLink(context, origin)}`);
        else say('For a coordinator’s link: npx feedround link coordinator');
      });
      return 0;
    }),
};

export function coordinatorLink(context: Context, origin: string): string {
  const request = { role: 'coordinator', subjectId: COORDINATOR_SUBJECT, actor: 'command-line' } as const;
  const link = createLink(context, request);
  if (!link.ok) throw new Error('a coordinator’s link needs no register');
  return `${origin}/enter/coordinator/${link.value.token}`;
}

/** Returns after Ctrl-C or a kind request to end, when open answers are done. */
export async function serveUntilStopped(context: Context, onReady: (origin: string) => void): Promise<void> {
  const { origin, stop } = await startServer(context, environment());
  onReady(origin);
  await new Promise<void>((ended) => {
    process.once('SIGINT', () => ended());
    process.once('SIGTERM', () => ended());
  });
  await stop();
}
