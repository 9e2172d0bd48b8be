/** Where the outside comes in: the environment, the database file, the clock, random ids, the port. */
import { randomBytes, randomInt } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { serve as listen } from '@hono/node-server';
import { createApp } from './app.ts';
import { type Config, readConfig } from './config.ts';
import { dayStart } from './core/calendar/zone.ts';
import type { Instant } from './core/quantity/units.ts';
import { fitInThread, scoreInThread } from './jobs/history-in-thread.ts';
import { keepFitted } from './jobs/keep-fitted.ts';
import { keepLearnt } from './jobs/keep-learnt.ts';
import { keepPlanning } from './jobs/keep-planning.ts';
import { keepReacting } from './jobs/keep-reacting.ts';
import { keepScored } from './jobs/keep-scored.ts';
import { keepSending } from './jobs/keep-sending.ts';
import { keepWorth } from './jobs/keep-worth.ts';
import { folderTransport, smtpTransport } from './jobs/mail-transport.ts';
import { planInThread } from './jobs/plan-in-thread.ts';
import { yearsInThread } from './jobs/worth-in-thread.ts';
import { REACTIONS } from './reactions/all.ts';
import { closeStore, databasePathOf, openStore, type Store, StoreOpenError } from './store/db.ts';
import { readEntriesAfter } from './store/journal.ts';
import { getWorkshop } from './store/workshop.ts';
import type { Context } from './usecases/context.ts';
import { renderMail } from './word/render.ts';

export const environment = (): Config => readConfig(process.env);

/** Opens the database, making its folder if it is the usual one. Close it with `close`. */
export function openWorkplace(databasePath: string): {
  readonly context: Context;
  readonly close: () => void;
} {
  makeFolder(dirname(resolve(databasePath)));
  const store = openStore(databasePath);
  return {
    context: { store, now: clockOf(store), newId: () => randomBytes(12).toString('base64url') },
    close: () => closeStore(store),
  };
}

function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
  } catch {
    throw new StoreOpenError('no-folder', `The folder ${folder} for the database cannot be made.`);
  }
}

const realNow = (): Instant => Math.floor(Date.now() / 1000);
/** The demo's morning, when the vans have not left yet. */
const DEMO_CLOCK_S = 6 * 3600;

/**
 * Seconds since the epoch. A demo database lives in its own time: it starts on the morning of its `demoToday`,
 * at the moment it was made, and goes on at real speed, so that what is handed in stays in the past.
 */
function clockOf(store: Store): () => Instant {
  let offsetS: number | undefined;
  return () => {
    offsetS ??= demoOffsetS(store);
    return realNow() + (offsetS ?? 0);
  };
}

function demoOffsetS(store: Store): number | undefined {
  const workshop = getWorkshop(store);
  if (!workshop) return undefined;
  const { demoToday } = workshop.settings;
  if (demoToday === undefined) return 0;
  const madeAt = readEntriesAfter(store, 0, 1)[0]?.facts as { realAt?: unknown } | undefined;
  const startedAt = typeof madeAt?.realAt === 'number' ? madeAt.realAt : realNow();
  return dayStart(workshop.zone, demoToday) + DEMO_CLOCK_S - startedAt;
}

/** The server could not start; the message says what to do. */
export class ServeError extends Error {
  override readonly name = 'ServeError';
}

export type Served = { readonly origin: string; readonly stop: () => Promise<void> };

export function serve(context: Context, config: Config): Promise<Served> {
  return new Promise((done, failed) => {
    // The address is known only once the port is: the app is made then, before any request can come.
    let app: ReturnType<typeof createApp> | undefined;
    const fetch = (request: Request): Response | Promise<Response> =>
      app?.fetch(request) ?? new Response('Starting.', { status: 503 });
    const server = listen({ fetch, hostname: config.host, port: config.port }, (info) => {
      const host = config.host === '0.0.0.0' ? 'localhost' : config.host;
      const origin = config.origin ?? `http://${host}:${info.port}`;
      const onFault = (error: unknown): void => console.error(error);
      const path = databasePathOf(context.store);
      const scores = keepScored(context.store, scoreInThread(path), onFault);
      const fits = keepFitted({ context, fit: fitInThread(path), onFault });
      const learnt = keepLearnt(context, onFault);
      const reactor = keepReacting({
        context: { ...context, planner: planInThread, seed: randomInt(2 ** 32) },
        reactions: REACTIONS,
        onFault,
      });
      const word = { db: context.store, origin, from: config.mailFrom };
      const sender = keepSending({
        context,
        render: (mail) => renderMail(word, mail),
        transport:
          config.smtp === undefined
            ? folderTransport(config.mailFolder ?? join(dirname(resolve(path)), 'mail'))
            : smtpTransport(config.smtp),
        onFault,
      });
      const worth = keepWorth(context, yearsInThread, onFault);
      const planning = keepPlanning(context, planInThread, onFault);
      const stopping = new AbortController();
      app = createApp({
        context,
        planner: planInThread,
        planning,
        scores,
        worth,
        origin,
        onFault,
        stopping: stopping.signal,
      });
      done({
        origin,
        async stop() {
          learnt.stop();
          stopping.abort();
          await Promise.all([
            reactor.stop(),
            sender.stop(),
            fits.stop(),
            scores.stop(),
            worth.stop(),
            planning.stop(),
            new Promise<void>((over) => server.close(() => over())),
          ]);
        },
      });
    });
    server.on('error', (error: NodeJS.ErrnoException) => {
      const isTaken = error.code === 'EADDRINUSE';
      const advice = `Port ${config.port} is taken. Set FEEDROUND_PORT to another one (0 lets the system choose), or stop what uses it.`;
      failed(isTaken ? new ServeError(advice) : error);
    });
  });
}
