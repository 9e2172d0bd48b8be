/** Ids as they stand in addresses: opaque, URL-safe, never trusted to be anything more. */
import type { Context } from 'hono';
import { z } from 'zod';

export const Id = z.string().regex(/^[A-Za-z0-9_-]{1,64}$/, 'An id is 1 to 64 letters, digits, "-" or "_"');

/** The id in the address, or undefined when it cannot be one: answer 404, as for an id that does not exist. */
export function idParam(c: Context, name = 'id'): string | undefined {
  const parsed = Id.safeParse(c.req.param(name));
  return parsed.success ? parsed.data : undefined;
}
