/** GET /inbox: what waits for the coordinator. */
import { Hono } from 'hono';
import type { SessionEnv } from '../../shared/session.ts';
import { InboxPage } from './inbox-page.tsx';
import type { InboxView } from './inbox-view.ts';

export type InboxDeps = { readInbox(): InboxView };

export const inboxPages = (deps: InboxDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>().get('/inbox', (c) => c.html(<InboxPage view={deps.readInbox()} />));
