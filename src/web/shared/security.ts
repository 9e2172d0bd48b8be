/**
 * Headers for every answer. Only our own scripts run, from files; nothing is fetched from elsewhere, nobody may
 * frame the pages.
 *
 * The referrer policy is `same-origin`, not `no-referrer`: outsiders get nothing either way, but under
 * `no-referrer` a browser sends `Origin: null` with a form (Fetch standard, "append a request Origin header"),
 * and then `refuseForeignPosts` could not tell our own form from a stranger's over plain http.
 */
import type { MiddlewareHandler } from 'hono';

const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "worker-src 'self'",
  "img-src 'self' data:",
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** Sets the headers unless the route has set its own. */
export const securityHeaders = (): MiddlewareHandler => async (c, next) => {
  await next();
  const set = (name: string, value: string) => {
    if (!c.res.headers.has(name)) c.res.headers.set(name, value);
  };
  set('Content-Security-Policy', POLICY);
  set('Referrer-Policy', 'same-origin');
  set('X-Content-Type-Options', 'nosniff');
  set('X-Frame-Options', 'DENY');
  set('Cross-Origin-Opener-Policy', 'same-origin');
  set('Cross-Origin-Resource-Policy', 'same-origin');
  set('Permissions-Policy', 'geolocation=(), camera=(), microphone=()');
  set('Cache-Control', 'no-store');
};
