/**
 * What the masthead says beside a name, wherever it is drawn: pages are made of views and know nothing of the inbox, so the
 * count comes by the request itself. Counted only where a masthead is drawn; nothing outside a request.
 */
import type { MiddlewareHandler } from 'hono';
import { tryGetContext } from 'hono/context-storage';

type NewsEnv = { readonly Variables: { readonly countInbox?: () => number } };

/** Put behind `contextStorage()`. */
export const mastheadNews =
  (countInbox: () => number): MiddlewareHandler =>
  (c, next) => {
    c.set('countInbox', countInbox);
    return next();
  };

export const inboxCount = (): number => tryGetContext<NewsEnv>()?.var.countInbox?.() ?? 0;
