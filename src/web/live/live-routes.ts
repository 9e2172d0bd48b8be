/**
 * GET /live, /live/driver, /live/donor: what happens, as it happens, for pages that are open. Who may is settled before
 * by the path; a stream ends when its session does, and when the server stops.
 */
import { type Context, Hono } from 'hono';
import type { Instant } from '../../core/quantity/units.ts';
import type { Store } from '../../store/db.ts';
import { getWorkshop } from '../../store/workshop.ts';
import { refusePage } from '../shared/html-error.tsx';
import { LIVE_PATH } from '../shared/live-line.tsx';
import { type AccessDeps, type SessionEnv, sessionOf } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import { entryStream } from './entry-stream.ts';
import { whatConcerns } from './what-concerns.ts';

export type LiveDeps = {
  readonly store: Store;
  readonly now: () => Instant;
  readonly access: AccessDeps;
  readonly stopping: AbortSignal;
  readonly heartbeatMs?: number | undefined;
};

/** One a tab; far more than anybody has open, few enough that one link cannot use the server up. */
const MAX_STREAMS_A_PERSON = 40;

export function liveRoutes(deps: LiveDeps): Hono<SessionEnv> {
  const open = new Map<string, number>();
  const count = (who: string, change: 1 | -1): void => {
    const streams = (open.get(who) ?? 0) + change;
    if (streams === 0) open.delete(who);
    else open.set(who, streams);
  };
  const listen = (c: Context<SessionEnv>): Response | Promise<Response> => {
    const { role, subjectId } = c.var.session;
    const say = sayOf(c);
    const who = `${role}:${subjectId}`;
    if (!getWorkshop(deps.store)) return refusePage(c, 'not-found');
    if ((open.get(who) ?? 0) >= MAX_STREAMS_A_PERSON) return refusePage(c, 'too-many');
    const headers = {
      'Content-Type': 'text/event-stream',
      'Cache-Control': 'no-store',
      // So that the connection, too, ends with the stream: a server that stops waits for nobody.
      Connection: 'close',
      // nginx keeps answers back until they are large (its manual, proxy_buffering).
      'X-Accel-Buffering': 'no',
    };
    // A HEAD is answered by the route of GET, and nobody would ever read its stream.
    if (c.req.raw.method === 'HEAD') return c.body(null, 200, headers);
    count(who, 1);
    const stream = entryStream({
      store: deps.store,
      afterSeq: placeOf(c.req.header('last-event-id') ?? c.req.query('after')),
      teller: () => whatConcerns(deps.store, { role, subjectId, say }, deps.now()),
      mayListen: () => sessionOf(c, deps.access, role)?.subjectId === subjectId,
      stopping: deps.stopping,
      onEnd: () => count(who, -1),
      heartbeatMs: deps.heartbeatMs,
    });
    return c.body(stream, 200, headers);
  };
  return new Hono<SessionEnv>()
    .get(LIVE_PATH.coordinator, listen)
    .get(LIVE_PATH.driver, listen)
    .get(LIVE_PATH.donor, listen);
}

/** NaN, not nothing, for what is no entry's number: whoever sends that has missed who knows what. */
const placeOf = (text: string | undefined): number | undefined =>
  text === undefined || text === '' ? undefined : /^\d{1,15}$/.test(text) ? Number(text) : Number.NaN;
