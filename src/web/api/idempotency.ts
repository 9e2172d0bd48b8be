/**
 * The Idempotency-Key header (IETF httpapi draft): a structured-field String, `Idempotency-Key: "8e03978e-…"`.
 * The key becomes the fact's own id, so that the same request twice is one fact, and the same key with another
 * content is refused by the use case.
 */
import type { Context } from 'hono';
import { problem } from '../shared/problem.ts';

const KEY = /^"?([A-Za-z0-9_-]{8,64})"?$/;

export function idempotencyKey(c: Context): string | Response {
  const header = c.req.header('idempotency-key');
  const key = header === undefined ? undefined : KEY.exec(header.trim())?.[1];
  if (key !== undefined) return key;
  return problem(c, 'malformed', {
    detail:
      'Send the header Idempotency-Key with a fresh key, such as "8e03978e-40d5-43e8-bc93-6894a57f9324" (8 to 64 letters, digits, - or _). Repeat the same key when you repeat the request.',
  });
}
